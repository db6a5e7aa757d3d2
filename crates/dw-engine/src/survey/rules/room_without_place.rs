//! SUR-006 room-without-place.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Every telecom room has a storey and a point on its plan.
    /// ## Why it matters
    /// A room that is nowhere cannot be reached by cable, so nothing is placed in it.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Room `TR-2` without `x_m`.
    /// ## What to do
    /// Fill in `storey`, `x_m` and `y_m`.
    pub struct RoomWithoutPlace: "SUR-006" "room-without-place" Stop since "0.1" {
        /// The room.
        pub room: RoomId,
    }
    place(it) { Place::of(&it.room) }
    headline(it) {
        format!("{}: the room has no storey or no point on the plan and cannot be used", it.room)
    }
    help(_it) { vec!["Fill in storey, x and y of the room".to_owned()] }
}
