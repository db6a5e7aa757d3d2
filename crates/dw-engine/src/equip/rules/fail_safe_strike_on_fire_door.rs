//! A fail-safe strike on a fire door.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The strike of a fire door stays latched when power is lost.
    /// ## Why it matters
    /// A strike that unlocks without power lets the fire push the door open.
    /// ## Basis
    /// NFPA 80 (a strike of a fire door is fail-secure; fail-safe strikes are not listed for fire doors).
    /// ## Example
    /// D-7 is rated 30 min and pinned fail-safe.
    /// ## What to do
    /// Use a fail-secure strike; where the outside must unlock on alarm, a fail-safe mortise lock that stays latched.
    pub struct FailSafeStrikeOnFireDoor: "EQP-007" "fail-safe-strike-on-fire-door" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
        /// Where the code profile takes the rule from.
        pub source: Option<String>,
    }
    place(it) { Place::of(&it.opening).field("door.fire_rating") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    notes(it) { super::cited(it.source.as_ref()) }
    help(_it) { vec!["Use a fail-secure strike listed for fire doors".to_owned(), "Where the outside must unlock on alarm, use a fail-safe mortise lock: its latch stays".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_fail_safe_strike_pinned_on_a_fire_door_stops() {
        let outcome = pinned(&[("door.fire_rating_min", "30")], "lock = \"STRIKE-SAFE\"");
        assert!(outcome.has("EQP-007"), "{:?}", outcome.findings);
    }

    #[test]
    fn on_an_ordinary_door_it_is_in_order() {
        assert!(!pinned(&[], "lock = \"STRIKE-SAFE\"").has("EQP-007"));
    }
}
