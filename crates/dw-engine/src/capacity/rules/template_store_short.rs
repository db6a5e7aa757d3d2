//! CAP-002.

use dw_core::rule;

use super::{at, others};
use crate::capacity::Holder;

rule! {
    /// ## What it checks
    /// Every device that keeps templates of fingers, faces or veins, or number plates, has room for all that are needed
    /// there, growth included.
    /// ## Why it matters
    /// People without a template, and vehicles not in the list, are turned away.
    /// ## Basis
    /// Access rights of the job; fingers enrolled for each person; a face each, as many veins as fingers, a plate for
    /// each vehicle (*common practice*).
    /// ## Example
    /// 3,000 people with two fingers each need 6,000 templates; the unit keeps 5,000.
    /// ## What to do
    /// Choose a model with a larger store, enrol fewer fingers, let fewer groups use this opening, or read cards here.
    pub struct TemplateStoreShort: "CAP-002" "template-store-short" Stop since "0.1" {
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
    headline(it) { format!("{} ({}): {} {} needed, {} fit", it.holder.label, it.holder.device, it.needed, it.what, it.limit) }
    help(_it) {
        vec![
            "Choose a model with a larger store".to_owned(),
            "Enrol fewer fingers for each person where fingers are used".to_owned(),
            "Narrow the access rights behind these openings, or demand another factor here".to_owned(),
        ]
    }
    related(it) { others(&it.holder) }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn two_fingers_a_head_beyond_the_store_are_told() {
        check(&Case { people: 501, fingers: Some(1000), ..Case::default() }, &["CAP-002"]);
    }

    #[test]
    fn few_fingers_are_quiet() {
        check(&Case { people: 300, fingers: Some(1000), ..Case::default() }, &[]);
    }

    #[test]
    fn exactly_full_fits_without_headroom() {
        check(&Case { people: 500, fingers: Some(1000), ..Case::default() }, &["CAP-008"]);
    }
}
