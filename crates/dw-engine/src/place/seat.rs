//! Seats: which opening sits on which port of which numbered controller.

use std::collections::BTreeMap;

use dw_solve::location::Plan;

use super::keep::Kept;
use super::statement::Statement;

/// A controller in a room while ports are handed out.
#[derive(Debug, Clone)]
pub(super) struct Unit {
    pub(super) site: usize,
    pub(super) family: usize,
    pub(super) model: usize,
    /// Running number in the room; 0 until it is numbered.
    pub(super) number: u32,
    /// Customer on each port.
    pub(super) ports: Vec<Option<usize>>,
}

/// Controllers of a plan with everybody on ports, in the order of rooms and numbers.
///
/// What stays as issued keeps controller, number and port. Others fill the free ports beside them and the controllers
/// the plan adds, in the order of marks; those get the next numbers of their room.
pub(super) fn seat(statement: &Statement, kept: &Kept, plan: &Plan) -> Vec<Unit> {
    let mut units: BTreeMap<(usize, usize), Vec<Unit>> = BTreeMap::new();
    for (&(site, number), &(family, model)) in &kept.controllers {
        units.entry((site, family)).or_default().push(Unit { number, ..unit(statement, site, family, model) });
    }
    for (&customer, &((site, number), first)) in &kept.seats {
        // Who is not served holds no port.
        let Some(choice) = plan.assignment[customer].filter(|choice| choice.site == site) else { continue };
        let what = statement.chosen(customer, choice);
        let found = units.get_mut(&(site, what.family)).into_iter().flatten().find(|unit| unit.number == number);
        if let Some(unit) = found {
            unit.sit(customer, first as usize, what.ports);
        }
    }
    let staying = kept.counts();
    for install in &plan.models {
        let (site, family, model) = (install.site, install.family, install.model);
        let there = staying.get(&(site, family, model)).copied().unwrap_or(0);
        let list = units.entry((site, family)).or_default();
        list.extend((there..install.count).map(|_| unit(statement, site, family, model)));
    }
    let mut waiting: BTreeMap<(usize, usize), Vec<(usize, u32)>> = BTreeMap::new();
    for (customer, choice) in plan.assignment.iter().enumerate() {
        let Some(choice) = choice.filter(|_| !kept.seats.contains_key(&customer)) else { continue };
        let what = statement.chosen(customer, choice);
        if what.ports > 0 {
            waiting.entry((choice.site, what.family)).or_default().push((customer, what.ports));
        }
    }
    for ((site, family), customers) in waiting {
        let list = units.entry((site, family)).or_default();
        if list.iter().any(|unit| unit.number > 0) {
            fit(statement, list, (site, family), customers);
        } else {
            follow(statement, list, plan, &customers);
        }
    }
    number(units.into_values().flatten().collect(), kept)
}

fn unit(statement: &Statement, site: usize, family: usize, model: usize) -> Unit {
    let ports = statement.problem.families[family].models[model].ports as usize;
    Unit { site, family, model, number: 0, ports: vec![None; ports] }
}

impl Unit {
    fn sit(&mut self, customer: usize, first: usize, ports: u32) {
        let seats = self.ports.iter_mut().skip(first).take(ports as usize);
        seats.for_each(|seat| *seat = Some(customer));
    }

    /// The smallest run of free ports that holds so many: its length and first port.
    fn room_for(&self, ports: u32) -> Option<(usize, usize)> {
        let mut best = None;
        let mut first = 0;
        for at in 0..=self.ports.len() {
            if at == self.ports.len() || self.ports[at].is_some() {
                if at - first >= ports as usize && best.is_none_or(|(length, _)| at - first < length) {
                    best = Some((at - first, first));
                }
                first = at + 1;
            }
        }
        best
    }
}

/// Ports of one to be seated, and who it is where that matters.
type Wanted = (u32, Option<usize>);

/// Seats customers, given with their ports, as the plan packed them: each controller gets as many of each port count, in the order of
/// marks. Who must not share a controller stays on the one the plan gives it.
fn follow(statement: &Statement, units: &mut [Unit], plan: &Plan, customers: &[(usize, u32)]) {
    let is_bound = |customer: usize| statement.problem.apart.iter().any(|group| group.contains(&customer));
    let mut packed: BTreeMap<(usize, u32), Vec<Wanted>> = BTreeMap::new();
    let mut by_ports: BTreeMap<u32, Vec<usize>> = BTreeMap::new();
    for &(customer, ports) in customers {
        let bound = is_bound(customer).then_some(customer);
        if let Some(seat) = plan.seats[customer] {
            packed.entry((seat.model, seat.number)).or_default().push((ports, bound));
        }
        if bound.is_none() {
            by_ports.entry(ports).or_default().push(customer);
        }
    }
    let mut by_ports: BTreeMap<u32, _> = by_ports.into_iter().map(|(ports, all)| (ports, all.into_iter())).collect();
    let mut numbers: BTreeMap<usize, u32> = BTreeMap::new();
    for unit in units {
        let number = numbers.entry(unit.model).or_default();
        let mut sizes = packed.remove(&(unit.model, *number)).unwrap_or_default();
        *number += 1;
        sizes.sort_unstable_by(|a, b| b.cmp(a));
        let mut first = 0;
        for (size, bound) in sizes {
            if let Some(customer) = bound.or_else(|| by_ports.get_mut(&size)?.next()) {
                unit.sit(customer, first, size);
                first += size as usize;
            }
        }
    }
}

/// Seats customers, given with their ports, into free ports, those with many ports first, each into the smallest run that holds it beside
/// nobody it must not share a controller with; adds the cheapest controller where none is left.
fn fit(statement: &Statement, units: &mut Vec<Unit>, at: (usize, usize), mut customers: Vec<(usize, u32)>) {
    customers.sort_by_key(|&(customer, ports)| (std::cmp::Reverse(ports), customer));
    for (customer, wanted) in customers {
        let may_sit = |unit: &Unit| !unit.ports.iter().flatten().any(|&other| statement.are_apart(customer, other));
        let open = units.iter().enumerate().filter(|it| may_sit(it.1));
        let found = open.filter_map(|(idx, unit)| Some((unit.room_for(wanted)?, idx)));
        let (idx, first) = if let Some(((_, first), idx)) = found.min_by_key(|&((length, _), idx)| (length, idx)) {
            (idx, first)
        } else {
            let models = statement.problem.families[at.1].models.iter().enumerate();
            let cheapest = models.filter(|it| it.1.ports >= wanted).min_by_key(|it| it.1.price);
            let Some((model, _)) = cheapest else { continue };
            units.push(unit(statement, at.0, at.1, model));
            (units.len() - 1, 0)
        };
        units[idx].sit(customer, first, wanted);
    }
}

/// Numbers new controllers after the highest number ever issued in their room.
fn number(mut units: Vec<Unit>, kept: &Kept) -> Vec<Unit> {
    let mut next = kept.numbers.clone();
    for unit in units.iter_mut().filter(|unit| unit.number == 0) {
        let highest = next.entry(unit.site).or_default();
        *highest = highest.saturating_add(1);
        unit.number = *highest;
    }
    units.sort_by_key(|unit| (unit.site, unit.number));
    units
}
