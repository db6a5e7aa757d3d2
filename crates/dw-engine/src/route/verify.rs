//! Judges routes and cable schedules, ours or edited by hand, with code of its own.

mod cables;
mod touching;

use std::collections::BTreeMap;

use dw_core::{BlockedAreaId, CableWayId, Metres, Place};
use dw_job::Job;
use dw_job::model::{BlockedArea, CableWay};

use self::touching::{Line, Lines};
use super::rules::RouteBroken;
use super::{CableSchedule, RoutedOpening, Routes};
use crate::Cx;
use crate::equip::Equipment;
use crate::place::Placement;
use crate::survey::Survey;

/// Lengths agree when they differ by no more than this: rounding to the millimetre.
const SAME_M: f64 = 0.0015;

/// Judges routes and schedule.
///
/// Routes: each served opening has one, from its room, as long as it was placed with, plus its detour; ways are open, touch
/// one another, pass no blocked area, and what the route takes of them adds up to its length. Schedule: every need has its cores, every core is allocated,
/// bought covers cut, fills add up. Raises `RTE-901` and `RTE-902`.
pub fn verify(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    routes: &Routes,
    schedule: &CableSchedule,
) {
    let lines = Lines::new(job);
    let ways: BTreeMap<&CableWayId, &CableWay> = job.cable_ways.iter().map(|way| (&way.id, way)).collect();
    let settings = &survey.settings;
    let ends = settings.drop_opening_m.get() + settings.drop_room_m.get() + 2.0 * settings.slack_m.get();
    for served in &placement.served {
        let problem = match routes.of(&served.mark) {
            None => Some("is served and has no route".to_owned()),
            Some(routed) if routed.room != served.room => {
                Some(format!("is routed to {}, served from {}", routed.room, served.room))
            }
            Some(routed) if !same(routed.length_m - routed.detour_m, served.length_m) => Some(format!(
                "route of {:.3}, {:.3} of it a detour, placed with {:.3}",
                routed.length_m, routed.detour_m, served.length_m
            )),
            Some(routed) => broken(&ways, &lines, &job.blocked_areas, ends, routed),
        };
        if let Some(problem) = problem {
            cx.sink.report(&RouteBroken { place: Place::of(&served.mark), problem });
        }
    }
    for pair in routes.openings.windows(2).filter(|pair| pair[0].mark >= pair[1].mark) {
        let problem = "has two routes, or routes are out of order".to_owned();
        cx.sink.report(&RouteBroken { place: Place::of(&pair[1].mark), problem });
    }
    for routed in routes.openings.iter().filter(|routed| placement.of(&routed.mark).is_none()) {
        let problem = "has a route and is not served".to_owned();
        cx.sink.report(&RouteBroken { place: Place::of(&routed.mark), problem });
    }
    cables::verify(cx, job, equipment, routes, schedule);
}

/// By so much a route may reach into a blocked area: rounding to the millimetre of its end, of the way and of the area.
const INTO_AREA_M: f64 = 2.0 * SAME_M;

/// A blocked area of its storey that the part of a level line between two shares of it passes.
fn crossed<'a>(areas: &'a [BlockedArea], line: &Line, from: f64, to: f64) -> Option<&'a BlockedAreaId> {
    let (start, end) = (line.at(from), line.at(to));
    let is_in = |area: &&BlockedArea| {
        let inside = |axis: usize, a: Option<Metres>, b: Option<Metres>| {
            let (a, b) = (a?, b?);
            inside(start[axis], end[axis], a.min(b).get() + INTO_AREA_M, a.max(b).get() - INTO_AREA_M)
        };
        let both = inside(0, area.x1, area.x2).zip(inside(1, area.y1, area.y2));
        both.is_some_and(|(x, y)| f64::max(x.0, y.0) < f64::min(x.1, y.1))
    };
    areas.iter().filter(|area| line.storey.is_some() && area.storey == line.storey).find(is_in).map(|area| &area.id)
}

/// Shares of the way from one coordinate to another between which it lies between two bounds; `None` where it never does.
fn inside(from: f64, to: f64, low: f64, high: f64) -> Option<(f64, f64)> {
    let along = to - from;
    if along == 0.0 {
        return (low < from && from < high).then_some((0.0, 1.0));
    }
    let (a, b) = ((low - from) / along, (high - from) / along);
    (low < high).then_some((a.min(b).max(0.0), a.max(b).min(1.0)))
}

fn same(a: Metres, b: Metres) -> bool {
    (a.get() - b.get()).abs() <= SAME_M
}

/// What is wrong with a route by itself.
fn broken(
    ways: &BTreeMap<&CableWayId, &CableWay>,
    lines: &Lines,
    areas: &[BlockedArea],
    ends: f64,
    routed: &RoutedOpening,
) -> Option<String> {
    let mut drawn = 0.0;
    for part in &routed.ways {
        let id = &part.way;
        let Some(way) = ways.get(id) else { return Some(format!("runs in {id}, which is not drawn")) };
        if way.blocked == Some(true) {
            return Some(format!("runs in {id}, which is blocked"));
        }
        let Some(line) = lines.of(id) else { return Some(format!("runs in {id}, which lacks an end")) };
        let whole = way.length.map_or(0.0, Metres::get).max(line.length() + SAME_M);
        let (from, to) = (part.from_m.get(), part.to_m.get());
        if from.min(to) < 0.0 || from.max(to) > whole + SAME_M {
            return Some(format!("runs in {id} from {from:.3} m to {to:.3} m, which is {whole:.3} m long"));
        }
        if let Some(area) = crossed(areas, line, from / whole, to / whole) {
            return Some(format!("runs in {id} through blocked area {area}"));
        }
        drawn += (from - to).abs();
    }
    let (length, off) = (routed.length_m.get(), routed.off_way_m.get());
    if (off + ends + drawn - length).abs() > SAME_M {
        return Some(format!(
            "{off:.3} m outside ways, {drawn:.3} m in them, {ends:.3} m at the ends, {length:.3} m in all"
        ));
    }
    for pair in routed.ways.windows(2) {
        let gap = lines.of(&pair[0].way).zip(lines.of(&pair[1].way)).map_or(0.0, |(a, b)| a.distance(b));
        // Ends may lie a joint's tolerance apart on either way; a wider gap must be counted outside ways.
        if gap > 0.2 + off * 1.000_001 {
            return Some(format!("{} and {} are {gap:.2} m apart", pair[0].way, pair[1].way));
        }
    }
    None
}

#[cfg(test)]
mod tests;
