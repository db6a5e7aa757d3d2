//! PLC-013 reach-too-thin.

use dw_core::{Metres, OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Every opening would still be within reach of a room if its route turned out longer than measured on the plan.
    /// ## Why it matters
    /// Found out while cable is pulled, a run beyond its limit means another room, or another reader.
    /// ## Basis
    /// Lengths from plans are good to 10 to 15 % (*common practice*); the policy's `length_growth_percent`. Drops and slack do
    /// not grow.
    /// ## Example
    /// G-7: 140.0 m to TR-2; 15 % longer no room is within the 150.0 m possible.
    /// ## What to do
    /// Measure the route on site, or choose a reader with a bus interface.
    pub struct ReachTooThin: "PLC-013" "reach-too-thin" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Room it is served from.
        pub room: RoomId,
        /// Length now.
        pub length: Metres,
        /// Longest cable.
        pub limit: Metres,
        /// What sets the limit.
        pub because: String,
        /// How much longer routes are taken, percent.
        pub percent: f64,
    }
    place(it) { Place::of(&it.opening) }
    related(it) { vec![Place::of(&it.room)] }
    headline(it) {
        format!(
            "{}: {:.1} to {}; {:.0} % longer no room is within the {:.1} possible",
            it.opening, it.length, it.room, it.percent, it.limit
        )
    }
    notes(it) { vec![it.because.clone()] }
    help(_it) {
        vec![
            "Measure the route on site before ordering".to_owned(),
            "Pin a reader with a bus interface, which carries further than two data lines".to_owned(),
        ]
    }
}
