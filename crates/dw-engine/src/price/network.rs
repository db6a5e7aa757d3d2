//! What carries the network: switches where a room is short of ports or power, radio bridges, surge protectors.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, FigureId, Id, Input, InputValue, OpeningId, RoomId, StoreyId, Watts, Working};
use dw_job::catalogue::{Device, DeviceKind};

use super::rules::{NetworkPortsShort, SurgeProtectorMissing};
use super::takeoff::{Design, Piece, extras_of_kind, take};
use crate::Cx;
use crate::equip::ControlNeed;
use crate::route::surge;
use crate::survey::SurveyedRoom;

/// Ports of a switch that carry nothing for us: one for its own link up, one for the link of the next (*common practice*).
const LINK_PORTS: u32 = 2;

/// Switches, radio bridges and surge protectors to buy.
pub(super) fn pieces(cx: &mut Cx<'_>, design: Design<'_>, orderable: &BTreeSet<&RoomId>) -> Vec<Piece> {
    let held = |room: &RoomId| !orderable.contains(room);
    let bridges =
        design.routes.links.iter().filter_map(|link| Some(Piece::new(link.device.as_ref()?, 1, None, held(&link.to))));
    let mut pieces: Vec<Piece> = bridges.collect();
    for (room, demand) in demands(cx, design) {
        let Some(room) = design.survey.room(&room) else { continue };
        if let Some((device, count)) = switches(cx, room, demand) {
            pieces.push(Piece::new(&device.id, count, None, held(&room.id)));
        }
    }
    pieces.extend(surge_protectors(cx, design));
    pieces
}

/// What a room must offer the design.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
struct Demand {
    ports: u32,
    power_w: f64,
    class: u32,
}

/// Ports: one for each new controller that speaks to the network, each opening fed or served over the network, each
/// end of a link between rooms. Power: what the feeds take at the source.
fn demands(cx: &Cx<'_>, design: Design<'_>) -> BTreeMap<RoomId, Demand> {
    let mut demands: BTreeMap<RoomId, Demand> = BTreeMap::new();
    for placed in design.placement.controllers.iter().filter(|placed| placed.takes_port(cx.catalogue)) {
        demands.entry(placed.room.clone()).or_default().ports += 1;
    }
    let mut openings: BTreeMap<&OpeningId, &RoomId> = BTreeMap::new();
    for equipped in &design.equipment.openings {
        if let (ControlNeed::OwnUnit { .. }, Some(served)) = (&equipped.control, design.placement.of(&equipped.mark)) {
            openings.insert(&equipped.mark, &served.room);
        }
    }
    for feed in &design.power.network_feeds {
        openings.insert(&feed.mark, &feed.room);
        let demand = demands.entry(feed.room.clone()).or_default();
        demand.power_w += feed.source_w.get();
        demand.class = demand.class.max(feed.class.unwrap_or(0));
    }
    let ends = design.routes.links.iter().flat_map(|link| [&link.from, &link.to]);
    for room in openings.into_values().chain(ends) {
        demands.entry(room.clone()).or_default().ports += 1;
    }
    demands
}

/// The least dear number of one model that gives a room the ports and power it lacks.
///
/// **Formula**: ports = free + number x (ports of one - 2), and one more where no port is free to link to; power =
/// free + number x budget of one. **Tie**: fewer, then by id.
fn switches<'a>(cx: &mut Cx<'a>, room: &SurveyedRoom, demand: Demand) -> Option<(&'a Device, u32)> {
    let free = room.network_ports.unwrap_or(u32::MAX);
    let free_w = room.network_power_w.map_or(f64::INFINITY, Watts::get);
    let short_w = (demand.power_w - free_w).max(0.0);
    let enough = demand.ports <= free && short_w <= 0.0;
    let usable = if free == 0 { 1 } else { free };
    let number = |device: &Device| {
        let each = device.network.ports?.checked_sub(LINK_PORTS).filter(|ports| *ports > 0)?;
        let for_ports = demand.ports.saturating_sub(usable).div_ceil(each);
        let for_power = if short_w > 0.0 {
            let budget = device.network.power_budget.filter(|budget| budget.get() > 0.0)?;
            (device.network.class? >= demand.class).then(|| libm::ceil(short_w / budget.get()).min(1000.0) as u32)?
        } else {
            0
        };
        Some(for_ports.max(for_power).max(1))
    };
    let offered = cx.catalogue.offered(DeviceKind::Switch).filter(|device| bears(device, room));
    let counted = offered.filter_map(|device| Some((device, number(device)?, device.price?)));
    let best = counted.min_by_key(|(device, count, price)| (*price * *count, *count, device.id.clone()));
    let bought = if enough { None } else { best.map(|(device, count, _)| (device, count)) };
    if !enough && bought.is_none() {
        let (needed, needed_w) = (demand.ports, demand.power_w);
        let free_w = room.network_power_w.map(Watts::get);
        cx.sink.report(&NetworkPortsShort {
            room: room.id.clone(),
            needed,
            free: room.network_ports,
            needed_w,
            free_w,
        });
    }
    cx.sink.show(working(room, demand, bought));
    bought
}

fn bears(device: &Device, room: &SurveyedRoom) -> bool {
    device.environment.temperature_max.is_none_or(|most| most >= room.temperature_max_c)
        && device.environment.temperature_min.is_none_or(|least| least <= room.temperature_min_c)
}

fn working(room: &SurveyedRoom, demand: Demand, bought: Option<(&Device, u32)>) -> Working {
    let no_limit = || InputValue::from("no limit stated");
    let switch = bought.map_or_else(|| "none".to_owned(), |(device, _)| device.id.to_string());
    Working {
        figure: FigureId::new("room", room.id.text(), "switches"),
        title: "Switches to buy for the room",
        value: bought.map_or(0, |(_, count)| count).into(),
        unit: "",
        formula: "ports_needed <= ports_free + switches * (ports_of_one - 2); power_needed <= power_free + switches * budget_of_one",
        inputs: vec![
            Input::new("ports_needed", demand.ports, ""),
            Input::new("ports_free", room.network_ports.map_or_else(no_limit, InputValue::from), ""),
            Input::new("power_needed", demand.power_w, "W"),
            Input::new("power_free", room.network_power_w.map_or_else(no_limit, |power| power.get().into()), "W"),
            Input::new("switch", switch, ""),
        ],
        source: "common practice: one port a controller, a unit or a bridge end",
    }
}

/// Surge protectors at the ends of lines that leave a building.
///
/// Both ends between buildings, the end in the room for a gate, lane or barrier standing outdoors (*common practice*).
/// Protectors that the job buys as extras, or that are fitted at the opening, count first.
fn surge_protectors(cx: &mut Cx<'_>, design: Design<'_>) -> Vec<Piece> {
    let buildings: BTreeMap<&StoreyId, _> =
        design.job.storeys.iter().filter_map(|storey| Some((&storey.id, storey.building.as_ref()?))).collect();
    let mut planned = planned_protectors(cx, design);
    let mut pieces = Vec::new();
    let mut missing = 0;
    for run in design.cables.runs.iter().filter(|run| !run.local) {
        let Some(index) = design.index(&run.mark) else { continue };
        let opening = &design.survey.openings[index];
        let of_room = design.survey.room(&run.room).and_then(|room| buildings.get(&room.storey));
        let apart = matches!((buildings.get(&opening.storey), of_room), (Some(here), Some(there)) if here != there);
        let ends = surge::ends(opening, apart);
        for device in surge::protectors(cx.catalogue, run.purpose).filter(|_| ends > 0) {
            let Some(device) = device else {
                missing += ends;
                continue;
            };
            let there = planned.get_mut(&device.id).map_or(0, |stock| take(stock, ends));
            if ends > there {
                pieces.push(Piece::new(&device.id, ends - there, Some(index), !opening.orderable));
            }
        }
    }
    if missing > 0 {
        cx.sink.report(&SurgeProtectorMissing { ends: missing });
    }
    pieces
}

/// Surge protectors that are bought anyway, by device.
fn planned_protectors(cx: &Cx<'_>, design: Design<'_>) -> BTreeMap<DeviceId, u32> {
    let mut planned = extras_of_kind(cx, design.job, DeviceKind::SurgeProtector);
    for fitted in design.equipment.openings.iter().flat_map(|equipped| &equipped.devices) {
        if cx.device(&fitted.device).is_some_and(|device| device.kind == Some(DeviceKind::SurgeProtector)) {
            let stock = planned.entry(fitted.device.clone()).or_default();
            *stock = stock.saturating_add(fitted.count);
        }
    }
    planned
}
