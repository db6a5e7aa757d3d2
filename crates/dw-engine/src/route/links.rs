//! Radio bridges that bring the network to rooms in use.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Metres, RoomId};
use dw_job::catalogue::DeviceKind;
use dw_job::model::Transport;

use super::RoomLink;
use super::rules::{FigureMissing, RadioNotAllowed, RadioOutOfRange};
use crate::Cx;
use crate::place::Served;
use crate::survey::Survey;

/// Links of every room that serves openings and has its network over radio, and of the rooms that feed it.
pub(super) fn links(cx: &mut Cx<'_>, survey: &Survey, by_room: &BTreeMap<&RoomId, Vec<&Served>>) -> Vec<RoomLink> {
    let mut links: BTreeMap<&RoomId, RoomLink> = BTreeMap::new();
    for &start in by_room.keys() {
        let mut at = start;
        // A chain of bridges: each room at most once, so that a circle ends.
        while let Some(room) = survey.room(at).filter(|room| !links.contains_key(&room.id)) {
            let Some(bridge) = &room.bridge else { break };
            let (from, to, length_m) = (bridge.from.clone(), room.id.clone(), bridge.length_m);
            links.insert(&room.id, RoomLink { from, to, device: None, length_m });
            at = &bridge.from;
        }
    }
    let transport = &survey.settings.transport;
    let may_use_radio = transport.is_empty() || transport.contains(&Transport::Radio);
    let mut links: Vec<RoomLink> = links.into_values().collect();
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

/// The cheapest bridge that reaches; ties go to the earlier model.
fn choose(cx: &mut Cx<'_>, room: &RoomId, distance: Metres) -> Option<DeviceId> {
    let bridges: Vec<_> = cx.catalogue.offered(DeviceKind::RadioBridge).collect();
    let reaching = bridges.iter().filter(|bridge| bridge.network.range.is_some_and(|range| range >= distance));
    if let Some((_, bridge)) = reaching.filter_map(|bridge| Some((bridge.price?, &bridge.id))).min() {
        return Some(bridge.clone());
    }
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
