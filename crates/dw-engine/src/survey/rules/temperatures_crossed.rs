//! SUR-015 temperatures-crossed.

use dw_core::{Celsius, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The highest temperature of a room is not below its lowest.
    /// ## Why it matters
    /// Batteries and devices are chosen by both. Until they are settled, the usual temperatures of an indoor room stand
    /// in.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `temperature_max_c = 10` and `temperature_min_c = 35`.
    /// ## What to do
    /// Change the two round, or correct the wrong one.
    pub struct TemperaturesCrossed: "SUR-015" "temperatures-crossed" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Highest temperature as written.
        pub max_c: Celsius,
        /// Lowest temperature as written.
        pub min_c: Celsius,
    }
    place(it) { Place::of(&it.room).field("temperature_max") }
    headline(it) {
        format!("{}: the highest temperature {} lies below the lowest, {}", it.room, it.max_c, it.min_c)
    }
    help(_it) { vec!["Change the two round, or correct the wrong one".to_owned()] }
}
