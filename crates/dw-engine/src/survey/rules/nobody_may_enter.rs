//! SUR-005 nobody-may-enter.

use dw_core::{OpeningId, Place, ZoneId, rule};

rule! {
    /// ## What it checks
    /// Some group with people in it has a right to the zone behind every controlled opening.
    /// ## Why it matters
    /// A controlled door nobody may pass is either a forgotten right or a reader nobody needs.
    /// ## Basis
    /// Common practice.
    /// ## Example
    /// `D-40` leads into zone "Plant" and no right names that zone.
    /// ## What to do
    /// Add a row to the rights, or correct the zone of the space.
    pub struct NobodyMayEnter: "SUR-005" "nobody-may-enter" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The zone behind it.
        pub zone: ZoneId,
    }
    place(it) { Place::of(&it.opening).field("to") }
    headline(it) {
        format!("{}: no group with people in it has a right to zone \"{}\" behind it", it.opening, it.zone)
    }
    help(_it) { vec!["Add a right for the zone, or correct the zone of the space".to_owned()] }
}
