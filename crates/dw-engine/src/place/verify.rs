//! Judges placements, ours or edited by hand, with code of its own.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{Money, OpeningId, Place, RoomId};
use dw_job::Job;
use dw_job::catalogue::{CableUse, DeviceKind, Interface};
use dw_solve::location::check;

use super::keep::Kept;
use super::rules::PlacementBroken;
use super::solve::Solution;
use super::statement::Statement;
use super::{Placement, Served};
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Role};
use crate::survey::Survey;

/// Judges a placement.
///
/// Every opening under control is served once or listed as unserved; its ports lie on one controller that suits it and on
/// no port of another opening; none shares a controller it must not share; spare ports, room limits, length limits and pins hold; the bound does not exceed the
/// cost. Raises `PLC-901`.
pub fn verify(cx: &mut Cx<'_>, job: &Job, survey: &Survey, equipment: &Equipment, placement: &Placement) {
    let mut problems: Vec<(Place, String)> = Vec::new();
    everybody_once(equipment, placement, &mut problems);
    let mut seats: BTreeMap<&OpeningId, Vec<(usize, usize)>> = BTreeMap::new();
    for (idx, controller) in placement.controllers.iter().enumerate() {
        for (port, mark) in controller.ports.iter().enumerate() {
            if let Some(mark) = mark {
                seats.entry(mark).or_default().push((idx, port));
            }
        }
    }
    for served in &placement.served {
        let held = seats.remove(&served.mark).unwrap_or_default();
        let problem =
            seat_problem(equipment, placement, served, &held).or_else(|| length_problem(cx, equipment, served));
        problems.extend(problem.map(|problem| (Place::of(&served.mark), problem)));
    }
    problems.extend(seats.into_keys().map(|mark| (Place::of(mark), "holds a port and is not served".to_owned())));
    for pin in &job.pins {
        let (Some(opening), Some(room)) = (&pin.opening, &pin.room) else { continue };
        let first = job.pins.iter().find(|it| it.opening.as_ref() == Some(opening) && it.room.is_some());
        let counts = first.is_some_and(|first| first == pin) && survey.room(room).is_some();
        if let Some(served) = placement.of(opening).filter(|served| counts && served.room != *room) {
            problems.push((Place::of(opening), format!("is pinned to {room} and served from {}", served.room)));
        }
    }
    for pin in job.pins.iter().filter(|pin| !pin.not_room.is_empty()) {
        let served = pin.opening.as_ref().and_then(|opening| placement.of(opening));
        let is_pinned = |served: &Served| {
            job.pins
                .iter()
                .any(|it| it.opening.as_ref() == Some(&served.mark) && it.room.as_ref() == Some(&served.room))
        };
        if let Some(served) = served.filter(|it| pin.not_room.contains(&it.room) && !is_pinned(it)) {
            problems.push((Place::of(&served.mark), format!("is served from {}, which a pin forbids", served.room)));
        }
    }
    apart(job, placement, &mut problems);
    labels(placement, &mut problems);
    spares(cx, survey, equipment, placement, &mut problems);
    limits(cx, survey, equipment, placement, &mut problems);
    if placement.bound > placement.cost {
        let problem = format!("bound of {} above the cost of {}", placement.bound, placement.cost);
        problems.push((Place::job(), problem));
    }
    for (place, problem) in problems {
        cx.sink.report(&PlacementBroken { place, problem });
    }
}

/// Prices a plan anew with the solver crate's independent judge and compares; the controllers that stay as issued, which the
/// judge sees as free, are added.
pub(super) fn reprice(cx: &mut Cx<'_>, statement: &Statement, kept: &Kept, solution: &Solution) {
    let anew =
        check(&kept.nailed(statement), &solution.plan).map(|cost| cost.total().saturating_add(kept.price(statement)));
    let problem = match anew {
        Ok(cost) if cost == solution.cost => return,
        Ok(cost) => {
            format!("costs {} by the plan, {} priced anew", Money::from_cents(solution.cost), Money::from_cents(cost))
        }
        Err(violation) => violation.to_string(),
    };
    cx.sink.report(&PlacementBroken { place: Place::job(), problem });
}

fn everybody_once(equipment: &Equipment, placement: &Placement, problems: &mut Vec<(Place, String)>) {
    let mut times: BTreeMap<&OpeningId, u32> = BTreeMap::new();
    for mark in placement.served.iter().map(|served| &served.mark).chain(&placement.unserved) {
        *times.entry(mark).or_default() += 1;
    }
    for equipped in equipment.openings.iter().filter(|equipped| equipped.control != ControlNeed::None) {
        match times.remove(&equipped.mark).unwrap_or(0) {
            1 => {}
            n => problems.push((Place::of(&equipped.mark), format!("stands {n} times in the placement, should once"))),
        }
    }
    for mark in times.into_keys() {
        problems.push((Place::of(mark), "stands in the placement and needs no control".to_owned()));
    }
}

/// What is wrong with the ports an opening holds.
fn seat_problem(
    equipment: &Equipment,
    placement: &Placement,
    served: &Served,
    held: &[(usize, usize)],
) -> Option<String> {
    let ControlNeed::Ports { ports, models } = &equipment.opening(&served.mark)?.control else {
        let is_free = held.is_empty() && served.controller.is_none();
        return (!is_free).then(|| "decides by itself and holds a port".to_owned());
    };
    if held.len() != *ports as usize {
        return Some(format!("holds {} ports, needs {ports}", held.len()));
    }
    let (first, port) = *held.first()?;
    let controller = &placement.controllers[first];
    let is_run = held.iter().enumerate().all(|(idx, seat)| *seat == (first, port + idx));
    if !is_run || served.controller != Some(first) || served.first_port as usize != port + 1 {
        return Some("its ports are not the run on one controller that the plan says".to_owned());
    }
    if controller.room != served.room {
        return Some(format!("is served from {}, its controller {} stands elsewhere", served.room, controller.label));
    }
    (!models.contains(&controller.device)).then(|| format!("sits on {}, which does not suit it", controller.device))
}

/// Whether its cables are longer than their interface carries.
fn length_problem(cx: &Cx<'_>, equipment: &Equipment, served: &Served) -> Option<String> {
    let equipped = equipment.opening(&served.mark)?;
    let on_network = equipped.cables.iter().any(|need| need.purpose == CableUse::Network);
    let readers = equipped.devices.iter().filter(|it| matches!(it.role, Role::ReaderIn | Role::ReaderOut));
    let only_data_lines = matches!(equipped.control, ControlNeed::Ports { .. })
        && readers.filter_map(|it| cx.device(&it.device)).any(|reader| reader.interfaces == [Interface::DataLines]);
    let most = if on_network {
        90.0
    } else if only_data_lines {
        150.0
    } else {
        1200.0
    };
    let length = served.length_m.get();
    (length > most + 0.001).then(|| format!("{length:.1} m of cable, {most:.0} m are possible"))
}

/// Two openings on a controller they must not share.
fn apart(job: &Job, placement: &Placement, problems: &mut Vec<(Place, String)>) {
    for apart in &job.apart {
        for controller in &placement.controllers {
            let here: BTreeSet<&OpeningId> =
                controller.ports.iter().flatten().filter(|mark| apart.openings.contains(mark)).collect();
            if let [first, second, ..] = here.into_iter().collect::<Vec<_>>()[..] {
                let problem = format!("shares {} with {first}, from which it must stay apart", controller.label);
                problems.push((Place::of(second), problem));
            }
        }
    }
}

fn labels(placement: &Placement, problems: &mut Vec<(Place, String)>) {
    let mut labels = BTreeSet::new();
    for controller in &placement.controllers {
        if !labels.insert((&controller.room, controller.number)) {
            let problem = format!("two controllers have the number {}", controller.number);
            problems.push((Place::of(&controller.room), problem));
        }
    }
}

/// Spare ports by room and by set of models that may serve; lift controllers need none.
fn spares(
    cx: &Cx<'_>,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    problems: &mut Vec<(Place, String)>,
) {
    let mut used: BTreeMap<&RoomId, BTreeMap<BTreeSet<&dw_core::DeviceId>, (u64, u64)>> = BTreeMap::new();
    let is_lift = |id| cx.device(id).is_some_and(|device| device.kind == Some(DeviceKind::LiftController));
    for controller in placement.controllers.iter().filter(|controller| !is_lift(&controller.device)) {
        let models = controller.ports.iter().flatten().find_map(|mark| match &equipment.opening(mark)?.control {
            ControlNeed::Ports { models, .. } => Some(models.iter().collect()),
            _ => None,
        });
        let taken = controller.ports.iter().flatten().count() as u64;
        // A controller nobody sits on yet is spare for every kind it suits.
        let kinds = used.entry(&controller.room).or_default();
        let entry = kinds.entry(models.unwrap_or_else(|| BTreeSet::from([&controller.device]))).or_default();
        *entry = (entry.0 + taken, entry.1 + controller.ports.len() as u64);
    }
    for (room, kinds) in used {
        let idle: u64 = kinds.values().filter(|it| it.0 == 0).map(|it| it.1).sum();
        for (taken, there) in kinds.values().filter(|it| it.0 > 0) {
            let in_use = 100_u64.saturating_sub(u64::from(survey.settings.spare_percent)).max(1);
            let wanted = (taken * 100).div_ceil(in_use);
            if there + idle < wanted {
                let problem = format!("{there} ports for {taken} in use, {wanted} with spare ones");
                problems.push((Place::of(room), problem));
            }
        }
    }
}

fn limits(
    cx: &Cx<'_>,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    problems: &mut Vec<(Place, String)>,
) {
    let place_units = cx.catalogue.of_kind(DeviceKind::Enclosure).filter_map(|it| it.enclosure_units).max();
    // More network ports can be bought where the catalogue offers a switch with ports beyond its two links.
    let has_switch =
        cx.catalogue.offered(DeviceKind::Switch).any(|it| it.network.ports > Some(2) && it.price.is_some());
    for room in &survey.rooms {
        let here = placement.controllers.iter().filter(|controller| controller.room == room.id);
        let controllers = here.clone().count();
        let own = placement.served.iter().filter(|served| served.room == room.id).filter(|served| {
            let equipped = equipment.opening(&served.mark);
            equipped.is_some_and(|it| {
                matches!(it.control, ControlNeed::OwnUnit { .. })
                    || it.cables.iter().any(|need| need.purpose == CableUse::Network)
            })
        });
        let ports = controllers + own.count();
        let units: u32 = here
            .filter_map(|controller| cx.device(&controller.device))
            .map(|device| match device.kind {
                Some(DeviceKind::Kit) => place_units.or(device.control.ports).unwrap_or(0),
                _ => device.control.enclosure_units.or(device.control.ports).unwrap_or(0),
            })
            .sum();
        let most_units = room.enclosure_places.zip(place_units).map(|(places, units)| places.saturating_mul(units));
        let checks = [
            ("controllers", controllers, room.max_controllers),
            ("units of enclosure", units as usize, most_units),
            ("network ports", ports, room.network_ports.filter(|_| !has_switch)),
        ];
        for (what, taken, most) in checks {
            if most.is_some_and(|most| taken > most as usize) {
                let problem = format!("{taken} {what} taken, {} there", most.unwrap_or(0));
                problems.push((Place::of(&room.id), problem));
            }
        }
    }
}

#[cfg(test)]
mod tests;
