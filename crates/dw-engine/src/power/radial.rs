//! A direct-current network without rings: voltage at every node and current in every branch.
//!
//! Newton's method on the node voltages. The network is a tree, so each step is one walk from the leaves to the source
//! and one back, and time grows with the number of nodes. Beginning at the voltage of the source the steps fall towards
//! the highest solution, which is the one a network takes when it is switched on; where a load of constant power cannot
//! be carried a walk finds no positive slope, and the network has collapsed.
//!
//! **Source** Kirchhoff's laws; Newton's method for a convex function (textbook).

use std::ops::{Add, AddAssign};

use dw_core::{Amps, Ohms, Volts, Watts};

use super::voltage::LoadKind;

/// What hangs on a node, by how it behaves when its voltage falls.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct NodeLoad {
    /// Takes the same current at any voltage.
    pub current: Amps,
    /// Conductance in siemens: current falls with the voltage.
    pub siemens: f64,
    /// Takes the same power: current rises as the voltage falls.
    pub power: Watts,
}

impl NodeLoad {
    /// Current at a voltage, in ampere and volt.
    fn amps(&self, volts: f64) -> f64 {
        self.current.get() + self.siemens * volts + self.by_power(volts)
    }

    fn by_power(&self, volts: f64) -> f64 {
        if self.power > Watts::ZERO { self.power.get() / volts } else { 0.0 }
    }

    /// What one more ampere-slope a volt gives: how the current grows with the voltage.
    fn slope(&self, volts: f64) -> f64 {
        self.siemens - self.by_power(volts) / volts
    }
}

impl From<LoadKind> for NodeLoad {
    fn from(load: LoadKind) -> Self {
        match load {
            LoadKind::Current(current) => Self { current, ..Self::default() },
            LoadKind::Resistance(ohms) if ohms > Ohms::ZERO => Self { siemens: 1.0 / ohms.get(), ..Self::default() },
            LoadKind::Resistance(_) => Self::default(),
            LoadKind::Power(power) => Self { power, ..Self::default() },
        }
    }
}

impl Add for NodeLoad {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self {
            current: self.current + other.current,
            siemens: self.siemens + other.siemens,
            power: self.power + other.power,
        }
    }
}

impl AddAssign for NodeLoad {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

/// A node with the branch that feeds it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Node {
    /// The node it is fed from, which was added before it; `None` for the source.
    pub from: Option<usize>,
    /// Resistance of the branch, out and back.
    pub branch: Ohms,
    /// What hangs on it.
    pub load: NodeLoad,
}

/// A source with a tree of branches.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Network {
    nodes: Vec<Node>,
}

/// Voltage at every node and current in the branch to it, in the order they were added.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// Voltages.
    pub volts: Vec<Volts>,
    /// Currents.
    pub amps: Vec<Amps>,
}

/// The network cannot carry its loads: at this node the voltage falls without end.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Collapse {
    /// The node where it showed.
    pub node: usize,
}

/// Steps before the network counts as collapsed: at the very edge each step only halves what is left.
const STEPS: u32 = 200;

/// Change of the last step, of the source's voltage, that counts as none.
const STILL: f64 = 1e-13;

/// Change that is good enough at the edge of collapse, where rounding keeps the steps from getting smaller.
const NEARLY_STILL: f64 = 1e-7;

impl Network {
    /// Adds a node and gives its number. A node can only hang on one that is there already, so rings cannot be made;
    /// a number that is not there means the source.
    pub fn add(&mut self, from: Option<usize>, branch: Ohms, load: impl Into<NodeLoad>) -> usize {
        let from = from.filter(|node| *node < self.nodes.len());
        self.nodes.push(Node { from, branch, load: load.into() });
        self.nodes.len() - 1
    }

    /// Adds to the load of a node.
    pub fn load(&mut self, node: usize, load: impl Into<NodeLoad>) {
        if let Some(node) = self.nodes.get_mut(node) {
            node.load += load.into();
        }
    }

    /// The nodes, in the order they were added.
    pub fn nodes(&self) -> &[Node] {
        &self.nodes
    }

    /// Voltage and current everywhere with the source at a voltage.
    ///
    /// **Formula** at every node Σ(v_from − v)/R = I + G v + P/v + Σ currents onwards.
    /// **Range** source above zero; resistances and loads none negative.
    /// **Source** Kirchhoff's laws.
    ///
    /// # Errors
    /// When no voltage above zero satisfies a node.
    ///
    /// ```
    /// use dw_core::{Amps, Ohms, Volts, Watts};
    /// use dw_engine::power::{radial::Network, voltage::LoadKind};
    /// let mut network = Network::default();
    /// let unit = network.add(None, Ohms::new(2.0), LoadKind::Power(Watts::new(10.0)));
    /// network.add(Some(unit), Ohms::new(0.5), LoadKind::Current(Amps::new(0.6)));
    /// let solved = network.solve(Volts::new(12.0)).unwrap();
    /// assert!((solved.volts[unit].get() - 8.4).abs() < 0.1);
    /// let into_unit = (12.0 - solved.volts[unit].get()) / 2.0;
    /// assert!((into_unit - 0.6 - 10.0 / solved.volts[unit].get()).abs() < 1e-9);
    /// assert!(network.solve(Volts::new(9.0)).is_err());
    /// ```
    pub fn solve(&self, source: Volts) -> Result<Solution, Collapse> {
        let start = source.get();
        let mut volts = vec![start; self.nodes.len()];
        for _ in 0..STEPS {
            let change = self.step(start, &mut volts)?;
            if change <= STILL * start {
                return Ok(self.solution(&volts));
            }
        }
        let change = self.step(start, &mut volts)?;
        if change <= NEARLY_STILL * start { Ok(self.solution(&volts)) } else { Err(Collapse { node: 0 }) }
    }

    /// One step of Newton's method; gives the largest change of a voltage.
    fn step(&self, source: f64, volts: &mut [f64]) -> Result<f64, Collapse> {
        // Current drawn at each node with all behind it, as a straight line: fixed + slope * voltage.
        let mut drawn: Vec<(f64, f64)> = Vec::with_capacity(self.nodes.len());
        for (node, &volts) in self.nodes.iter().zip(&*volts) {
            let slope = node.load.slope(volts);
            drawn.push((node.load.amps(volts) - slope * volts, slope));
        }
        for (index, node) in self.nodes.iter().enumerate().rev() {
            let (fixed, slope) = drawn[index];
            let divisor = 1.0 + node.branch.get() * slope;
            if divisor <= 0.0 {
                return Err(Collapse { node: index });
            }
            if let Some(from) = node.from {
                drawn[from].0 += fixed / divisor;
                drawn[from].1 += slope / divisor;
            }
        }
        let mut largest = 0.0_f64;
        for (index, node) in self.nodes.iter().enumerate() {
            let before = node.from.map_or(source, |from| volts[from]);
            let (fixed, slope) = drawn[index];
            let now = (before - node.branch.get() * fixed) / (1.0 + node.branch.get() * slope);
            if now <= 0.0 || !now.is_finite() {
                return Err(Collapse { node: index });
            }
            largest = largest.max((now - volts[index]).abs());
            volts[index] = now;
        }
        Ok(largest)
    }

    /// Branch currents summed from the loads, so that they balance at every node.
    fn solution(&self, volts: &[f64]) -> Solution {
        let mut amps: Vec<f64> = self.nodes.iter().zip(volts).map(|(node, volts)| node.load.amps(*volts)).collect();
        for (index, node) in self.nodes.iter().enumerate().rev() {
            if let Some(from) = node.from {
                amps[from] += amps[index];
            }
        }
        let amps = amps.into_iter().map(|amps| Amps::try_new(amps).unwrap_or_default()).collect();
        Solution { volts: volts.iter().map(|volts| Volts::try_new(*volts).unwrap_or_default()).collect(), amps }
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use crate::power::voltage::at_load;

    /// Parent (by share of the nodes before), milliohm, kind, thousandths of an ampere.
    type Row = (f64, u32, u8, u32);

    fn rows() -> impl Strategy<Value = Vec<Row>> {
        prop::collection::vec((0.0_f64..1.0, 0_u32..2000, 0_u8..3, 0_u32..400), 1..40)
    }

    /// Loads are stated at 12 V.
    fn network(rows: &[Row], longer: f64, more: f64) -> Network {
        let mut network = Network::default();
        for (index, (share, milliohm, kind, milliamps)) in rows.iter().enumerate() {
            let from = ((share * (index + 1) as f64) as usize).checked_sub(1);
            let amps = f64::from(*milliamps) / 1000.0 * more;
            let load = match kind {
                0 => NodeLoad { current: Amps::new(amps), ..NodeLoad::default() },
                1 => NodeLoad { siemens: amps / 12.0, ..NodeLoad::default() },
                _ => NodeLoad { power: Watts::new(amps * 12.0), ..NodeLoad::default() },
            };
            network.add(from, Ohms::new(f64::from(*milliohm) / 1000.0 * longer), load);
        }
        network
    }

    proptest! {
        #[test]
        fn currents_balance_at_every_node_and_voltages_along_every_branch(rows in rows()) {
            let network = network(&rows, 0.2, 1.0);
            if let Ok(solved) = network.solve(Volts::new(12.0)) {
                for (index, node) in network.nodes().iter().enumerate() {
                    let onwards: f64 = network.nodes().iter().zip(&solved.amps)
                        .filter(|(child, _)| child.from == Some(index)).map(|(_, amps)| amps.get()).sum();
                    let volts = solved.volts[index].get();
                    let drawn = node.load.current.get() + node.load.siemens * volts + node.load.power.get() / volts;
                    prop_assert!((solved.amps[index].get() - drawn - onwards).abs() < 1e-9);
                    let before = node.from.map_or(12.0, |from| solved.volts[from].get());
                    prop_assert!((before - volts - solved.amps[index].get() * node.branch.get()).abs() < 1e-9);
                }
            }
        }

        #[test]
        fn longer_branches_larger_loads_and_a_lower_source_never_raise_a_voltage(
            rows in rows(), longer in 1.0_f64..3.0, more in 1.0_f64..3.0, lower in 0.5_f64..1.0,
        ) {
            let base = network(&rows, 0.1, 0.5);
            let harder = [
                (network(&rows, 0.1 * longer, 0.5), 12.0),
                (network(&rows, 0.1, 0.5 * more), 12.0),
                (base.clone(), 12.0 * lower),
            ];
            for (other, source) in harder {
                match (base.solve(Volts::new(12.0)), other.solve(Volts::new(source))) {
                    (Ok(easy), Ok(hard)) => for (easy, hard) in easy.volts.iter().zip(&hard.volts) {
                        prop_assert!(hard.get() <= easy.get() + 1e-9);
                    },
                    (Err(_), hard) => prop_assert!(hard.is_err(), "the easier network collapsed alone"),
                    (Ok(_), Err(_)) => {}
                }
            }
        }

        #[test]
        fn one_branch_is_what_its_closed_formula_says(ohms in 0.0_f64..20.0, amps in 0.0_f64..1.2, kind in 0_u8..3) {
            let load = match kind {
                0 => LoadKind::Current(Amps::new(amps)),
                1 => LoadKind::Resistance(Ohms::new(12.0 / amps.max(0.001))),
                _ => LoadKind::Power(Watts::new(amps * 12.0)),
            };
            let (source, ohms) = (Volts::new(12.0), Ohms::new(ohms));
            let mut network = Network::default();
            network.add(None, ohms, load);
            let closed = at_load(source, ohms, load).filter(|volts| *volts > Volts::ZERO);
            match (network.solve(source), closed) {
                (Ok(solved), Some(closed)) => prop_assert!((solved.volts[0].get() - closed.get()).abs() < 1e-6),
                (Err(_), None) => {}
                // At the very edge of collapse either answer is right.
                (found, closed) => {
                    let edge = 144.0 - 4.0 * amps * 12.0 * ohms.get();
                    prop_assert!(edge.abs() < 1e-3 || closed.is_some_and(|volts| volts.get() < 1e-6), "{found:?} {closed:?}");
                }
            }
        }
    }

    #[test]
    fn a_load_of_constant_power_is_carried_up_to_the_edge_and_not_beyond_it() {
        let of = |watts: f64| {
            let mut network = Network::default();
            network.add(None, Ohms::new(4.0), LoadKind::Power(Watts::new(watts)));
            network.solve(Volts::new(12.0)).map(|solved| solved.volts[0].get())
        };
        // 12 V over 4 ohm carries 12² / (4 * 4) = 9 W, at 6 V.
        assert!((of(9.0 - 1e-6).unwrap() - 6.0).abs() < 0.01);
        assert_eq!(of(9.0 + 1e-6), Err(Collapse { node: 0 }));
    }

    #[test]
    fn an_empty_network_and_one_without_loads_stay_at_the_source() {
        assert_eq!(Network::default().solve(Volts::new(12.0)).unwrap().volts, []);
        let mut network = Network::default();
        let node = network.add(Some(7), Ohms::new(1.0), NodeLoad::default());
        assert_eq!(network.nodes()[node].from, None, "a number that is not there means the source");
        assert_eq!(network.solve(Volts::new(12.0)).unwrap().volts, [Volts::new(12.0)]);
    }

    /// `scripts/judge_radial.py` made the file.
    #[test]
    fn random_networks_agree_with_a_general_network_library() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/judges/radial.csv"));
        let mut networks: Vec<(f64, Network, Vec<f64>)> = Vec::new();
        for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let row: Vec<&str> = line.split(',').collect();
            let number = |at: usize| row[at].parse::<f64>().unwrap();
            if row[1] == "1" {
                networks.push((number(6), Network::default(), Vec::new()));
            }
            let (_, network, volts) = networks.last_mut().unwrap();
            let load = match row[4] {
                "current" => NodeLoad { current: Amps::new(number(5)), ..NodeLoad::default() },
                "siemens" => NodeLoad { siemens: number(5), ..NodeLoad::default() },
                _ => NodeLoad { power: Watts::new(number(5)), ..NodeLoad::default() },
            };
            network.add(row[2].parse::<usize>().unwrap().checked_sub(1), Ohms::new(number(3)), load);
            volts.push(number(7));
        }
        let (mut nodes, mut largest) = (0, 0.0_f64);
        for (source, network, theirs) in &networks {
            let ours = network.solve(Volts::new(*source)).unwrap().volts;
            nodes += ours.len();
            largest = ours.iter().zip(theirs).map(|(a, b)| (a.get() - b).abs()).fold(largest, f64::max);
        }
        println!("{} networks, {nodes} nodes, largest difference {largest:.1e} V", networks.len());
        assert!(networks.len() > 30 && nodes > 200 && largest < 1e-6, "{largest:e}");
    }
}
