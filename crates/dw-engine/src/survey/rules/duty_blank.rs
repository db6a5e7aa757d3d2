//! SUR-002 duty-blank.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// For every item of work at an opening somebody is named to supply, fit, wire and test it.
    /// ## Why it matters
    /// Work nobody was named for is found missing on the day of commissioning: the mains spur is the classic.
    /// ## Basis
    /// Common practice: a split of works agreed before the order.
    /// ## Example
    /// No party is named to wire the mains spur of `G-1`.
    /// ## What to do
    /// Name the party under `works` of the opening, or for all openings under `policy.works`.
    pub struct DutyBlank: "SUR-002" "duty-blank" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What nobody was named for.
        pub blanks: Vec<String>,
    }
    place(it) { Place::of(&it.opening).field("works") }
    headline(it) {
        format!("{}: nobody is named to {}", it.opening, it.blanks.join("; "))
    }
    help(_it) { vec!["Name the party under works of this opening, or for all openings under policy.works".to_owned()] }
}
