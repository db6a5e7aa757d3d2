//! Cables from one room that run together for most of their length, so that they are pulled together.

use dw_core::{CableWayId, OpeningId, SquareMm};

use super::fill::section;
use super::ground::{length_mm, metres};
use super::{CableRun, PullGroup, RoutedOpening, Routes, WayPart};
use crate::Cx;

/// Share of the longest route that the common part must be. *Common practice*: most of it, more than half.
const MOST: f64 = 0.5;

/// A group while it grows.
struct Growing<'r> {
    /// Part of the ways that all members take, from the room.
    common: Vec<WayPart>,
    longest: u64,
    members: Vec<&'r RoutedOpening>,
}

/// Groups of at least two openings, by room and longest first.
///
/// Openings are taken from the longest route down; each joins the first group of its room whose common part would still be
/// more than half of the longest route in it, or else begins one. `runs` stand in the order of marks.
pub(super) fn groups(cx: &Cx<'_>, routes: &Routes, runs: &[CableRun]) -> Vec<PullGroup> {
    let mut by_room: Vec<&RoutedOpening> = routes.openings.iter().filter(|routed| !routed.ways.is_empty()).collect();
    by_room.sort_by(|a, b| (&a.room, b.length_m, &a.mark).cmp(&(&b.room, a.length_m, &b.mark)));
    let rooms = by_room.chunk_by(|a, b| a.room == b.room);
    let groups = rooms.flat_map(of_room).filter(|group| group.members.len() > 1);
    groups.map(|group| finish(cx, &group, runs)).collect()
}

/// Groups of one room, from its longest route down.
fn of_room<'r>(routed: &[&'r RoutedOpening]) -> Vec<Growing<'r>> {
    let mut groups: Vec<Growing<'r>> = Vec::new();
    for &routed in routed {
        let joins = groups.iter_mut().find_map(|group| {
            let common = common(&group.common, &routed.ways);
            is_most(length(&common), group.longest).then_some((group, common))
        });
        if let Some((group, common)) = joins {
            group.common = common;
            group.members.push(routed);
        } else {
            let (common, longest) = (routed.ways.clone(), length_mm(routed.length_m));
            groups.push(Growing { common, longest, members: vec![routed] });
        }
    }
    groups
}

fn is_most(length: u64, of: u64) -> bool {
    length as f64 > MOST * of as f64
}

fn finish(cx: &Cx<'_>, group: &Growing<'_>, runs: &[CableRun]) -> PullGroup {
    let mut openings: Vec<_> = group.members.iter().map(|routed| routed.mark.clone()).collect();
    openings.sort();
    let of_group = openings.iter().flat_map(|mark| of_opening(runs, mark));
    let pulled: Vec<&CableRun> = of_group.filter(|run| !run.existing && !run.local).collect();
    let area = |run: &&CableRun| run.device.as_ref().and_then(|id| cx.device(id)?.cable.diameter).map(section);
    PullGroup {
        room: group.members[0].room.clone(),
        cables: u32::try_from(pulled.len()).unwrap_or(u32::MAX),
        taken_mm2: pulled.iter().filter_map(area).sum::<SquareMm>(),
        together_m: metres(length(&group.common)),
        ways: group.common.iter().map(|part| part.way.clone()).collect::<Vec<CableWayId>>(),
        openings,
    }
}

/// The cables of an opening among runs in the order of marks.
fn of_opening<'s>(runs: &'s [CableRun], mark: &OpeningId) -> &'s [CableRun] {
    let rest = &runs[runs.partition_point(|run| run.mark < *mark)..];
    &rest[..rest.partition_point(|run| run.mark == *mark)]
}

/// The part that two routes from a room share before they separate.
fn common(a: &[WayPart], b: &[WayPart]) -> Vec<WayPart> {
    let mut common = Vec::new();
    for (a, b) in a.iter().zip(b) {
        let is_same_start = a.way == b.way && a.from_m == b.from_m && (a.to_m >= a.from_m) == (b.to_m >= b.from_m);
        if !is_same_start {
            break;
        }
        let ends_first = if part_length(a) <= part_length(b) { a } else { b };
        common.push(ends_first.clone());
        if a.to_m != b.to_m {
            break;
        }
    }
    common
}

fn part_length(part: &WayPart) -> u64 {
    length_mm(part.from_m).abs_diff(length_mm(part.to_m))
}

fn length(parts: &[WayPart]) -> u64 {
    parts.iter().map(part_length).sum()
}

#[cfg(test)]
mod tests {
    use dw_core::Id;

    use super::*;
    use crate::route::testing::Scene;

    /// Doors along one tray of 100 m, all from a room at its beginning; gives the groups as marks and common lengths.
    fn check(doors: &[f64], expected: &[(&[&str], f64)]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (100.0, 0.0)).area = Some(SquareMm::new(90_000.0));
        for (idx, &x) in doors.iter().enumerate() {
            let mark = format!("D-{}", idx + 1);
            scene.opening(&mark, "S0", x, 2.0);
            scene.serve(&mark, "TR-1", x + 2.0);
        }
        let (schedule, raised) = scene.schedule();
        assert!(raised.is_empty(), "{raised:?}");
        let found: Vec<(Vec<&str>, f64)> = (schedule.pulls.iter())
            .map(|group| (group.openings.iter().map(Id::text).collect(), group.together_m.get()))
            .collect();
        let expected: Vec<(Vec<&str>, f64)> =
            expected.iter().map(|(marks, length)| (marks.to_vec(), *length)).collect();
        assert_eq!(found, expected);
        assert!(schedule.pulls.iter().all(|group| group.cables as usize == 3 * group.openings.len()));
    }

    #[test]
    fn cables_that_share_most_of_their_length_are_pulled_together() {
        check(&[90.0, 80.0, 60.0], &[(&["D-1", "D-2", "D-3"], 60.0)]);
    }

    #[test]
    fn a_route_less_than_half_as_long_is_pulled_alone() {
        // 46 m are half of the 92 m of the longest, and no more.
        check(&[90.0, 80.0, 46.0], &[(&["D-1", "D-2"], 80.0)]);
        check(&[90.0, 80.0, 46.1], &[(&["D-1", "D-2", "D-3"], 46.1)]);
        check(&[90.0, 20.0], &[]);
    }

    #[test]
    fn cables_from_two_rooms_are_pulled_apart_and_counted_with_their_own() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 100.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (100.0, 0.0)).area = Some(SquareMm::new(90_000.0));
        for (mark, room) in [("D-1", "TR-2"), ("D-2", "TR-1"), ("D-9", "TR-1"), ("D-10", "TR-2")] {
            scene.opening(mark, "S0", 50.0, 2.0);
            scene.serve(mark, room, 52.0);
        }
        let pulls = scene.schedule().0.pulls;
        let found: Vec<(&str, Vec<&str>, u32)> = (pulls.iter())
            .map(|group| (group.room.text(), group.openings.iter().map(Id::text).collect(), group.cables))
            .collect();
        assert_eq!(found, [("TR-1", vec!["D-2", "D-9"], 6), ("TR-2", vec!["D-1", "D-10"], 6)]);
    }

    #[test]
    fn cables_without_a_drawn_way_form_no_group() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        for mark in ["D-1", "D-2"] {
            scene.opening(mark, "S0", 30.0, 0.0);
            scene.serve(mark, "TR-1", 30.0);
        }
        assert_eq!(scene.schedule().0.pulls, []);
    }
}
