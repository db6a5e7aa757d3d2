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

/// A blocked area of its storey that the part of a level line between two shares of it passes, looked at every tenth.
fn crossed<'a>(areas: &'a [BlockedArea], line: &Line, from: f64, to: f64) -> Option<&'a BlockedAreaId> {
    let is_in = |area: &&BlockedArea| {
        let sides = area.x1.zip(area.x2).zip(area.y1.zip(area.y2));
        sides.is_some_and(|((x1, x2), (y1, y2))| {
            (0..10).any(|tenth| {
                let [x, y, _] = line.at(from + (to - from) * (f64::from(tenth) + 0.5) / 10.0);
                let inside =
                    |at: f64, a: Metres, b: Metres| at > a.min(b).get() + SAME_M && at < a.max(b).get() - SAME_M;
                inside(x, x1, x2) && inside(y, y1, y2)
            })
        })
    };
    areas.iter().filter(|area| line.storey.is_some() && area.storey == line.storey).find(is_in).map(|area| &area.id)
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
