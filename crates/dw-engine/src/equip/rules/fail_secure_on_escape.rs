//! A fail-secure lock that holds people on a way of escape.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A lock that holds people on a way of escape unlocks when its power is lost.
    /// ## Why it matters
    /// A lock that stays locked without power traps people when the mains and the battery are gone.
    /// ## Basis
    /// IBC 2021 1010.2.11 and 1010.2.12; NFPA 101 7.2.1.6; OSHA 1910.36(d)(2); Approved Document B volume 2 (2019) 5.7 to 5.11.
    /// ## Example
    /// D-9 is pinned fail-secure; its strike blocks the only way out because the inside handle is fixed.
    /// ## What to do
    /// Take the pin out, fit an always free inside handle, or choose a fail-safe lock.
    pub struct FailSecureOnEscape: "EQP-005" "fail-secure-on-escape" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
        /// Where the code profile takes the rule from.
        pub source: Option<String>,
    }
    place(it) { Place::of(&it.opening).field("fail_mode") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    notes(it) { super::cited(it.source.as_ref()) }
    help(_it) { vec!["Fit an inside handle that always retracts the latch: then the lock may stay fail-secure from outside".to_owned(), "Or use a fail-safe lock, released by the fire alarm".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_fail_secure_pin_without_a_free_handle_stops_and_still_wins() {
        let outcome =
            pinned(&[("escape", "\"exit\""), ("door.inside_handle", "\"fixed\"")], "fail_mode = \"fail-secure\"");
        assert!(outcome.has("EQP-005"), "{:?}", outcome.findings);
        assert_eq!(outcome.equipment.openings[0].fail_mode, Some(FailMode::Secure));
    }

    #[test]
    fn beside_a_free_handle_fail_secure_is_in_order() {
        let outcome = pinned(&[("escape", "\"exit\"")], "fail_mode = \"fail-secure\"");
        assert!(!outcome.has("EQP-005"), "{:?}", outcome.findings);
        assert_eq!(outcome.equipment.openings[0].fail_mode, Some(FailMode::Secure));
    }

    #[test]
    fn without_a_duty_in_escape_it_is_in_order() {
        let outcome =
            pinned(&[("escape", "\"none\""), ("door.inside_handle", "\"fixed\"")], "fail_mode = \"fail-secure\"");
        assert!(!outcome.has("EQP-005"), "{:?}", outcome.findings);
    }
}
