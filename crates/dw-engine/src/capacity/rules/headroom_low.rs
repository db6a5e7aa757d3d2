//! CAP-008.

use dw_core::rule;

use super::{at, others};
use crate::capacity::Holder;

rule! {
    /// ## What it checks
    /// A tenth of every store stays free after the growth planned.
    /// ## Why it matters
    /// A store that is nearly full at hand-over is the next thing to be replaced.
    /// ## Basis
    /// Keep a tenth free (*common practice*).
    /// ## Example
    /// 960 cards in a store of 1,000.
    /// ## What to do
    /// Nothing now; a model with a larger store if the site may grow beyond the plan.
    pub struct HeadroomLow: "CAP-008" "headroom-low" Note since "0.1" {
        /// The holder.
        pub holder: Holder,
        /// What is stored.
        pub what: &'static str,
        /// How many are needed.
        pub needed: u32,
        /// How many fit.
        pub limit: u32,
    }
    place(it) { at(&it.holder) }
    headline(it) {
        format!("{} ({}): {} of {} {} used after growth, less than a tenth is free", it.holder.label, it.holder.device, it.needed, it.limit, it.what)
    }
    help(_it) { vec!["Choose a model with a larger store if the site may grow beyond the plan".to_owned()] }
    related(it) { others(&it.holder) }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn little_headroom_is_told() {
        check(&Case { people: 901, cards: Some(1000), ..Case::default() }, &["CAP-008"]);
    }

    #[test]
    fn exactly_a_tenth_free_is_quiet() {
        check(&Case { people: 900, cards: Some(1000), ..Case::default() }, &[]);
    }
}
