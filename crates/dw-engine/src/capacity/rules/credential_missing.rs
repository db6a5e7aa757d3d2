//! CAP-009.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Where cards are read, the catalogue offers a card with a price.
    /// ## Why it matters
    /// Everybody needs one, and the price would miss them.
    /// ## Basis
    /// Head counts of the job with growth.
    /// ## Example
    /// 800 people, and no device of kind `credential` that names `card`.
    /// ## What to do
    /// Add the card to the catalogue; price 0 where people keep the cards they have.
    pub struct CredentialMissing: "CAP-009" "credential-missing" Fix since "0.1" {
        /// Cards to issue.
        pub people: u32,
    }
    place(_it) { Place::job() }
    headline(it) { format!("cards: {} to issue, none with a price in the catalogue", it.people) }
    help(_it) { vec!["Add a credential for cards to the catalogue, with price 0 where people keep theirs".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn no_card_in_the_catalogue_is_told() {
        check(&Case { card: false, ..Case::default() }, &["CAP-009"]);
    }

    #[test]
    fn nobody_needs_no_card() {
        check(&Case { card: false, people: 0, ..Case::default() }, &[]);
    }

    #[test]
    fn a_card_with_a_price_is_quiet() {
        check(&Case { card: true, ..Case::default() }, &[]);
    }
}
