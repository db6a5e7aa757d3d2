//! Radio bridges that bring the network to rooms in use.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Metres, RoomId};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::Transport;

use super::RoomLink;
use super::rules::{FigureMissing, RadioNotAllowed, RadioOutOfRange};
use crate::Cx;
use crate::place::Served;
use crate::survey::{Bridge, Survey};

/// Links of every room that serves openings and has its network over radio, and of the rooms that feed it.
pub(super) fn links(cx: &mut Cx<'_>, survey: &Survey, by_room: &BTreeMap<&RoomId, Vec<&Served>>) -> Vec<RoomLink> {
    let link = |(to, bridge): (&RoomId, &Bridge)| {
        let (from, to, length_m) = (bridge.from.clone(), to.clone(), bridge.length_m);
        RoomLink { from, to, device: None, length_m }
    };
    let mut links: Vec<RoomLink> = bridges_to(survey, by_room.keys().copied()).into_iter().map(link).collect();
    let transport = &survey.settings.transport;
    let may_use_radio = transport.is_empty() || transport.contains(&Transport::Radio);
    for link in &mut links {
        if may_use_radio {
            link.device = choose(cx, &link.to, link.length_m);
        } else {
            let openings = by_room.get(&link.to).map_or(0, Vec::len);
            cx.sink.report(&RadioNotAllowed { room: link.to.clone(), distance: link.length_m, openings });
        }
    }
    links
}

/// The radio bridges that bring the network to some rooms and to those that feed them, by the room each leads to.
pub(crate) fn bridges_to<'s, 'r>(
    survey: &'s Survey,
    rooms: impl Iterator<Item = &'r RoomId>,
) -> BTreeMap<&'s RoomId, &'s Bridge> {
    let mut bridges = BTreeMap::new();
    for start in rooms {
        let mut next = survey.room(start);
        // A chain of bridges: each room at most once, so that a circle ends.
        while let Some(room) = next.filter(|room| !bridges.contains_key(&room.id)) {
            let Some(bridge) = &room.bridge else { break };
            bridges.insert(&room.id, bridge);
            next = survey.room(&bridge.from);
        }
    }
    bridges
}

/// The cheapest bridge that reaches; ties go to the earlier model.
pub(crate) fn cheapest(catalogue: &Catalogue, distance: Metres) -> Option<&Device> {
    let offered = catalogue.offered(DeviceKind::RadioBridge);
    let reaching = offered.filter(|bridge| bridge.network.range.is_some_and(|range| range >= distance));
    reaching.filter(|bridge| bridge.price.is_some()).min_by_key(|bridge| (bridge.price, &bridge.id))
}

/// The bridge of a link, or why there is none.
fn choose(cx: &mut Cx<'_>, room: &RoomId, distance: Metres) -> Option<DeviceId> {
    if let Some(bridge) = cheapest(cx.catalogue, distance) {
        return Some(bridge.id.clone());
    }
    let bridges: Vec<_> = cx.catalogue.offered(DeviceKind::RadioBridge).collect();
    for bridge in &bridges {
        let missing = [("network.range", bridge.network.range.is_none()), ("price", bridge.price.is_none())];
        for (figure, _) in missing.into_iter().filter(|missing| missing.1) {
            cx.sink.report(&FigureMissing { device: bridge.id.clone(), figure });
        }
    }
    let longest = bridges.iter().filter_map(|bridge| bridge.network.range).max();
    cx.sink.report(&RadioOutOfRange { room: room.clone(), distance, longest });
    None
}
