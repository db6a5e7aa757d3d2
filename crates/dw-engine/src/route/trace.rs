//! The way of every served opening.

use std::collections::BTreeMap;

use dw_core::{FigureId, Id, Input, RoomId, Working};
use dw_job::Job;

use super::ground::{length_mm, metres};
use super::net::{Landed, Net};
use super::reach::ends;
use super::{RoutedOpening, Routes, links};
use crate::Cx;
use crate::place::{Placement, Served};
use crate::survey::{Survey, SurveyedRoom};

/// Traces the way of every served opening and chooses the radio bridges of rooms that are used.
///
/// The length of a route is that of [`super::reach`]. Raises `RTE-004` (radio out of range), `RTE-005` (radio not
/// allowed).
pub fn route(cx: &mut Cx<'_>, job: &Job, survey: &Survey, placement: &Placement) -> Routes {
    let net = Net::new(job, survey);
    let mut by_room: BTreeMap<&RoomId, Vec<&Served>> = BTreeMap::new();
    for served in &placement.served {
        by_room.entry(&served.room).or_default().push(served);
    }
    let mut openings = Vec::with_capacity(placement.served.len());
    for (room, served) in &by_room {
        if let Some(room) = survey.room(room) {
            openings.extend(from_room(&net, survey, room, served));
        }
    }
    openings.sort_by(|a, b| a.mark.cmp(&b.mark));
    for routed in &openings {
        show_length(cx, survey, routed);
    }
    let links = links::links(cx, survey, &by_room);
    Routes { openings, links }
}

/// Routes of all openings served from one room.
fn from_room(net: &Net<'_>, survey: &Survey, room: &SurveyedRoom, served: &[&Served]) -> Vec<RoutedOpening> {
    let Some(spot) = net.ground.spot(&room.storey, room.x_m, room.y_m) else { return Vec::new() };
    let ends = ends(&survey.settings);
    let landed = net.land(spot);
    let doors: Vec<(&Served, Landed)> = (served.iter())
        .filter_map(|&served| {
            let opening = survey.opening(&served.mark)?;
            let spot = net.ground.spot(&opening.storey, opening.x_m, opening.y_m)?;
            Some((served, net.land(spot)))
        })
        .collect();
    // A millimetre more than placed, so that rounding never cuts off the route itself.
    let farthest = served.iter().map(|served| length_mm(served.length_m) + 1).max().unwrap_or(0);
    let ways = net.ways_from(&landed, farthest);
    let route = |(served, door): &(&Served, Landed)| {
        let link = net.link(&landed, &ways, door)?;
        let trace = net.trace(&landed, &ways, door, link);
        Some(RoutedOpening {
            mark: served.mark.clone(),
            room: room.id.clone(),
            length_m: metres(link.length + ends),
            ways: trace.ways.iter().map(|&way| net.drawn.ways[way].id.clone()).collect(),
            off_way_m: metres(trace.off),
        })
    };
    doors.iter().filter_map(route).collect()
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
