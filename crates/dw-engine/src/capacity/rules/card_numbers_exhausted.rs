//! CAP-013.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The cards to order, growth and spares included, find that many free numbers in a row.
    /// ## Why it matters
    /// A facility code that is full can only be filled by issuing a number a second time.
    /// ## Basis
    /// 16 bits of number hold 65,535 cards without number 0 (SIA AC-01-1996.10), whatever is in use taken off.
    /// ## Example
    /// 1,200 cards needed, 900 numbers free under facility code 90.
    /// ## What to do
    /// Take a second facility code or a longer layout, or retire numbers in use.
    pub struct CardNumbersExhausted: "CAP-013" "card-numbers-exhausted" Stop since "0.1" {
        /// Cards to order.
        pub needed: u32,
        /// Numbers free.
        pub free: u64,
        /// Facility code, where the layout has one.
        pub facility: Option<u64>,
    }
    place(_it) { Place::named("policy", "").field("cards.facility") }
    headline(it) {
        let under = it.facility.map(|code| format!(" under facility code {code}")).unwrap_or_default();
        format!("cards: {} numbers in a row needed, {} free{under}", it.needed, it.free)
    }
    help(_it) { vec!["Take another facility code or a layout with more bits for the number".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Cards, Case, check};

    fn in_use_up_to(last: u64) -> Case {
        let in_use = vec![("w26", Some(90), 1, last)];
        Case { cards_policy: Cards { in_use, ..Cards::default() }, ..Case::default() }
    }

    #[test]
    fn a_hundred_cards_fit_after_65435_and_not_after_one_more() {
        check(&in_use_up_to(65_435), &[]);
        check(&in_use_up_to(65_436), &["CAP-013"]);
    }

    #[test]
    fn another_facility_code_has_numbers_of_its_own() {
        let in_use = vec![("w26", Some(91), 1, 65_535)];
        check(&Case { cards_policy: Cards { in_use, ..Cards::default() }, ..Case::default() }, &[]);
    }
}
