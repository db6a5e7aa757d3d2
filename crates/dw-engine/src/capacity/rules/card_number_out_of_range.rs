//! CAP-011.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Facility codes and numbers fit the bits their layout has for them.
    /// ## Why it matters
    /// A number that does not fit loses its first bits and becomes somebody else's.
    /// ## Basis
    /// The layout stated; 8 bits of facility code end at 255, 16 bits of number at 65535 (SIA AC-01-1996.10).
    /// ## Example
    /// Facility code 256 in the layout of 26 bits.
    /// ## What to do
    /// Check code and number against the card order, or agree on a longer layout.
    pub struct CardNumberOutOfRange: "CAP-011" "card-number-out-of-range" Stop since "0.1" {
        /// Where it is stated.
        pub place: Place,
        /// What does not fit.
        pub what: String,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("cards: {}", it.what) }
    help(_it) { vec!["Check facility code and numbers, or agree on a layout with more bits".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Cards, Case, check};

    fn with(cards_policy: Cards) -> Case {
        Case { cards_policy, ..Case::default() }
    }

    #[test]
    fn a_facility_code_ends_at_its_bits() {
        check(&with(Cards { facility: Some(255), ..Cards::default() }), &[]);
        check(&with(Cards { facility: Some(256), ..Cards::default() }), &["CAP-011"]);
    }

    #[test]
    fn the_last_of_the_new_cards_must_fit() {
        check(&with(Cards { first: Some(65_436), ..Cards::default() }), &[]);
        check(&with(Cards { first: Some(65_437), ..Cards::default() }), &["CAP-011"]);
    }

    #[test]
    fn cards_in_use_that_cannot_be_are_told() {
        check(&with(Cards { in_use: vec![("w26", Some(90), 65_000, 65_536)], ..Cards::default() }), &["CAP-011"]);
        check(&with(Cards { in_use: vec![("w37-35", Some(90), 1, 2)], ..Cards::default() }), &["CAP-011"]);
    }
}
