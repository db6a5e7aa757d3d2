//! A fire door held by a magnet, which does not latch it.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A fire door is held by a latch, not by a magnet alone.
    /// ## Why it matters
    /// Fire pushes an unlatched door open; power is lost early in a fire.
    /// ## Basis
    /// NFPA 80 (self-closing and positive latching); EN 1634-1 tests the door set as latched (from memory).
    /// ## Example
    /// D-7 is rated 60 min and pinned to an electromagnetic lock.
    /// ## What to do
    /// Use a fail-secure strike or a mortise lock listed for fire doors.
    pub struct FireDoorNotLatching: "EQP-006" "fire-door-not-latching" Stop since "0.1" {
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
    help(_it) { vec!["Use a fail-secure strike, a mortise lock or an exit device listed for fire doors".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_magnet_pinned_on_a_fire_door_stops() {
        let outcome = pinned(&[("door.fire_rating_min", "60")], "lock = \"MAGNET\"");
        assert!(outcome.the("EQP-006").headline.contains("60 min"), "{:?}", outcome.findings);
    }

    #[test]
    fn a_listed_strike_is_silent() {
        let outcome = door(&[("door.fire_rating_min", "60")]);
        assert_eq!(outcome.device(Role::Lock), "STRIKE-FIRE");
        assert!(!outcome.has("EQP-006"), "{:?}", outcome.findings);
    }

    #[test]
    fn a_rating_of_nothing_is_no_fire_door() {
        assert!(!pinned(&[("door.fire_rating_min", "0")], "lock = \"MAGNET\"").has("EQP-006"), "exactly at the limit");
    }
}
