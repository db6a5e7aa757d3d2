//! Lengths from every opening to every room within its limit, and what the cables there would cost.

use std::collections::BTreeMap;

use dw_core::{Money, Place};
use dw_job::{Catalogue, Job};
use dw_solve::ways::Ways;

use super::cables::{Cables, is_outdoors, lock_loop};
use super::existing::InWall;
use super::ground::{Ground, length_mm, metres};
use super::limits::limit;
use super::net::{Landed, Net};
use super::rules::{
    AreaLeftOut, OutOfReach, PointInBlockedArea, WayCrossesBlockedArea, WayIncomplete, WayTooShort, WaysNotConnected,
};
use super::{LengthLimit, Reach, surge};
use crate::Cx;
use crate::equip::{Arrangement, Arrangements, CableNeed, ControlNeed, Equipped};
use crate::survey::{Settings, Survey, Surveyed};

/// Finds the length of the shortest route from every opening to every room.
///
/// `length = ways + legs outside ways + drop at the opening + drop in the room + 2 · slack`. Each way to arrange an opening
/// has a limit of its own ([`LengthLimit`]); rooms beyond all of them are left out. Openings without control have no
/// lengths.
///
/// Raises `RTE-001` (out of reach of every room), `RTE-002` (ways not connected), `RTE-003` (way incomplete), `RTE-013`,
/// `RTE-016` to `RTE-018` (drawing).
/// The page `docs/calculations/route.md` shows the rule and an example.
pub fn reach(cx: &mut Cx<'_>, job: &Job, survey: &Survey, arrangements: &Arrangements) -> Reach {
    let net = Net::new(job, survey);
    tell_of_drawing(cx, &net);
    let mut cables = Cables::new(cx.catalogue, &survey.settings);
    let wants: Vec<&[Arrangement]> = (0..survey.openings.len()).map(|idx| wanted(arrangements, idx)).collect();
    let limits = limits(cx, survey, &wants, &mut cables);
    let farthest: Vec<LengthLimit> = limits.iter().map(|limits| farthest(limits)).collect();
    let far: Vec<u64> = farthest.iter().map(|limit| length_mm(limit.length_m)).collect();
    let ends = ends(&survey.settings);
    let is_wanted = |idx: usize| !wants[idx].is_empty();
    tell_of_shut_in(cx, &net, survey, &is_wanted);
    let mut arcs = measure(&net, survey, ends, far.iter().copied().max().unwrap_or(0), &is_wanted);
    let is_lost = |idx: usize| is_wanted(idx) && arcs[idx].iter().all(|it| it.length > far[idx]);
    let lost: Vec<usize> = (0..arcs.len()).filter(|&idx| is_lost(idx)).collect();
    if !lost.is_empty() {
        let all = measure(&net, survey, ends, u64::MAX, &|idx| lost.binary_search(&idx).is_ok());
        for idx in lost {
            let nearest = all[idx].iter().map(|arc| (arc.length, arc.room)).min();
            tell_of_distance(cx, &net, survey, idx, nearest, &farthest[idx]);
        }
    }
    for (arcs, &far) in arcs.iter_mut().zip(&far) {
        arcs.retain(|arc| arc.length <= far);
    }
    priced(cx, job, survey, &net.ground, &wants, &limits, &arcs)
}

/// The same connections, each route longer by a share; drops and slack, which are cut as the policy says, are not.
///
/// `length = (length - ends) · (1 + share) + ends`; a room beyond the limit then is left out. Raises nothing.
pub fn longer(
    cx: &Cx<'_>,
    job: &Job,
    survey: &Survey,
    arrangements: &Arrangements,
    reach: &Reach,
    share: f64,
) -> Reach {
    let mut cables = Cables::new(cx.catalogue, &survey.settings);
    let wants: Vec<&[Arrangement]> = (0..survey.openings.len()).map(|idx| wanted(arrangements, idx)).collect();
    let limits = limits(cx, survey, &wants, &mut cables);
    let ends = ends(&survey.settings);
    let grown =
        |length: u64| ends.saturating_add(libm::ceil(length.saturating_sub(ends) as f64 * (1.0 + share)) as u64);
    let arcs: Vec<Vec<Measured>> = (reach.lengths.iter().zip(&reach.outdoors).zip(&limits))
        .map(|((lengths, outdoors), limits)| {
            let far = length_mm(farthest(limits).length_m);
            let arcs = lengths.iter().zip(outdoors).map(|(&(room, length), &outdoors)| Measured {
                room,
                length: grown(length_mm(length)),
                outdoors,
            });
            arcs.filter(|arc| arc.length <= far).collect()
        })
        .collect();
    priced(cx, job, survey, &Ground::new(job, survey), &wants, &limits, &arcs)
}

/// The limit of every way to arrange every opening.
fn limits(cx: &Cx<'_>, survey: &Survey, wants: &[&[Arrangement]], cables: &mut Cables<'_>) -> Vec<Vec<LengthLimit>> {
    survey.openings.iter().zip(wants).map(|(opening, wants)| of_ways(cx.catalogue, cables, opening, wants)).collect()
}

/// Lengths with what the cables of every arrangement would cost.
fn priced(
    cx: &Cx<'_>,
    job: &Job,
    survey: &Survey,
    ground: &Ground,
    wants: &[&[Arrangement]],
    limits: &[Vec<LengthLimit>],
    arcs: &[Vec<Measured>],
) -> Reach {
    let mut pricing =
        Pricing { cables: Cables::new(cx.catalogue, &survey.settings), ground, in_wall: InWall::new(job), survey };
    let mut cable_costs = Vec::with_capacity(arcs.len());
    for (idx, arcs) in arcs.iter().enumerate() {
        let cost = |(one, limit): (&Arrangement, &LengthLimit)| {
            let costs = pricing.costs(cx, &survey.openings[idx], &one.equipped, arcs);
            let within = arcs.iter().map(|arc| arc.length <= length_mm(limit.length_m));
            within.zip(costs).map(|(within, cost)| within.then_some(cost)).collect()
        };
        cable_costs.push(wants[idx].iter().zip(&limits[idx]).map(cost).collect());
    }
    Reach {
        lengths: arcs.iter().map(|it| it.iter().map(|arc| (arc.room, metres(arc.length))).collect()).collect(),
        outdoors: arcs.iter().map(|it| it.iter().map(|arc| arc.outdoors).collect()).collect(),
        cable_costs,
        limits: limits.iter().map(|limits| farthest(limits)).collect(),
        way_limits: limits.to_vec(),
    }
}

/// The ways to arrange an opening that needs cables to a room; none for one without control.
fn wanted(arrangements: &Arrangements, idx: usize) -> &[Arrangement] {
    let all = arrangements.openings.get(idx).map_or(&[][..], Vec::as_slice);
    if all.iter().all(|one| one.equipped.control == ControlNeed::None) { &[] } else { all }
}

/// The limit of every way to arrange an opening. One that no cable of the catalogue serves reaches nowhere while another
/// way is served.
fn of_ways(
    catalogue: &Catalogue,
    cables: &mut Cables<'_>,
    opening: &Surveyed,
    wants: &[Arrangement],
) -> Vec<LengthLimit> {
    let outdoors = is_outdoors(opening);
    let mut is_served = |one: &Arrangement| {
        let mut needs = one.equipped.cables.iter().filter(|need| !need.existing);
        needs.all(|need| cables.longest(need, outdoors).is_some())
    };
    let served: Vec<bool> = wants.iter().map(&mut is_served).collect();
    let any = served.contains(&true);
    let of_way = |(one, served): (&Arrangement, &bool)| {
        if any && !served { LengthLimit::default() } else { limit(catalogue, cables, &one.equipped, outdoors) }
    };
    wants.iter().zip(&served).map(of_way).collect()
}

/// The limit that reaches farthest; of equal ones the first.
fn farthest(limits: &[LengthLimit]) -> LengthLimit {
    let longer =
        |best: LengthLimit, next: &LengthLimit| if next.length_m > best.length_m { next.clone() } else { best };
    limits.iter().fold(LengthLimit::default(), longer)
}

/// Drops and slack at both ends.
pub(super) fn ends(settings: &Settings) -> u64 {
    length_mm(settings.drop_opening_m) + length_mm(settings.drop_room_m) + 2 * length_mm(settings.slack_m)
}

/// Openings by the nodes they can be reached through, and by plane.
struct Doors {
    landed: Vec<Option<Landed>>,
    by_node: Vec<Vec<usize>>,
    by_plane: BTreeMap<usize, Vec<usize>>,
}

impl Doors {
    fn new(net: &Net<'_>, survey: &Survey, is_wanted: &dyn Fn(usize) -> bool) -> Self {
        let mut doors =
            Self { landed: Vec::new(), by_node: vec![Vec::new(); net.n_nodes()], by_plane: BTreeMap::new() };
        for (idx, opening) in survey.openings.iter().enumerate() {
            let spot = net.ground.spot(&opening.storey, opening.x_m, opening.y_m).filter(|_| is_wanted(idx));
            let landed = spot.map(|spot| net.land(spot));
            if let Some(landed) = &landed {
                net.doors_of(landed).into_iter().for_each(|node| doors.by_node[node].push(idx));
                doors.by_plane.entry(landed.spot.plane).or_default().push(idx);
            }
            doors.landed.push(landed);
        }
        doors
    }

    /// Openings that may be connected with a room.
    fn near(&self, room: &Landed, ways: &Ways, mark: &mut [bool]) -> Vec<usize> {
        let same_plane = self.by_plane.get(&room.spot.plane).into_iter().flatten();
        let through = self.by_node.iter().enumerate().filter(|(node, _)| ways.distance(*node).is_some());
        let mut near = Vec::new();
        for &idx in through.flat_map(|(_, openings)| openings).chain(same_plane) {
            if !std::mem::replace(&mut mark[idx], true) {
                near.push(idx);
            }
        }
        for &idx in &near {
            mark[idx] = false;
        }
        near
    }
}

/// A room within reach of an opening.
#[derive(Debug, Clone, Copy)]
struct Measured {
    room: usize,
    /// Length with drops and slack.
    length: u64,
    /// Whether the way there leads outdoors.
    outdoors: bool,
}

/// Rooms up to `limit`, by opening, in the order of rooms.
fn measure(
    net: &Net<'_>,
    survey: &Survey,
    ends: u64,
    limit: u64,
    is_wanted: &dyn Fn(usize) -> bool,
) -> Vec<Vec<Measured>> {
    let doors = Doors::new(net, survey, is_wanted);
    let mut mark = vec![false; survey.openings.len()];
    let mut arcs = vec![Vec::new(); survey.openings.len()];
    for (idx, room) in survey.rooms.iter().enumerate() {
        let Some(spot) = net.ground.spot(&room.storey, room.x_m, room.y_m) else { continue };
        let landed = net.land(spot);
        let ways = net.ways_from(&landed, limit.saturating_sub(ends));
        let outdoors = net.outdoors(&landed, &ways);
        for opening in doors.near(&landed, &ways, &mut mark) {
            let Some(door) = &doors.landed[opening] else { continue };
            let link = net.link(&landed, &ways, door);
            if let Some(link) = link.filter(|link| link.length.saturating_add(ends) <= limit) {
                let outdoors = net.link_outdoors(&outdoors, &landed, door, link);
                arcs[opening].push(Measured { room: idx, length: link.length + ends, outdoors });
            }
        }
    }
    arcs
}

/// What cables cost, by where they lead.
struct Pricing<'p, 'a> {
    cables: Cables<'a>,
    ground: &'p Ground,
    in_wall: InWall<'p>,
    survey: &'p Survey,
}

impl Pricing<'_, '_> {
    /// Cost of all cables of an opening to each room within reach: price with waste, and labour, of the cable each need is
    /// likely to get there, outdoor cable where the way leads outdoors; with the surge protectors that its ends want.
    fn costs(&mut self, cx: &Cx<'_>, opening: &Surveyed, equipped: &Equipped, arcs: &[Measured]) -> Vec<Money> {
        let at_opening = is_outdoors(opening);
        let loop_ohm = lock_loop(cx.catalogue, equipped);
        let waste = 1.0 + self.survey.settings.waste_share;
        let at_door = length_mm(self.survey.settings.drop_opening_m);
        let mut cost = |arc: &Measured| {
            let room = &self.survey.rooms[arc.room];
            let reuses = self.in_wall.ends_in(&opening.mark, &room.id);
            let apart = self.ground.are_apart(&opening.storey, &room.storey);
            let (local, far): (Vec<&CableNeed>, Vec<&CableNeed>) = equipped.cables.iter().partition(|need| need.local);
            let mut laid = |needs: &[&CableNeed], outdoors: bool, length: u64| -> Money {
                let bought = needs.iter().filter(|need| !(need.existing && reuses));
                let likely = bought.filter_map(|need| self.cables.likely(need, outdoors, length, loop_ohm));
                let (price, labour) = likely.fold((Money::ZERO, Money::ZERO), |(price, labour), (cable, count)| {
                    (price + cable.price * count, labour + cable.labour * count)
                });
                let metres = length as f64 / 1000.0;
                price.times_quantity(metres * waste) + labour.times_quantity(metres)
            };
            let outdoors = at_opening || arc.outdoors;
            let cable = laid(&far, outdoors, arc.length) + laid(&local, at_opening, at_door);
            match surge::ends(opening, apart) {
                0 => cable,
                ends => cable + far.iter().map(|need| self.cables.protection(need.purpose)).sum::<Money>() * ends,
            }
        };
        arcs.iter().map(&mut cost).collect()
    }
}

fn tell_of_drawing(cx: &mut Cx<'_>, net: &Net<'_>) {
    for way in &net.drawn.incomplete {
        cx.sink.report(&WayIncomplete { way: way.clone() });
    }
    for (way, stated, straight) in &net.drawn.too_short {
        cx.sink.report(&WayTooShort { way: way.clone(), stated: metres(*stated), straight: metres(*straight) });
    }
    for (area, because) in &net.areas.left_out {
        cx.sink.report(&AreaLeftOut { area: area.clone(), because: *because });
    }
    for (way, area, length) in &net.drawn.crossing {
        let (way, area) = (way.clone(), area.clone());
        cx.sink.report(&WayCrossesBlockedArea { way, area, length: metres(*length) });
    }
    for gap in &net.gaps {
        let (way, other) = (gap.way.clone(), gap.other.clone());
        cx.sink.report(&WaysNotConnected { way, other, gap: metres(gap.length) });
    }
    for (storey, elevation) in &net.ground.assumed_elevations {
        let because = "stacked on the storey before it; a height not given is 4 m, common practice";
        cx.sink.assume(Place::of(storey).field("elevation"), elevation.to_string(), because);
    }
    for (building, spot) in &net.ground.assumed_entries {
        let value = format!("{:.1} m east, {:.1} m north", spot.x as f64 / 1000.0, spot.y as f64 / 1000.0);
        let because = "the middle of its telecom rooms, or of its openings where it has no room";
        cx.sink.assume(Place::of(building).field("entry_x"), value, because);
    }
}

/// Openings under control and rooms that stand where no cable may go.
fn tell_of_shut_in(cx: &mut Cx<'_>, net: &Net<'_>, survey: &Survey, is_wanted: &dyn Fn(usize) -> bool) {
    let rooms = survey.rooms.iter().map(|room| (Place::of(&room.id), &room.storey, room.x_m, room.y_m));
    let openings = survey.openings.iter().enumerate().filter(|(idx, _)| is_wanted(*idx));
    let openings = openings.map(|(_, it)| (Place::of(&it.mark), &it.storey, it.x_m, it.y_m));
    for (place, storey, x, y) in rooms.chain(openings) {
        let area = net.ground.spot(storey, x, y).and_then(|spot| net.areas.around(spot, spot.plane));
        if let Some(area) = area {
            cx.sink.report(&PointInBlockedArea { place, area: area.clone() });
        }
    }
}

fn tell_of_distance(
    cx: &mut Cx<'_>,
    net: &Net<'_>,
    survey: &Survey,
    idx: usize,
    nearest: Option<(u64, usize)>,
    limit: &LengthLimit,
) {
    let opening = &survey.openings[idx];
    // An opening on a storey nobody knows, or a site without rooms, has been told of already.
    if survey.rooms.is_empty() || net.ground.spot(&opening.storey, opening.x_m, opening.y_m).is_none() {
        return;
    }
    cx.sink.report(&OutOfReach {
        opening: opening.mark.clone(),
        nearest: nearest.map(|(length, room)| (survey.rooms[room].id.clone(), metres(length))),
        limit: limit.length_m,
        cause: limit.cause,
        because: limit.because.clone(),
    });
}
