//! SUR-011 nothing-to-design.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// A job has at least one opening.
    /// ## Why it matters
    /// Without an opening there is nothing to design.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// A job with a heading only.
    /// ## What to do
    /// Add openings to the job document or put `openings.csv` beside it.
    pub struct NothingToDesign: "SUR-011" "nothing-to-design" Stop since "0.1" {
    }
    place(_it) { Place::job() }
    headline(_it) {
        "job: there is no opening to design".to_owned()
    }
    help(_it) { vec!["Add [[opening]] records, or put openings.csv beside the job document".to_owned()] }
}
