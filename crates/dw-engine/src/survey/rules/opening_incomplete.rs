//! SUR-001 opening-incomplete.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Every opening says what kind it is, on which storey it lies and where on the plan.
    /// ## Why it matters
    /// Lock, reader, cable length and price all follow from them. Until they are known a likely value stands in.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `D-12` without `kind`: a single door is taken.
    /// ## What to do
    /// Fill in the fields named.
    pub struct OpeningIncomplete: "SUR-001" "opening-incomplete" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What is missing, with what was taken instead.
        pub missing: String,
        /// Whether the opening had to be left out.
        pub left_out: bool,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        let end = if it.left_out { "; it is left out, no storey is known at all" } else { "" };
        format!("{}: the survey does not give {}{end}", it.opening, it.missing)
    }
    help(_it) { vec!["Complete the survey of this opening".to_owned()] }
}
