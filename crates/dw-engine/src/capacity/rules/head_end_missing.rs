//! CAP-004.

use dw_core::{Place, rule};
use dw_job::model::HeadEndKind;

use super::counted;

rule! {
    /// ## What it checks
    /// The catalogue offers a head-end of the kind the policy wants that holds everybody on site.
    /// ## Why it matters
    /// Without a head-end nobody can change rights or see events, and the price misses it.
    /// ## Basis
    /// `head_end` of the policy; card limits of the catalogue.
    /// ## Example
    /// A hosted head-end is wanted and the catalogue has appliances only.
    /// ## What to do
    /// Add the head-end to the catalogue, or choose another kind in the policy.
    pub struct HeadEndMissing: "CAP-004" "head-end-missing" Fix since "0.1" {
        /// Kind wanted.
        pub wanted: HeadEndKind,
        /// Openings under control.
        pub openings: u32,
        /// People on site with growth.
        pub everybody: u32,
    }
    place(_it) { Place::named("policy", "").field("head_end") }
    headline(it) {
        format!("head-end: none of kind {} in the catalogue holds {} and {} people", it.wanted, counted(it.openings), it.everybody)
    }
    help(_it) {
        vec!["Choose another kind of head-end in the policy".to_owned(), "Add a head-end of this kind to the catalogue".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn no_head_end_of_the_kind_is_told() {
        check(&Case { head_end: None, ..Case::default() }, &["CAP-004"]);
    }

    #[test]
    fn a_head_end_that_holds_everybody_exactly_is_quiet() {
        check(&Case { people: 700, head_end: Some((10, 700)), ..Case::default() }, &[]);
    }

    #[test]
    fn a_head_end_that_cannot_hold_everybody_is_not_chosen() {
        check(&Case { people: 701, head_end: Some((10, 700)), ..Case::default() }, &["CAP-004"]);
    }
}
