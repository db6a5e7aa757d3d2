//! SUR-007 room-without-mains.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Every telecom room says whether mains is there.
    /// ## Why it matters
    /// A supply without a mains spur is the item most often forgotten in a quotation.
    /// ## Basis
    /// Common practice.
    /// ## Example
    /// Room `TR-2` without `mains`.
    /// ## What to do
    /// Look, and fill in `mains`; when there is none, name who brings it under `works.mains_spur`. Mains work is for licensed people.
    pub struct RoomWithoutMains: "SUR-007" "room-without-mains" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
    }
    place(it) { Place::of(&it.room).field("mains") }
    headline(it) {
        format!("{}: the survey does not say whether mains is there; it is taken to be", it.room)
    }
    help(_it) { vec!["Look, and fill in mains = true or false".to_owned()] }
}
