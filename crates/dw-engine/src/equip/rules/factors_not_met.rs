//! A reader that takes fewer or other factors than demanded.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The reader takes as many factors as the zone demands, the named ones among them, none of the refused.
    /// ## Why it matters
    /// The protection level is not reached.
    /// ## Basis
    /// The policy's factors by level and the opening's proof.
    /// ## Example
    /// D-9 demands two factors; the pinned reader takes a card only.
    /// ## What to do
    /// Pin another reader, or change what the opening demands.
    pub struct FactorsNotMet: "EQP-016" "factors-not-met" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("proof.factors_in") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Take the pin out or pin a reader that takes them".to_owned(), "Or change proof.factors_in, proof.demanded or proof.refused".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_card_reader_pinned_where_two_factors_are_demanded_stops() {
        let outcome = pinned(&[("proof.factors_in", "2")], "reader = \"CARD-IN\"");
        assert!(outcome.the("EQP-016").headline.contains("2 factors are demanded"), "{:?}", outcome.findings);
    }

    #[test]
    fn one_factor_is_exactly_what_it_takes() {
        assert!(!pinned(&[("proof.factors_in", "1")], "reader = \"CARD-IN\"").has("EQP-016"));
    }

    #[test]
    fn a_refused_factor_does_not_count() {
        assert!(pinned(&[("proof.refused", "[\"card\"]")], "reader = \"CARD-IN\"").has("EQP-016"));
    }
}
