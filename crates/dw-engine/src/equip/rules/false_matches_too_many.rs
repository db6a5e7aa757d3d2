//! A search that passes wrong persons too often.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A reader that searches everybody enrolled passes a wrong person no more often than the policy allows.
    /// ## Why it matters
    /// The chance grows with every person enrolled; at some number the reader is no proof.
    /// ## Basis
    /// FPIR = 1 - (1 - FMR)^N, ISO/IEC 19795-1; NIST SP 800-63A-4 asks for 0.001 at most.
    /// ## Example
    /// A reader of FMR 1e-4 among 500 references: 4.9 % against 0.1 %.
    /// ## What to do
    /// Ask for a card as well, so that one identity is checked; or use a device of a lower false match rate.
    pub struct FalseMatchesTooMany: "EQP-015" "false-matches-too-many" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("proof.factors_in") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Ask for a card as well: then one claimed identity is checked".to_owned(), "Or use a device with a lower false match rate".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_coarse_search_pinned_for_many_people_stops() {
        let outcome = pinned(&[("proof.demanded", "[\"finger\"]")], "reader = \"COARSE\"");
        assert!(outcome.has("EQP-015"), "{:?}", outcome.findings);
    }

    #[test]
    fn with_a_card_one_identity_is_checked() {
        let outcome = pinned(&[("proof.demanded", "[\"card\", \"finger\"]")], "reader = \"COARSE\"");
        assert!(!outcome.has("EQP-015"), "{:?}", outcome.findings);
    }

    #[test]
    fn exactly_the_limit_passes() {
        // FMR 1e-4 and 100 people: 0.009951 (recomputed).
        let at = |limit: &str| {
            with(
                &format!("[policy]\nmax_false_match = {limit}\n[[pin]]\nopening = \"D-1\"\nreader = \"COARSE\""),
                &[("proof.demanded", "[\"finger\"]")],
            )
            .has("EQP-015")
        };
        assert!(at("0.00995") && !at("0.00996"));
    }
}
