//! Ports, traffic in the busiest hour, and the backlog after an outage, room by room.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{FigureId, Id, Input, OpeningId, RoomId};

use super::rules::{BacklogSlow, PortsWithoutSpare, UplinkOverloaded};
use super::settings::Settings;
use super::{BridgeSheet, Given, NetworkDevice, RoomNetwork, ethernet};
use crate::Cx;
use crate::equip::Role;

/// Events a passage leaves besides the decision where the leaf is watched: opened, closed (*common practice*).
const EVENTS_OF_WATCHED_LEAF: f64 = 2.0;

/// Share of a day's events in its busiest hour, where no peak is stated (*common practice*).
const BUSY_SHARE: f64 = 0.2;

/// What a room sends.
#[derive(Clone, Copy, Debug, Default)]
struct Sends {
    events_per_hour: f64,
    pictures_per_hour: f64,
    events_per_day: f64,
}

impl Sends {
    fn add(&mut self, other: Self) {
        self.events_per_hour += other.events_per_hour;
        self.pictures_per_hour += other.pictures_per_hour;
        self.events_per_day += other.events_per_day;
    }
}

/// Every room that has devices on the network, in the order of ids.
pub(super) fn rooms(
    cx: &mut Cx<'_>,
    given: &Given<'_>,
    settings: &Settings,
    devices: &[NetworkDevice],
    bridges: &[BridgeSheet],
) -> Vec<RoomNetwork> {
    let own = sends(cx, given);
    let from: BTreeMap<&RoomId, &RoomId> = given.routes.links.iter().map(|link| (&link.to, &link.from)).collect();
    let used: BTreeSet<&RoomId> =
        devices.iter().filter_map(|device| device.room.as_ref()).chain(own.keys().copied()).collect();
    let mut through: BTreeMap<&RoomId, Sends> = BTreeMap::new();
    for room in &used {
        let mut at = *room;
        // Each bridge at most once, so that a circle ends.
        for _ in 0..=from.len() {
            through.entry(at).or_default().add(own.get(room).copied().unwrap_or_default());
            match from.get(at) {
                Some(next) => at = next,
                None => break,
            }
        }
    }
    let mut planned = Vec::new();
    for (room, sends) in through {
        let bridge = bridges.iter().find(|sheet| sheet.room == *room);
        let uplink = bridge.map_or(settings.uplink_bit_per_s, |sheet| sheet.throughput_bit_per_s);
        let ports = devices.iter().filter(|device| device.room.as_ref() == Some(room) && !device.kept).count();
        let mut one = one(given, room, sends, uplink, u32::try_from(ports).unwrap_or(u32::MAX));
        let link = given.routes.links.iter().find(|link| link.to == *room);
        one.over_radio_from = link.filter(|link| link.trench.is_none()).map(|link| link.from.clone());
        show(cx, given, &one, sends);
        judge(cx, settings, &one);
        planned.push(one);
    }
    planned
}

fn one(given: &Given<'_>, room: &RoomId, sends: Sends, uplink: f64, ports: u32) -> RoomNetwork {
    let bytes = event_bytes();
    let (width, height, bits) = ethernet::PICTURE;
    let picture = ethernet::picture_bytes(width, height, bits);
    let load = ethernet::event_rate(sends.events_per_hour, bytes)
        + ethernet::picture_rate(picture, sends.pictures_per_hour / 3600.0, ethernet::TRANSFER_OVERHEAD);
    let kept = sends.events_per_day * given.survey.settings.offline_days;
    let backlog = (uplink > load).then(|| ethernet::backlog_s(kept, bytes, uplink - load) / 60.0);
    RoomNetwork {
        room: room.clone(),
        ports,
        ports_with_spare: ethernet::ports(ports, ethernet::SPARE_PORTS),
        free: given.survey.room(room).and_then(|room| room.network_ports),
        over_radio_from: None,
        events_per_hour: sends.events_per_hour,
        pictures_per_hour: sends.pictures_per_hour,
        load_bit_per_s: load,
        uplink_bit_per_s: uplink,
        backlog_min: backlog,
    }
}

fn event_bytes() -> f64 {
    ethernet::event_bytes(ethernet::EVENT_PAYLOAD, ethernet::HEADERS)
}

/// What the openings served from each room send: the busiest hour from their peaks, the day from the capacity plan.
fn sends<'a>(cx: &Cx<'_>, given: &Given<'a>) -> BTreeMap<&'a RoomId, Sends> {
    let mut by_day: BTreeMap<&OpeningId, f64> = BTreeMap::new();
    for holder in &given.capacity.holders {
        for mark in &holder.openings {
            let share = holder.events_per_day / holder.openings.len() as f64;
            *by_day.entry(mark).or_default() += share;
        }
    }
    let mut sends: BTreeMap<&RoomId, Sends> = BTreeMap::new();
    for served in &given.placement.served {
        let Some(opening) = given.survey.opening(&served.mark) else { continue };
        let peak = f64::from(opening.peak_flow);
        let events_per_day = by_day.get(&served.mark).copied().unwrap_or(0.0);
        let each = 1.0 + if opening.watch_position { EVENTS_OF_WATCHED_LEAF } else { 0.0 };
        let events_per_hour = if opening.peak_flow > 0 { peak * each } else { events_per_day * BUSY_SHARE };
        let pictures_per_hour =
            if opening.picture || takes_pictures(cx, given, &served.mark) { events_per_hour / each } else { 0.0 };
        sends.entry(&served.room).or_default().add(Sends { events_per_hour, pictures_per_hour, events_per_day });
    }
    sends
}

/// Whether a reader of an opening takes pictures by itself.
fn takes_pictures(cx: &Cx<'_>, given: &Given<'_>, mark: &OpeningId) -> bool {
    let fitted = given.equipment.opening(mark).map_or(&[][..], |equipped| &equipped.devices);
    let readers = fitted.iter().filter(|fitted| matches!(fitted.role, Role::ReaderIn | Role::ReaderOut));
    readers.filter_map(|fitted| cx.device(&fitted.device)).any(|reader| reader.reading.picture == Some(true))
}

fn show(cx: &mut Cx<'_>, given: &Given<'_>, one: &RoomNetwork, sends: Sends) {
    let figure = |name: &str| FigureId::new("room", one.room.text(), name);
    let load = vec![
        Input::new("events_per_hour", one.events_per_hour, ""),
        Input::new("bytes", event_bytes(), "bytes"),
        Input::new("pictures_per_hour", one.pictures_per_hour, ""),
        Input::new(
            "picture",
            ethernet::picture_bytes(ethernet::PICTURE.0, ethernet::PICTURE.1, ethernet::PICTURE.2),
            "bytes",
        ),
        Input::new("overhead", ethernet::TRANSFER_OVERHEAD, ""),
    ];
    cx.sink.show(ethernet::ROOM_LOAD.working(figure("network_load"), one.load_bit_per_s, load));
    if let Some(minutes) = one.backlog_min {
        let inputs = vec![
            Input::new("events", sends.events_per_day * given.survey.settings.offline_days, ""),
            Input::new("bytes", event_bytes(), "bytes"),
            Input::new("rate", one.uplink_bit_per_s - one.load_bit_per_s, "bit/s"),
        ];
        cx.sink.show(ethernet::BACKLOG.working(figure("backlog_s"), minutes * 60.0, inputs));
    }
}

fn judge(cx: &mut Cx<'_>, settings: &Settings, one: &RoomNetwork) {
    let free = one.free.unwrap_or(u32::MAX);
    if one.ports <= free && one.ports_with_spare > free {
        cx.sink.report(&PortsWithoutSpare {
            room: one.room.clone(),
            needed: one.ports,
            with_spare: one.ports_with_spare,
            free,
        });
    }
    if one.load_bit_per_s > one.uplink_bit_per_s && one.uplink_bit_per_s > 0.0 {
        cx.sink.report(&UplinkOverloaded { network: one.clone() });
    } else if let Some(minutes) = one.backlog_min.filter(|minutes| *minutes > settings.backlog_min) {
        cx.sink.report(&BacklogSlow { network: one.clone(), minutes, wanted: settings.backlog_min });
    }
}
