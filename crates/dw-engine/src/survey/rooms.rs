//! Telecom rooms with every value resolved.

use std::collections::BTreeMap;

use dw_core::{Celsius, Id, Place, RoomId};
use dw_job::Job;
use dw_job::model::Room;

use super::rules::{BridgeCircle, RoomWithoutMains, RoomWithoutPlace, TemperaturesCrossed};
use super::taken::Taken;
use super::{SurveyedRoom, Uplink};
use crate::Cx;

/// Temperature of a telecom room where the survey does not say (*common practice*).
const USUAL_C: (f64, f64) = (10.0, 30.0);

/// Resolves every room; one without a place is left out with a finding.
pub(super) fn rooms(cx: &mut Cx<'_>, job: &Job, taken: &mut Taken) -> Vec<SurveyedRoom> {
    let mut rooms: Vec<SurveyedRoom> = job.rooms.iter().filter_map(|room| surveyed(cx, room, taken)).collect();
    rooms.sort_by(|a, b| a.id.cmp(&b.id));
    cut_circles(cx, &mut rooms);
    rooms
}

fn surveyed(cx: &mut Cx<'_>, room: &Room, taken: &mut Taken) -> Option<SurveyedRoom> {
    let (Some(storey), Some(x_m), Some(y_m)) = (room.storey.clone(), room.x, room.y) else {
        cx.sink.report(&RoomWithoutPlace { room: room.id.clone() });
        return None;
    };
    if room.mains.is_none() {
        cx.sink.report(&RoomWithoutMains { room: room.id.clone() });
    }
    let (temperature_min_c, temperature_max_c) = temperatures(cx, room, taken);
    Some(SurveyedRoom {
        id: room.id.clone(),
        name: room.name.clone().unwrap_or_else(|| room.id.text().to_owned()),
        storey,
        x_m,
        y_m,
        max_controllers: room.max_controllers,
        enclosure_places: room.enclosure_places,
        network_ports: room.network_ports,
        network_power_w: room.network_power,
        mains: room.mains.unwrap_or(true),
        temperature_max_c,
        temperature_min_c,
        uplink: uplink(room),
    })
}

fn uplink(room: &Room) -> Option<Uplink> {
    let (bridge_m, trench_m) = (room.bridge_length, room.trench_length);
    let from = room.bridge_from.clone().filter(|_| bridge_m.is_some() || trench_m.is_some())?;
    Some(Uplink { from, bridge_m, trench_m })
}

/// Lowest and highest temperature of a room; two that cross count as missing, with a finding.
fn temperatures(cx: &mut Cx<'_>, room: &Room, taken: &mut Taken) -> (Celsius, Celsius) {
    let (mut min, mut max) = (room.temperature_min, room.temperature_max);
    if let (Some(min_c), Some(max_c)) = (min, max)
        && max_c.get() < min_c.get()
    {
        cx.sink.report(&TemperaturesCrossed { room: room.id.clone(), max_c, min_c });
        (min, max) = (None, None);
    }
    let usual_min = max.map_or(USUAL_C.0, |max| max.get().min(USUAL_C.0));
    let usual_max = min.map_or(USUAL_C.1, |min| min.get().max(USUAL_C.1));
    let mut or_usual = |given: Option<Celsius>, field: &str, usual: f64| {
        given.unwrap_or_else(|| {
            let usual = Celsius::new(usual);
            let place = Place::of(&room.id).field(field);
            taken.note(place, usual.to_string(), "common practice for an indoor room");
            usual
        })
    };
    (or_usual(min, "temperature_min", usual_min), or_usual(max, "temperature_max", usual_max))
}

/// A network that comes to a room from itself comes from nowhere: the link is dropped with a finding.
fn cut_circles(cx: &mut Cx<'_>, rooms: &mut [SurveyedRoom]) {
    let from: BTreeMap<RoomId, RoomId> =
        rooms.iter().filter_map(|room| Some((room.id.clone(), room.uplink.as_ref()?.from.clone()))).collect();
    let in_circle = |start: &RoomId| {
        let mut at = start;
        for _ in 0..=from.len() {
            match from.get(at) {
                Some(next) if next == start => return true,
                Some(next) => at = next,
                None => return false,
            }
        }
        false
    };
    for room in rooms.iter_mut().filter(|room| in_circle(&room.id)) {
        cx.sink.report(&BridgeCircle { room: room.id.clone() });
        room.uplink = None;
    }
}
