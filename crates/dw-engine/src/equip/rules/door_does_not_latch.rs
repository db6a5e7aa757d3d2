//! A strike on a door that does not latch by itself.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A door with a strike, and every fire door, has a closer and latches without help.
    /// ## Why it matters
    /// A strike holds a latch; a door that rests on it is not locked and tells no alarm.
    /// ## Basis
    /// *Common practice*; fire doors: NFPA 80 (self-closing, positive latching).
    /// ## Example
    /// D-3 has a strike and no closer.
    /// ## What to do
    /// Fit or adjust the closer before the lock is set to work; name who does it in the split of works.
    pub struct DoorDoesNotLatch: "EQP-024" "door-does-not-latch" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What the survey does not confirm.
        pub missing: Vec<&'static str>,
    }
    place(it) { Place::of(&it.opening).field("door.latches_unaided") }
    headline(it) { format!("{}: {} needs a door that latches by itself; not confirmed: {}", it.opening, it.device, it.missing.join(", ")) }
    help(_it) { vec!["Fit or adjust a closer, and fill in door.closer and door.latches_unaided".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_strike_without_a_closer_is_told() {
        assert!(door(&[("door.closer", "false")]).has("EQP-024"));
        assert!(door(&[("door.latches_unaided", "")]).has("EQP-024"));
        assert!(!door(&[]).has("EQP-024"));
    }

    #[test]
    fn a_magnet_needs_no_latch() {
        assert!(!door(&[MAGNET_ONLY, ("door.closer", "false"), ("escape", "\"none\"")]).has("EQP-024"));
    }
}
