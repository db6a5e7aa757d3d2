//! Pins that contradict each other, demands to share no controller that ask for nothing, and rows of the issued revision whose opening or room is gone.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{Id, OpeningId, Place, RoomId};
use dw_job::Job;

use super::rules::{ApartNamesOne, IssuedGone, PinsContradict};
use crate::Cx;

/// Tells of every pin that decides otherwise than an earlier pin of the same opening.
pub(super) fn contradictions(cx: &mut Cx<'_>, job: &Job) {
    let mut firsts: BTreeMap<(&OpeningId, &'static str), (String, Place)> = BTreeMap::new();
    for (row, pin) in job.pins.iter().enumerate() {
        let Some(opening) = &pin.opening else { continue };
        let decisions = [
            ("room", "room", pin.room.as_ref().map(ToString::to_string)),
            ("reader", "reader", pin.reader.as_ref().map(ToString::to_string)),
            ("controller", "controller", pin.controller.as_ref().map(ToString::to_string)),
            ("lock", "lock", pin.lock.as_ref().map(ToString::to_string)),
            ("fail_mode", "fail mode", pin.fail_mode.as_ref().map(ToString::to_string)),
        ];
        for (key, field, value) in decisions {
            let Some(value) = value else { continue };
            let place = job.places.resolve(Place::named("pin", &(row + 1).to_string()).field(key));
            let first = firsts.entry((opening, field)).or_insert_with(|| (value.clone(), place.clone()));
            if first.0 != value {
                let (opening, first) = (opening.clone(), first.clone());
                cx.sink.report(&PinsContradict { opening, field, first, second: (value, place) });
            }
        }
    }
}

/// Tells of pins that forbid the very room an opening is pinned to; the room counts.
pub(super) fn forbidden(cx: &mut Cx<'_>, job: &Job) {
    let place = |row: usize, key: &str| job.places.resolve(Place::named("pin", &(row + 1).to_string()).field(key));
    let mut rooms: BTreeMap<&OpeningId, (usize, &RoomId)> = BTreeMap::new();
    for (row, pin) in job.pins.iter().enumerate() {
        if let (Some(opening), Some(room)) = (&pin.opening, &pin.room) {
            rooms.entry(opening).or_insert((row, room));
        }
    }
    for (row, pin) in job.pins.iter().enumerate() {
        let pinned = pin.opening.as_ref().and_then(|opening| Some((opening, rooms.get(opening)?)));
        let Some((opening, &(first, room))) = pinned.filter(|it| pin.not_room.contains(it.1.1)) else { continue };
        cx.sink.report(&PinsContradict {
            opening: opening.clone(),
            field: "room",
            first: (room.to_string(), place(first, "room")),
            second: (format!("not {room}"), place(row, "not_room")),
        });
    }
}

/// Tells of demands to share no controller that name one opening alone, or one twice.
pub(super) fn apart(cx: &mut Cx<'_>, job: &Job) {
    for (idx, apart) in job.apart.iter().enumerate() {
        let mut known = BTreeSet::new();
        let twice = apart.openings.iter().find(|mark| !known.insert(*mark)).cloned();
        let named = apart.openings.iter().collect::<BTreeSet<_>>().len();
        if twice.is_some() || named < 2 {
            cx.sink.report(&ApartNamesOne { row: idx + 1, twice, named });
        }
    }
}

/// Tells of openings of the issued revision that are gone, and once of each room.
pub(super) fn gone(cx: &mut Cx<'_>, job: &Job) {
    let openings: BTreeSet<&OpeningId> = job.openings.iter().map(|opening| &opening.mark).collect();
    let mut rooms: BTreeSet<&RoomId> = job.rooms.iter().map(|room| &room.id).collect();
    for (idx, issued) in job.issued.iter().enumerate() {
        let opening = issued.opening.as_ref().filter(|mark| !openings.contains(mark)).map(Id::text);
        let room = issued.room.as_ref().filter(|room| rooms.insert(room)).map(Id::text);
        for (field, id) in [("opening", opening), ("room", room)] {
            let Some(id) = id else { continue };
            let (id, revision) = (id.to_owned(), issued.revision.clone());
            cx.sink.report(&IssuedGone { row: idx + 1, field, id, revision });
        }
    }
}
