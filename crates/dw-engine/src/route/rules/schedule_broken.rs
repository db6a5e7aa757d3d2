//! RTE-902 schedule-broken.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The cable schedule of a design agree with themselves: every need of a served opening has its cable, every core is allocated, cable bought covers cable cut, and fills add up.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built. This is a fault of the tool or of an edited plan, not of the survey.
    /// ## Basis
    /// Recomputed by code that shares nothing with the code that made the plan.
    /// ## Example
    /// C-8: 120.0 m bought, 131.0 m cut.
    /// ## What to do
    /// Report it with the job that shows it.
    pub struct ScheduleBroken: "RTE-902" "schedule-broken" Stop since "0.1" {
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
