//! LNK-901 link-plan-inconsistent.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// What the link plan promises: every reader on one line, addresses that exist and are used once, subnets apart, sums that add up.
    /// ## Why it matters
    /// A plan that breaks its own promises is a fault of the program.
    /// ## Basis
    /// Checked by code that shares nothing with the code that made the plan.
    /// ## Example
    /// TR-1/C1 bus 1: address 3 is given twice.
    /// ## What to do
    /// Report it with the job.
    pub struct PlanInconsistent: "LNK-901" "link-plan-inconsistent" Stop since "0.1" {
        /// What it is about.
        pub place: Place,
        /// What is broken.
        pub what: String,
    }
    place(it) { it.place.clone() }
    headline(it) { it.what.clone() }
    help(_it) { vec!["Report this fault of the program with the job".to_owned()] }
}
