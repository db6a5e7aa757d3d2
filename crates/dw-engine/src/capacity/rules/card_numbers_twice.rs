//! CAP-012.

use dw_core::{Place, rule};

use crate::credential::Block;

rule! {
    /// ## What it checks
    /// No number of one layout and facility code is held twice: not by two estates in use, nor by new cards and an estate.
    /// ## Why it matters
    /// Two people with one number are one person to every controller: each has the rights of both, and the log names the wrong one.
    /// ## Basis
    /// A card is known by layout, facility code and number together. Two estates numbered from 1 share as many as the smaller has.
    /// ## Example
    /// Two companies merge, both with facility code 90 and cards from 1: 800 numbers are held twice.
    /// ## What to do
    /// Start the new cards after the highest number in use, take another facility code, or replace the smaller estate.
    pub struct CardNumbersTwice: "CAP-012" "card-numbers-twice" Stop since "0.1" {
        /// Where the later one is stated.
        pub place: Place,
        /// Whose the later ones are.
        pub holder: String,
        /// Who has them already.
        pub other: String,
        /// The numbers.
        pub numbers: Block,
    }
    place(it) { it.place.clone() }
    headline(it) {
        format!(
            "{}: numbers {} to {} ({} cards) are held by {} already",
            it.holder, it.numbers.first, it.numbers.last, it.numbers.count(), it.other
        )
    }
    help(_it) {
        vec![
            "Leave the first number out, and the new cards follow the highest in use".to_owned(),
            "Take a facility code of its own, or replace the smaller estate".to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Cards, Case, check};

    fn with(first: Option<u64>, in_use: Vec<(&'static str, Option<u64>, u64, u64)>) -> Case {
        Case { cards_policy: Cards { first, in_use, ..Cards::default() }, ..Case::default() }
    }

    #[test]
    fn two_estates_from_one_share_the_smaller() {
        check(&with(None, vec![("w26", Some(90), 1, 1200), ("w26", Some(90), 1, 800)]), &["CAP-012"]);
        check(&with(None, vec![("w26", Some(90), 1, 1200), ("w26", Some(91), 1, 800)]), &[]);
        check(&with(None, vec![("w26", Some(90), 1, 1200), ("w34", Some(90), 1, 800)]), &[]);
    }

    #[test]
    fn new_cards_may_follow_the_last_in_use_but_not_begin_with_it() {
        check(&with(Some(1201), vec![("w26", Some(90), 1, 1200)]), &[]);
        check(&with(Some(1200), vec![("w26", Some(90), 1, 1200)]), &["CAP-012"]);
    }
}
