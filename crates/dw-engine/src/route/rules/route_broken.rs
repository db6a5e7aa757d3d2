//! RTE-901 route-broken.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The routes of a design agree with themselves: every served opening has one route, as long as it was placed with, over ways that touch and are open.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built. This is a fault of the tool or of an edited plan, not of the survey.
    /// ## Basis
    /// Recomputed by code that shares nothing with the code that made the plan.
    /// ## Example
    /// D-7: route of 41.2 m, placed with 39.8 m.
    /// ## What to do
    /// Report it with the job that shows it.
    pub struct RouteBroken: "RTE-901" "route-broken" Stop since "0.1" {
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
