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
    /// D-12: no place found in TR-1 or TR-2.
    /// ## What to do
    /// Raise a limit of one of the rooms, lower the spare share, or add a room.
    pub struct RoomFull: "PLC-002" "room-full" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Rooms within reach.
        pub rooms: Vec<RoomId>,
        /// Their limits in words.
        pub limits: Vec<String>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        {
            let rooms: Vec<String> = it.rooms.iter().map(ToString::to_string).collect();
            format!("{}: no place found in the {} rooms within reach: {}", it.opening, rooms.len(), rooms.join(", "))
        }
    }
    notes(it) { it.limits.clone() }
    help(_it) {
        vec![
            "Raise a limit of one of the rooms, or add a room".to_owned(),
            "Lower the share of spare ports".to_owned(),
        ]
    }
    related(it) { it.rooms.iter().map(Place::of).collect() }
}
