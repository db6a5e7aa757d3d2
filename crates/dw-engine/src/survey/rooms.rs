//! Telecom rooms with every value resolved.

use std::collections::BTreeMap;

use dw_core::{Celsius, Id, Place, RoomId};
use dw_job::Job;
use dw_job::model::Room;

use super::rules::{BridgeCircle, RoomWithoutMains, RoomWithoutPlace};
use super::taken::Taken;
use super::{Bridge, SurveyedRoom};
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
    let mut temperature = |given: Option<Celsius>, field: &str, usual: f64| {
        given.unwrap_or_else(|| {
            taken.note(
                Place::of(&room.id).field(field),
                Celsius::new(usual).to_string(),
                "common practice for an indoor room",
            );
            Celsius::new(usual)
        })
    };
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
        temperature_max_c: temperature(room.temperature_max, "temperature_max", USUAL_C.1),
        temperature_min_c: temperature(room.temperature_min, "temperature_min", USUAL_C.0),
        bridge: room.bridge_from.clone().zip(room.bridge_length).map(|(from, length_m)| Bridge { from, length_m }),
    })
}

/// A network that comes to a room from itself comes from nowhere: the bridge is dropped with a finding.
fn cut_circles(cx: &mut Cx<'_>, rooms: &mut [SurveyedRoom]) {
    let from: BTreeMap<RoomId, RoomId> =
        rooms.iter().filter_map(|room| Some((room.id.clone(), room.bridge.as_ref()?.from.clone()))).collect();
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
        room.bridge = None;
    }
}
