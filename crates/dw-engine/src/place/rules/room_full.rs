//! PLC-002 room-full.

use dw_core::{OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Every opening within reach of a room finds a place in one.
    /// ## Why it matters
    /// The opening is served by no controller; it is missing from cable, power and price.
    /// ## Basis
    /// The limits of the rooms: controllers, places for enclosures, free network ports; the spare policy.
    /// ## Example
    /// D-12: no place found in the 2 rooms within reach, in TR-1: TR-1 holds at most 2 controllers, 8 of 8 ports there taken.
    /// ## What to do
    /// Raise a limit of one of the rooms, lower the spare share, or add a room.
    pub struct RoomFull: "PLC-002" "room-full" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Rooms within reach, and what is full there in words.
        pub rooms: Vec<(RoomId, String)>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        let full = it.rooms.first().map_or_else(String::new, |(room, full)| format!(", in {room}: {full}"));
        let rooms = if it.rooms.len() == 1 { "room" } else { "rooms" };
        format!("{}: no place found in the {} {rooms} within reach{full}", it.opening, it.rooms.len())
    }
    notes(it) {
        let full = it.rooms.iter().map(|(room, full)| format!("{room}: {full}"));
        full.chain(["It is not known whether another plan would serve it: the proof would have taken too long".to_owned()]).collect()
    }
    help(_it) {
        vec![
            "Raise a limit of one of the rooms, or add a room".to_owned(),
            "Lower the share of spare ports".to_owned(),
        ]
    }
    related(it) { it.rooms.iter().map(|it| Place::of(&it.0)).collect() }
}
