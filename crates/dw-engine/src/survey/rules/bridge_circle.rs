//! SUR-008 bridge-circle.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The network of a room comes over radio bridges from a room that has it, not in a circle from itself.
    /// ## Why it matters
    /// Rooms that feed each other have no network.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Room A `bridge_from = B` and room B `bridge_from = A`.
    /// ## What to do
    /// Correct `bridge_from` of one of the rooms.
    pub struct BridgeCircle: "SUR-008" "bridge-circle" Stop since "0.1" {
        /// The room.
        pub room: RoomId,
    }
    place(it) { Place::of(&it.room).field("bridge_from") }
    headline(it) {
        format!("{}: its network comes in a circle from itself; the bridge is left out", it.room)
    }
    help(_it) { vec!["Correct bridge_from so that the chain starts at a room with a network".to_owned()] }
}
