//! CAP-001.

use dw_core::rule;

use super::{at, others};
use crate::capacity::Holder;

rule! {
    /// ## What it checks
    /// Every controller and unit has room for a card record of everybody who may pass its openings, growth included.
    /// ## Why it matters
    /// People whose record is left out are turned away whenever the network is down, or always.
    /// ## Basis
    /// Access rights of the job: each person counts once a controller, whatever number of its openings they may pass.
    /// ## Example
    /// 2,400 people may enter the zones behind a controller that keeps 2,000 cards.
    /// ## What to do
    /// Choose a model with a larger store, serve the openings from several controllers, or narrow the access rights.
    pub struct CardStoreShort: "CAP-001" "card-store-short" Stop since "0.1" {
        /// The holder.
        pub holder: Holder,
        /// Cards needed.
        pub needed: u32,
        /// Cards it keeps.
        pub limit: u32,
    }
    place(it) { at(&it.holder) }
    headline(it) { format!("{} ({}): {} cards needed, {} fit", it.holder.label, it.holder.device, it.needed, it.limit) }
    help(_it) {
        vec![
            "Choose a model with a larger card store".to_owned(),
            "Check whether every group with a right into these zones needs it".to_owned(),
        ]
    }
    related(it) { others(&it.holder) }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn a_card_too_many_is_told() {
        check(&Case { people: 1001, cards: Some(1000), ..Case::default() }, &["CAP-001"]);
    }

    #[test]
    fn a_store_with_room_is_quiet() {
        check(&Case { people: 500, cards: Some(1000), ..Case::default() }, &[]);
    }

    #[test]
    fn a_store_filled_to_the_last_card_has_no_headroom_but_fits() {
        check(&Case { people: 1000, cards: Some(1000), ..Case::default() }, &["CAP-008"]);
    }
}
