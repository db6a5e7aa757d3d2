//! SUR-013 pins-contradict.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// No two pins decide one thing of one opening in two ways, and none forbids the room another one demands.
    /// ## Why it matters
    /// Only one of the two can be obeyed: the first is. Whoever wrote the other one would not notice.
    /// ## Basis
    /// The job format: a pin is always obeyed.
    /// ## Example
    /// Pin 1 serves `D-1` from `TR-1`, pin 2 serves it from `TR-2`.
    /// ## What to do
    /// Remove one of the two pins.
    pub struct PinsContradict: "SUR-013" "pins-contradict" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What both decide: room, reader, controller, lock, fail mode.
        pub field: &'static str,
        /// What the first pin says, and where.
        pub first: (String, Place),
        /// What the later pin says, and where.
        pub second: (String, Place),
    }
    place(it) { it.second.1.clone() }
    headline(it) {
        let said = |(value, place): &(String, Place)| {
            let at = place.source.as_ref().map_or_else(|| place.to_string(), ToString::to_string);
            format!("{value} ({at})")
        };
        format!("{} is pinned to {} {} and {}; the first counts", it.opening, it.field, said(&it.first), said(&it.second))
    }
    help(_it) { vec!["Remove one of the two pins".to_owned()] }
}
