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
    /// Measure the route on site; what else helps depends on what sets the limit.
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
        /// The edit by which the run may be longer, or need not.
        pub way_out: String,
        /// Rooms within the limit then, none of which serves it.
        pub rooms_within: usize,
        /// How much longer routes are taken, percent.
        pub percent: f64,
    }
    place(it) { Place::of(&it.opening) }
    related(it) { vec![Place::of(&it.room)] }
    headline(it) {
        let run = format!("{}: {:.1} to {}; {:.0} % longer", it.opening, it.length, it.room, it.percent);
        if it.rooms_within == 0 {
            format!("{run} no room is within the {:.1} possible", it.limit)
        } else {
            format!("{run} it is beyond the {:.1} possible, and no room within reach has a place", it.limit)
        }
    }
    notes(it) { vec![it.because.clone()] }
    help(it) {
        vec!["Measure the route on site before ordering".to_owned(), it.way_out.clone()]
    }
}
