//! Devices on the network, each with the room whose switch it hangs on and the fixed part of its channel.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Metres, OpeningId, RoomId, natural_cmp};
use dw_job::catalogue::{CableUse, DeviceKind, Interface};

use super::rules::ChannelTooLong;
use super::{Given, NetworkDevice, ethernet};
use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Role};
use crate::place::Served;

/// Every device on the network in rooms and at openings, by room and label, without addresses yet.
pub(super) fn devices(cx: &mut Cx<'_>, given: &Given<'_>) -> Vec<NetworkDevice> {
    let mut devices = controllers(cx, given);
    devices.extend(at_openings(cx, given));
    devices.extend(bridge_ends(given));
    devices.sort_by(|a, b| a.room.cmp(&b.room).then_with(|| natural_cmp(&a.label, &b.label)));
    devices
}

/// A device without an address.
fn device(label: String, device: &DeviceId, room: &RoomId) -> NetworkDevice {
    NetworkDevice {
        label,
        device: device.clone(),
        room: Some(room.clone()),
        mark: None,
        link_m: Metres::ZERO,
        subnet: None,
        address: None,
        kept: false,
    }
}

/// Controllers that speak to the network; one whose record does not say is taken to.
fn controllers(cx: &Cx<'_>, given: &Given<'_>) -> Vec<NetworkDevice> {
    let speaks = |id: &DeviceId| {
        let interfaces = cx.device(id).map_or(&[][..], |device| &device.interfaces);
        interfaces.is_empty() || interfaces.contains(&Interface::Network)
    };
    let placed = given.placement.controllers.iter().filter(|placed| speaks(&placed.device));
    placed
        .map(|placed| NetworkDevice { kept: placed.kept, ..device(placed.label.clone(), &placed.device, &placed.room) })
        .collect()
}

/// Units that decide, and readers on the network such as plate cameras.
fn at_openings(cx: &mut Cx<'_>, given: &Given<'_>) -> Vec<NetworkDevice> {
    let mut lengths: BTreeMap<&OpeningId, Vec<Metres>> = BTreeMap::new();
    for run in given.cables.runs.iter().filter(|run| run.purpose == CableUse::Network && !run.local) {
        lengths.entry(&run.mark).or_default().push(run.length_m);
    }
    let mut devices = Vec::new();
    for equipped in &given.equipment.openings {
        let Some(served) = given.placement.of(&equipped.mark) else { continue };
        let runs = lengths.get(&equipped.mark).map_or(&[][..], Vec::as_slice);
        let speakers = speakers(cx, equipped);
        for (number, (id, kept)) in speakers.iter().enumerate() {
            let link_m = runs.get(number).or(runs.last()).copied().unwrap_or(Metres::ZERO);
            let label =
                if number == 0 { equipped.mark.to_string() } else { format!("{}/{}", equipped.mark, number + 1) };
            if ethernet::channel_fault(link_m, Metres::ZERO).is_some() {
                tell(cx, equipped, served, link_m);
            }
            let mark = Some(equipped.mark.clone());
            devices.push(NetworkDevice { mark, link_m, kept: *kept, ..device(label, id, &served.room) });
        }
    }
    devices
}

fn speakers<'e>(cx: &Cx<'_>, equipped: &'e Equipped) -> Vec<(&'e DeviceId, bool)> {
    let unit = match &equipped.control {
        ControlNeed::OwnUnit { unit } => Some(unit),
        _ => None,
    };
    let on_network = |id: &DeviceId| cx.device(id).is_some_and(|device| device.interfaces == [Interface::Network]);
    let readers = equipped.devices.iter().filter(|fitted| matches!(fitted.role, Role::ReaderIn | Role::ReaderOut));
    let cameras = readers.filter(|fitted| Some(&fitted.device) != unit && on_network(&fitted.device));
    let kept = |id: &DeviceId| equipped.devices.iter().any(|fitted| fitted.device == *id && fitted.kept);
    unit.into_iter().map(|id| (id, kept(id))).chain(cameras.map(|fitted| (&fitted.device, fitted.kept))).collect()
}

/// Tells of a link too long, with the cheapest bridge that would reach.
fn tell(cx: &mut Cx<'_>, equipped: &Equipped, served: &Served, link_m: Metres) {
    let bridges = cx.catalogue.offered(DeviceKind::RadioBridge);
    let reaching = bridges.filter(|bridge| bridge.network.range.is_some_and(|range| range >= link_m));
    let bridge = reaching.filter_map(|bridge| Some((bridge.price?, &bridge.id))).min();
    let bridge = bridge.map(|(price, id)| (id.clone(), price));
    let (opening, room) = (equipped.mark.clone(), served.room.clone());
    cx.sink.report(&ChannelTooLong { opening, room, length: link_m, limit: ethernet::PERMANENT_LINK, bridge });
}

/// Both ends of each bridge.
fn bridge_ends(given: &Given<'_>) -> Vec<NetworkDevice> {
    let ends = given.routes.links.iter().filter_map(|link| Some((link, link.device.as_ref()?)));
    ends.flat_map(|(link, id)| {
        [(&link.from, &link.to), (&link.to, &link.from)]
            .map(|(here, there)| device(format!("bridge {here} to {there}"), id, here))
    })
    .collect()
}
