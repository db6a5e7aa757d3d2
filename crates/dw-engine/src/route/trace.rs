//! The way of every served opening.

use std::collections::BTreeMap;

use dw_core::{FigureId, Id, Input, RoomId, Working};
use dw_job::Job;

use super::cables::{Cables, is_outdoors, lock_loop};
use super::existing::InWall;
use super::fill::section;
use super::ground::{length_mm, metres};
use super::limits::limit;
use super::net::{Landed, Net, Trace};
use super::reach::ends;
use super::{RoutedOpening, Routes, WayPart, links, spread};
use crate::Cx;
use crate::equip::Equipment;
use crate::place::{Placement, Served};
use crate::survey::{Survey, SurveyedRoom};

/// Traces the way of every served opening and chooses the radio bridges of rooms that are used.
///
/// The length of a route is that of [`super::reach`], longer where a way on it would be filled beyond the policy's share and
/// another way has room (`spread`). Raises `RTE-004` (radio out of range), `RTE-005` (radio not allowed), `RTE-019` (led
/// round a full way).
pub fn route(cx: &mut Cx<'_>, job: &Job, survey: &Survey, equipment: &Equipment, placement: &Placement) -> Routes {
    let net = Net::new(job, survey);
    let mut by_room: BTreeMap<&RoomId, Vec<&Served>> = BTreeMap::new();
    for served in &placement.served {
        by_room.entry(&served.room).or_default().push(served);
    }
    let mut laid = Vec::with_capacity(placement.served.len());
    for (room, served) in &by_room {
        if let Some(room) = survey.room(room) {
            laid.extend(from_room(&net, survey, room, served));
        }
    }
    laid.sort_by(|a, b| a.served.mark.cmp(&b.served.mark));
    weigh(cx, job, survey, equipment, &mut laid);
    spread::spread(cx, &net, survey, &mut laid);
    let openings: Vec<RoutedOpening> = laid.iter().map(|laid| laid.routed(&net, survey)).collect();
    for routed in &openings {
        show_length(cx, survey, routed);
    }
    let links = links::links(cx, survey, &by_room);
    Routes { openings, links }
}

/// The cables of an opening as they lie.
pub(super) struct Laid<'s> {
    pub(super) served: &'s Served,
    /// Its room as joined to the net.
    pub(super) room: Landed,
    /// The opening as joined to the net.
    pub(super) door: Landed,
    /// Length without drops and slack.
    pub(super) length: u64,
    pub(super) shortest: u64,
    pub(super) trace: Trace,
    /// Cross-section its cables are likely to take, in mm²; power may choose stouter ones for the lock.
    pub(super) section: f64,
    /// Longest cable it bears, drops and slack included.
    pub(super) longest: u64,
    /// The same where its way leads outdoors; nothing when some cable it needs is not made for outdoors.
    pub(super) longest_outdoors: u64,
}

impl Laid<'_> {
    fn routed(&self, net: &Net<'_>, survey: &Survey) -> RoutedOpening {
        let part = |&(way, from, to): &(usize, u64, u64)| WayPart {
            way: net.drawn.ways[way].id.clone(),
            from_m: metres(from),
            to_m: metres(to),
        };
        RoutedOpening {
            mark: self.served.mark.clone(),
            room: self.served.room.clone(),
            length_m: metres(self.length + ends(&survey.settings)),
            ways: self.trace.ways.iter().map(part).collect(),
            off_way_m: metres(self.trace.off),
            outdoors: self.trace.outdoors,
            detour_m: metres(self.length - self.shortest),
        }
    }
}

/// Shortest routes of all openings served from one room.
fn from_room<'s>(net: &Net<'_>, survey: &Survey, room: &SurveyedRoom, served: &[&'s Served]) -> Vec<Laid<'s>> {
    let Some(spot) = net.ground.spot(&room.storey, room.x_m, room.y_m) else { return Vec::new() };
    let landed = net.land(spot);
    // A millimetre more than placed, so that rounding never cuts off the route itself.
    let farthest = served.iter().map(|served| length_mm(served.length_m) + 1).max().unwrap_or(0);
    let ways = net.ways_from(&landed, farthest);
    let lay = |&served: &&'s Served| {
        let opening = survey.opening(&served.mark)?;
        let door = net.land(net.ground.spot(&opening.storey, opening.x_m, opening.y_m)?);
        let link = net.link(&landed, &ways, &door)?;
        let trace = net.trace(&landed, &ways, &door, link);
        let (length, room) = (link.length, landed.clone());
        Some(Laid {
            served,
            room,
            door,
            length,
            shortest: length,
            trace,
            section: 0.0,
            longest: 0,
            longest_outdoors: 0,
        })
    };
    served.iter().filter_map(lay).collect()
}

/// Finds the cross-section of the cables each opening is likely to get, and how long they may be.
fn weigh(cx: &Cx<'_>, job: &Job, survey: &Survey, equipment: &Equipment, laid: &mut [Laid<'_>]) {
    let mut cables = Cables::new(cx.catalogue, &survey.settings);
    let in_wall = InWall::new(job);
    let ends = ends(&survey.settings);
    for laid in laid {
        let mark = &laid.served.mark;
        let (Some(equipped), Some(opening)) = (equipment.opening(mark), survey.opening(mark)) else { continue };
        let outdoors = is_outdoors(opening) || laid.trace.outdoors;
        let reuses = in_wall.ends_in(mark, &laid.served.room);
        let loop_ohm = lock_loop(cx.catalogue, equipped);
        let bought = equipped.cables.iter().filter(|need| !(need.existing && reuses || need.local));
        let taken = bought.filter_map(|need| {
            let (cable, count) = cables.likely(need, outdoors, laid.length + ends, loop_ohm)?;
            Some(section(cable.device.cable.diameter?).get() * f64::from(count))
        });
        laid.section = taken.sum();
        laid.longest = length_mm(limit(cx.catalogue, &mut cables, equipped, outdoors).length_m);
        let mut bought = equipped.cables.iter().filter(|need| !(need.existing && reuses || need.local));
        if outdoors || bought.all(|need| cables.longest(need, true).is_some()) {
            laid.longest_outdoors = length_mm(limit(cx.catalogue, &mut cables, equipped, true).length_m);
        }
    }
}

fn show_length(cx: &mut Cx<'_>, survey: &Survey, routed: &RoutedOpening) {
    let settings = &survey.settings;
    let on_ways = routed.length_m.get()
        - routed.off_way_m.get()
        - settings.drop_opening_m.get()
        - settings.drop_room_m.get()
        - 2.0 * settings.slack_m.get();
    cx.sink.show(Working {
        figure: FigureId::new("opening", routed.mark.text(), "route_m"),
        title: "Length of each cable to the opening",
        value: routed.length_m.get().into(),
        unit: "m",
        formula: "ways + off_ways + drop_opening + drop_room + 2 * slack",
        inputs: vec![
            Input::new("ways", on_ways, "m"),
            Input::new("off_ways", routed.off_way_m.get(), "m"),
            Input::new("drop_opening", settings.drop_opening_m.get(), "m"),
            Input::new("drop_room", settings.drop_room_m.get(), "m"),
            Input::new("slack", settings.slack_m.get(), "m"),
        ],
        source: "shortest way by Dijkstra (1959); drops and slack: policy of the job",
    });
}
