//! Which device hangs on which fused output of a supply, and whether each output is a class 2 source.
//!
//! Each device goes whole on one output, the hungriest first, on the first output that still carries it: its lasting
//! current with the others, and the largest inrush among them on top. Source of the class 2 limits:
//! [`super::limits::class_2_current`].

use dw_core::{Amps, Volts};
use dw_job::catalogue::Device;

use super::figures::usable;
use super::limits::class_2_current;
use super::plan::{Load, OutputClass, OutputLoad, SupplyOutput};

/// Most outputs of a supply that count, so that a mistyped number cannot run away. Source: a bound of ours.
const MOST_OUTPUTS: u32 = 200;

/// One device that wants an output.
#[derive(Clone, Copy, Debug)]
struct Wanting {
    /// Position of its load in the enclosure.
    load: usize,
    lasting: Amps,
    inrush: Amps,
}

impl Wanting {
    fn peak(&self) -> Amps {
        self.lasting + self.inrush
    }
}

/// An output while it is filled.
#[derive(Clone, Debug, Default)]
struct Filling {
    loads: Vec<OutputLoad>,
    lasting: Amps,
    inrush: Amps,
}

impl Filling {
    /// Whether the output carries one more device.
    fn carries(&self, one: &Wanting, rating: Amps) -> bool {
        let peak = self.lasting + one.lasting + self.inrush.max(one.inrush);
        peak.get() <= rating.get() + 1e-9
    }

    fn put(&mut self, one: &Wanting) {
        self.lasting += one.lasting;
        self.inrush = self.inrush.max(one.inrush);
        tally(&mut self.loads, one.load);
    }
}

/// Counts one more device of a load.
fn tally(loads: &mut Vec<OutputLoad>, load: usize) {
    match loads.iter_mut().find(|counted| counted.load == load) {
        Some(counted) => counted.count += 1,
        None => loads.push(OutputLoad { load, count: 1 }),
    }
}

/// The outputs of a supply with their loads, and what found no output.
///
/// `whole` is the output of the whole supply, the rating of an output where its maker states none; `highest` the highest
/// voltage the output ever has. A device that is too much for any output by itself takes one alone.
pub(super) fn share_out(
    loads: &[Load],
    supply: &Device,
    whole: Amps,
    highest: Volts,
) -> (Vec<SupplyOutput>, Vec<OutputLoad>) {
    let rating = usable(supply.supply.output_rating.map(Amps::get)).map_or(whole, Amps::new);
    let outputs = supply.supply.outputs.unwrap_or(1).clamp(1, MOST_OUTPUTS);
    let mut filled: Vec<Filling> = (0..outputs).map(|_| Filling::default()).collect();
    let mut left = Vec::new();
    for one in hungriest_first(loads) {
        let alone = one.peak().get() > rating.get() + 1e-9;
        let fits = |output: &&mut Filling| if alone { output.loads.is_empty() } else { output.carries(&one, rating) };
        match filled.iter_mut().find(fits) {
            Some(output) => output.put(&one),
            None => tally(&mut left, one.load),
        }
    }
    let limit = class_2_current(highest, true, false);
    let class_2 = class(rating, limit, supply.supply.class_2 == Some(true));
    let output = |(number, filling): (u32, Filling)| SupplyOutput {
        number,
        rating_a: rating,
        highest_v: highest,
        limit_a: limit,
        class_2,
        lasting_a: filling.lasting,
        peak_a: filling.lasting + filling.inrush,
        loads: filling.loads,
    };
    ((1..).zip(filled).map(output).collect(), left)
}

/// Every device that draws current by itself, in falling order of its highest current.
fn hungriest_first(loads: &[Load]) -> Vec<Wanting> {
    let mut devices = Vec::new();
    for (index, load) in loads.iter().enumerate() {
        let lasting = load.active_a / f64::from(load.count.max(1));
        let one = Wanting { load: index, lasting, inrush: load.inrush_a };
        if one.peak() > Amps::ZERO {
            devices.extend((0..load.count).map(|_| one));
        }
    }
    devices.sort_by_key(|one| (std::cmp::Reverse(one.peak()), one.load));
    devices
}

/// Whether an output of this rating is a class 2 source.
fn class(rating: Amps, limit: Option<Amps>, listed: bool) -> OutputClass {
    match limit {
        Some(limit) if rating.get() <= limit.get() + 1e-9 && listed => OutputClass::Listed,
        Some(limit) if rating.get() <= limit.get() + 1e-9 => OutputClass::NotListed,
        _ => OutputClass::Beyond,
    }
}

#[cfg(test)]
mod tests {
    use dw_core::DeviceId;

    use super::*;

    fn supply(outputs: Option<u32>, rating: Option<f64>, listed: bool) -> Device {
        let mut device = Device::new("supply");
        device.supply.outputs = outputs;
        device.supply.output_rating = rating.map(Amps::new);
        device.supply.class_2 = Some(listed);
        device
    }

    fn load(count: u32, active: f64, inrush: f64) -> Load {
        Load {
            device: DeviceId::new("lock"),
            opening: None,
            count,
            standby_a: Amps::ZERO,
            active_a: Amps::new(active),
            inrush_a: Amps::new(inrush),
        }
    }

    #[test]
    fn the_hungriest_device_goes_first_and_the_others_fill_up_behind_it() {
        let loads = [load(1, 0.5, 0.0), load(1, 1.5, 0.5), load(2, 2.0, 0.0), load(1, 0.0, 0.0)];
        let (outputs, left) = share_out(&loads, &supply(Some(3), Some(2.0), true), Amps::new(9.0), Volts::new(13.8));
        let found: Vec<Vec<(usize, u32)>> =
            outputs.iter().map(|one| one.loads.iter().map(|load| (load.load, load.count)).collect()).collect();
        assert_eq!(found, [vec![(1, 1)], vec![(2, 2)], vec![(0, 1)]]);
        assert_eq!((outputs[0].lasting_a, outputs[0].peak_a), (Amps::new(1.5), Amps::new(2.0)));
        assert_eq!(left, []);
    }

    #[test]
    fn without_stated_outputs_there_is_one_of_the_whole_supply() {
        let (outputs, left) =
            share_out(&[load(3, 4.5, 0.5)], &supply(None, None, false), Amps::new(5.0), Volts::new(13.8));
        assert_eq!((outputs.len(), outputs[0].rating_a, outputs[0].peak_a), (1, Amps::new(5.0), Amps::new(5.0)));
        assert_eq!((outputs[0].class_2, left), (OutputClass::NotListed, vec![]));
    }

    #[test]
    fn what_is_too_much_for_an_output_takes_one_alone_and_the_rest_is_left_over() {
        let loads = [load(1, 3.0, 0.0), load(1, 1.0, 0.0)];
        let (outputs, left) = share_out(&loads, &supply(Some(1), Some(2.0), true), Amps::new(9.0), Volts::new(13.8));
        assert_eq!(outputs[0].loads, [OutputLoad { load: 0, count: 1 }]);
        assert_eq!(left, [OutputLoad { load: 1, count: 1 }]);
    }

    #[test]
    fn class_2_is_judged_at_the_highest_voltage_and_wants_a_listing() {
        let at = |rating, volts, listed| {
            share_out(&[], &supply(None, Some(rating), listed), Amps::new(9.0), Volts::new(volts)).0[0].class_2
        };
        assert_eq!(at(5.0, 20.0, true), OutputClass::Listed);
        assert_eq!(at(5.001, 20.0, true), OutputClass::Beyond);
        assert_eq!(at(4.0, 25.0, true), OutputClass::Listed);
        assert_eq!(at(4.0, 25.1, true), OutputClass::Beyond);
        assert_eq!(at(4.0, 24.0, false), OutputClass::NotListed);
        assert_eq!(at(0.1, 61.0, true), OutputClass::Beyond);
    }
}
