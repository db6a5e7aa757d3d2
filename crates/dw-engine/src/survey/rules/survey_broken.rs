//! SUR-901 survey-broken.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The survey as resolved holds every opening once, in order, with shares that are shares.
    /// ## Why it matters
    /// It is the ground all later passes stand on. This finding means a fault of the program, not of the job.
    /// ## Basis
    /// Internal check.
    /// ## Example
    /// An opening lost without a finding.
    /// ## What to do
    /// Report it with the job; do not use the papers.
    pub struct SurveyBroken: "SUR-901" "survey-broken" Stop since "0.1" {
        /// What is broken.
        pub what: String,
    }
    place(_it) { Place::job() }
    headline(it) {
        format!("survey: {}", it.what)
    }
    help(_it) { vec!["This is a fault of the program: report it with the job, and do not use the papers".to_owned()] }
}
