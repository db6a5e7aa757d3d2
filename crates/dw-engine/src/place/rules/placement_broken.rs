//! PLC-901 placement-broken.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// A placement agrees with itself: every opening once, ports on one controller and nobody else's, spare ports, limits, lengths
    /// and pins kept, the cost as priced anew, the bound not above it.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built. This is a fault of the tool or of an edited plan, not of the survey.
    /// ## Basis
    /// Recomputed by code that shares nothing with the code that made the plan.
    /// ## Example
    /// D-12: holds 1 ports, needs 2.
    /// ## What to do
    /// Report it with the job that shows it.
    pub struct PlacementBroken: "PLC-901" "placement-broken" Stop since "0.1" {
        /// What it is about.
        pub place: Place,
        /// What does not agree, with both figures.
        pub problem: String,
    }
    place(it) { it.place.clone() }
    headline(it) {
        format!("{}: {}", it.place, it.problem)
    }
    help(_it) {
        vec!["Report it with the job that shows it".to_owned()]
    }
}
