//! CAP-010.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Cards to order, and cards in use, have a layout that says what each bit is, and a facility code where the layout has one.
    /// ## Why it matters
    /// Two layouts of one length send different numbers. Cards ordered by guess are read wrongly or not at all, and numbers in use
    /// cannot be kept apart.
    /// ## Basis
    /// SIA AC-01-1996.10 for 26 bits; there is more than one layout of 37 bits. A layout is stated, never guessed from a length.
    /// ## Example
    /// 440 cards to order, and nobody has said whether the readers expect 26 or 37 bits.
    /// ## What to do
    /// Ask the customer and the supplier, and write layout and facility code into `policy.cards` or the card range.
    pub struct CardLayoutUnclear: "CAP-010" "card-layout-unclear" Note since "0.1" {
        /// Where it is, or would be, stated.
        pub place: Place,
        /// Cards concerned.
        pub cards: u32,
        /// What is missing or unclear.
        pub what: String,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{} cards: {}", it.cards, it.what) }
    help(_it) {
        vec!["Ask the customer or the supplier for the layout of every bit and the facility code, in writing".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Cards, Case, check};

    #[test]
    fn cards_without_a_layout_are_asked_about() {
        check(&Case { cards_policy: Cards { layout: None, ..Cards::default() }, ..Case::default() }, &["CAP-010"]);
    }

    #[test]
    fn a_length_is_no_layout() {
        check(
            &Case { cards_policy: Cards { layout: Some("37"), ..Cards::default() }, ..Case::default() },
            &["CAP-010"],
        );
    }

    #[test]
    fn a_layout_with_a_facility_code_wants_one_and_one_without_does_not() {
        let without = |layout| Cards { layout: Some(layout), facility: None, ..Cards::default() };
        check(&Case { cards_policy: without("w26"), ..Case::default() }, &["CAP-010"]);
        check(&Case { cards_policy: without("w37-35"), ..Case::default() }, &[]);
    }

    #[test]
    fn nobody_needs_no_layout() {
        let cards_policy = Cards { layout: None, ..Cards::default() };
        check(&Case { cards_policy, people: 0, ..Case::default() }, &[]);
    }
}
