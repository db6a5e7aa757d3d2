//! A lock that holds people on a way of escape without everything that frees them.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A lock that holds people on a way of escape is fail-safe, released by the fire alarm, broken by an emergency release beside the door, and asks nothing but an exit request of those leaving.
    /// ## Why it matters
    /// People must get out without key, card, code or special knowledge, and without power.
    /// ## Basis
    /// IBC 2021 1010.2 with 1010.2.11 and 1010.2.12; NFPA 101 7.2.1.6.2; Approved Document B volume 2 (2019) 5.7 to 5.11; NFPA 72 21.9; the code profile names what applies.
    /// ## Example
    /// D-5 is held by a magnet and the fire alarm does not release it.
    /// ## What to do
    /// Choose a lock whose inside handle is always free, or add what is missing.
    pub struct LockHoldsEscape: "EQP-004" "lock-holds-escape" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Conditions not met.
        pub missing: Vec<&'static str>,
        /// Where the code profile takes the rule from.
        pub source: Option<String>,
    }
    place(it) { Place::of(&it.opening).field("escape") }
    headline(it) { format!("{}: {} holds people on a way of escape with {} of 4 conditions not met or not confirmed: {}", it.opening, it.device, it.missing.len(), it.missing.join(", ")) }
    notes(it) { super::cited(it.source.as_ref()) }
    help(_it) { vec!["Use a lock whose inside handle or bar always frees the way out".to_owned(), "Otherwise add what is missing and have the authority agree".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_magnet_on_an_escape_door_without_fire_release_stops() {
        let outcome = door(&[
            MAGNET_ONLY,
            ("door.inside_handle", "\"fixed\""),
            ("escape", "\"exit\""),
            ("fire_release", "false"),
        ]);
        assert_eq!(outcome.device(Role::Lock), "MAGNET");
        assert!(outcome.the("EQP-004").headline.contains("release by the fire alarm"));
    }

    #[test]
    fn with_all_four_conditions_it_becomes_a_note() {
        let outcome =
            door(&[MAGNET_ONLY, ("door.inside_handle", "\"fixed\""), ("escape", "\"exit\""), ("fire_release", "true")]);
        assert!(!outcome.has("EQP-004") && outcome.has("EQP-030"), "{:?}", outcome.findings);
        assert!(outcome.equipment.openings[0].holds_escape);
        assert_eq!(outcome.device(Role::EmergencyRelease), "RELEASE");
        assert_eq!(outcome.device(Role::ExitRequest), "SENSOR");
    }

    #[test]
    fn a_strike_beside_a_free_handle_does_not_hold() {
        let outcome = door(&[("escape", "\"exit\""), ("fire_release", "false")]);
        assert!(!outcome.has("EQP-004") && !outcome.equipment.openings[0].holds_escape, "{:?}", outcome.findings);
    }
}
