//! A lock chosen before the door is known.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The survey says what leaf and frame are made of and prepared for.
    /// ## Why it matters
    /// A lock ordered for a door that is not prepared for it comes back, or the door is spoilt.
    /// ## Basis
    /// *Common practice*.
    /// ## Example
    /// D-4 gets a strike; the survey does not say what the frame is prepared for.
    /// ## What to do
    /// Survey the door and fill in `door.preparation` and `door.leaf`; until then the lock is not to be ordered.
    pub struct LockProvisional: "EQP-010" "lock-provisional" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What is not known.
        pub why: String,
    }
    place(it) { Place::of(&it.opening).field("door.preparation") }
    headline(it) { format!("{}: {} stands only until the door is surveyed: {}", it.opening, it.device, it.why) }
    help(_it) { vec!["Fill in door.preparation and door.leaf, and whoever cuts the door in the split of works".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_lock_without_door_preparation_is_provisional() {
        let outcome = door(&[("door.preparation", "")]);
        assert!(outcome.has("EQP-010"), "{:?}", outcome.findings);
        assert!(outcome.equipment.openings[0].provisional.is_some());
    }

    #[test]
    fn a_prepared_door_is_settled() {
        let outcome = door(&[]);
        assert!(!outcome.has("EQP-010") && outcome.equipment.openings[0].provisional.is_none());
    }
}
