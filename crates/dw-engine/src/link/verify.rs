//! Judges a link plan on its own, from cables, equipment and placement, without the code that made it.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{OpeningId, Place};
use dw_job::catalogue::Interface;

use super::rules::PlanInconsistent;
use super::{Bus, Given, LinkPlan};
use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Role};
use crate::place::Served;

/// Raises `LNK-901` for every promise the plan breaks.
pub fn verify(cx: &mut Cx<'_>, given: &Given<'_>, plan: &LinkPlan) {
    let mut faults = every_reader_once(cx, given, plan);
    faults.extend(plan.buses.iter().flat_map(bus));
    faults.extend(addresses(plan));
    faults.extend(rooms(plan));
    faults.extend(bridges(given, plan));
    for (place, what) in faults {
        cx.sink.report(&PlanInconsistent { place, what });
    }
}

type Fault = (Place, String);

/// Each reader that can be read stands on one line, with the length of a cable of its opening.
fn every_reader_once(cx: &Cx<'_>, given: &Given<'_>, plan: &LinkPlan) -> Vec<Fault> {
    let mut planned: BTreeMap<_, Vec<(&str, f64)>> = BTreeMap::new();
    let on_buses = plan.buses.iter().flat_map(|bus| &bus.readers);
    let lines = plan.data_lines.iter().map(|line| (&line.mark, &line.cable, line.length_m));
    for (mark, cable, length) in lines.chain(on_buses.map(|reader| (&reader.mark, &reader.cable, reader.length_m))) {
        planned.entry(mark).or_default().push((cable, length.get()));
    }
    let mut laid: BTreeMap<&str, f64> = BTreeMap::new();
    for run in &given.cables.runs {
        laid.insert(&run.label, run.length_m.get());
    }
    let served: BTreeMap<&OpeningId, &Served> = given.placement.served.iter().map(|it| (&it.mark, it)).collect();
    let mut faults = Vec::new();
    for equipped in &given.equipment.openings {
        let lines = planned.remove(&equipped.mark).unwrap_or_default();
        let place = || Place::of(&equipped.mark);
        let wanted = served.get(&equipped.mark).map_or(0, |served| readable(cx, given, equipped, served));
        if lines.len() != wanted {
            faults.push((place(), format!("{}: {wanted} readers to read and {} lines", equipped.mark, lines.len())));
        }
        let names: BTreeSet<&str> = lines.iter().map(|line| line.0).collect();
        if names.len() != lines.len() {
            faults.push((place(), format!("{}: two readers on one cable", equipped.mark)));
        }
        for (cable, length) in lines {
            if laid.get(cable).is_none_or(|laid| (laid - length).abs() > 1e-9) {
                faults.push((place(), format!("{cable}: counted with {length} m")));
            }
        }
    }
    faults.extend(planned.keys().map(|mark| (Place::of(*mark), format!("{mark}: lines and no equipment"))));
    faults
}

/// Readers of an opening that what decides there can read over a line, and that have a cable.
fn readable(cx: &Cx<'_>, given: &Given<'_>, equipped: &Equipped, served: &Served) -> usize {
    let (partner, unit) = match &equipped.control {
        ControlNeed::OwnUnit { unit } => (Some(unit), Some(unit)),
        ControlNeed::Ports { .. } => (served.controller.map(|index| &given.placement.controllers[index].device), None),
        ControlNeed::None => (None, None),
    };
    let Some(partner) = partner.and_then(|id| cx.catalogue.devices.get(id)) else { return 0 };
    let speaks = |id| {
        let reader = cx.catalogue.devices.get(id);
        let common = |kind: &Interface| {
            partner.control.interfaces.contains(kind)
                && (unit.is_none() || *kind == Interface::DataLines)
                && *kind != Interface::Network
                && *kind != Interface::Contact
        };
        reader.is_some_and(|reader| reader.interfaces.iter().any(common))
    };
    let readers = equipped.devices.iter().filter(|it| matches!(it.role, Role::ReaderIn | Role::ReaderOut));
    readers.filter(|fitted| Some(&fitted.device) != unit && speaks(&fitted.device)).count()
}

/// Addresses once each and never everybody's, the trunk by every pair of cables, the round counted bit by bit.
fn bus(bus: &Bus) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut tell = |what: String| faults.push((Place::named("bus", &bus.label), format!("{}: {what}", bus.label)));
    let mut taken = BTreeSet::new();
    for reader in &bus.readers {
        if reader.address >= 0x7F || !taken.insert(reader.address) {
            tell(format!("address {} cannot be given to {}", reader.address, reader.cable));
        }
    }
    let lengths: Vec<f64> = bus.readers.iter().map(|reader| reader.length_m.get()).collect();
    let alone = lengths.iter().copied().fold(0.0, f64::max);
    let pairs = (0..lengths.len()).flat_map(|a| (0..a).map(move |b| (a, b)));
    let trunk = pairs.map(|(a, b)| lengths[a] + lengths[b]).fold(alone, f64::max);
    if (trunk - bus.trunk_m.get()).abs() > 1e-6 {
        tell(format!("trunk of {} m, its cables make {trunk}", bus.trunk_m.get()));
    }
    if let Some(polling) = bus.polling {
        // OSDP v2.2: 9 bytes out and 8 back, 15 and 14 over the secure channel; ten bits a byte; 10 ms to turn round.
        let bits = if polling.secure { 290 } else { 170 };
        let mut clock_ms = 0.0;
        for _ in &bus.readers {
            clock_ms += 1000.0 * f64::from(bits) / f64::from(bus.bit_rate) + 10.0;
        }
        if (clock_ms - polling.cycle_ms).abs() > 1e-6 {
            tell(format!("a round takes {clock_ms} ms, {} are planned", polling.cycle_ms));
        }
    }
    faults
}

/// Subnets private and apart, VLANs and addresses once each, every address inside its subnet.
fn addresses(plan: &LinkPlan) -> Vec<Fault> {
    let mut faults = Vec::new();
    let mut tell = |what: String| faults.push((Place::named("network", ""), what));
    for (index, subnet) in plan.subnets.iter().enumerate() {
        let [a, b, ..] = subnet.range.first.to_be_bytes();
        if !(a == 10 || (a == 172 && (16..32).contains(&b)) || (a == 192 && b == 168)) {
            tell(format!("{} is not private", subnet.range));
        }
        for other in &plan.subnets[..index] {
            let (first, last) =
                (subnet.range.first.max(other.range.first), subnet.range.last().min(other.range.last()));
            if first <= last {
                tell(format!("{} and {} overlap", subnet.range, other.range));
            }
        }
    }
    let mut taken = BTreeSet::new();
    for device in &plan.devices {
        let Some(address) = &device.address else { continue };
        if !taken.insert(address) {
            tell(format!("{address} is given twice"));
        }
        let number = address.split('.').fold(0u32, |sum, part| (sum << 8) | part.parse::<u32>().unwrap_or(u32::MAX));
        let subnet = device.subnet.and_then(|index| plan.subnets.get(index));
        let router = subnet.is_some_and(|subnet| subnet.router == *address);
        let inside = subnet.is_some_and(|subnet| number > subnet.range.first && number < subnet.range.last());
        if router || !inside {
            tell(format!("{}: {address} lies outside its subnet", device.label));
        }
    }
    faults
}

fn rooms(plan: &LinkPlan) -> Vec<Fault> {
    let count = |room| plan.devices.iter().filter(|it| it.room.as_ref() == Some(room) && !it.kept).count();
    let wrong = plan.rooms.iter().filter(|one| one.ports as usize != count(&one.room));
    wrong
        .map(|one| {
            (Place::of(&one.room), format!("{}: {} ports for {} devices", one.room, one.ports, count(&one.room)))
        })
        .collect()
}

/// A sheet for each bridge, its loss as ITU-R P.525 prints it.
fn bridges(given: &Given<'_>, plan: &LinkPlan) -> Vec<Fault> {
    let mut faults = Vec::new();
    let links = given.routes.links.iter().filter(|link| link.device.is_some()).count();
    if links != plan.bridges.len() {
        faults.push((Place::job(), format!("{links} radio bridges and {} sheets", plan.bridges.len())));
    }
    for sheet in &plan.bridges {
        let log = |value: f64| 20.0 * libm::log10(value);
        let printed = 32.4 + log(sheet.frequency_mhz) + log(sheet.length_m.get() / 1000.0);
        if (printed - sheet.free_space_db).abs() > 0.06 {
            faults.push((Place::of(&sheet.room), format!("{}: {} dB over the path", sheet.room, sheet.free_space_db)));
        }
    }
    faults
}

#[cfg(test)]
mod tests {
    use super::super::testing::{Case, bridge, planned, verified};
    use super::*;

    #[test]
    fn a_plan_of_ours_is_quiet() {
        let case = Case { lengths: vec![30.0, 20.0, 10.0], buses: Some(1), unit_at: Some(50.0), ..bridge() };
        assert_eq!(verified(&case, &planned(&case).0), [""; 0]);
    }

    #[test]
    fn every_broken_promise_is_told() {
        let case = Case { lengths: vec![30.0, 20.0], buses: Some(1), ..bridge() };
        let broken = |change: &dyn Fn(&mut LinkPlan)| {
            let mut plan = planned(&case).0;
            change(&mut plan);
            verified(&case, &plan)
        };
        assert!(broken(&|plan| plan.buses[0].readers[1].address = 1)[0].contains("address 1"));
        assert!(broken(&|plan| plan.buses[0].readers[1].address = 0x7F)[0].contains("address 127"));
        assert!(broken(&|plan| plan.buses[0].trunk_m = dw_core::Metres::new(49.0))[0].contains("trunk"));
        assert!(broken(&|plan| plan.buses[0].bit_rate = 19_200)[0].contains("a round takes"));
        assert!(broken(&|plan| drop(plan.buses.remove(0)))[0].contains("1 readers to read and 0 lines"));
        assert!(broken(&|plan| plan.subnets[1].range = plan.subnets[0].range)[0].contains("overlap"));
        assert!(broken(&|plan| plan.devices[1].address = Some("10.20.0.1".to_owned()))[0].contains("outside"));
        assert!(broken(&|plan| plan.rooms[0].ports += 1)[0].contains("ports"));
        assert!(broken(&|plan| drop(plan.bridges.remove(0)))[0].contains("0 sheets"));
        assert!(broken(&|plan| plan.bridges[0].free_space_db += 0.2)[0].contains("over the path"));
    }
}
