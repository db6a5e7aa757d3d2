//! SUR-016 apart-names-one.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A record `[[apart]]` names at least two openings, and none of them twice.
    /// ## Why it matters
    /// One opening alone always has its controller to itself: the demand asks for nothing, and what was meant is missing.
    /// ## Basis
    /// The job format: no two openings of a record sit on one controller.
    /// ## Example
    /// `openings = ["D-1", "D-1"]`, where `D-1` and `D-2` were meant.
    /// ## What to do
    /// Name every opening that must not share a controller with the others, each once.
    pub struct ApartNamesOne: "SUR-016" "apart-names-one" Fix since "0.1" {
        /// Row of the record, counted from 1.
        pub row: usize,
        /// The opening that is named twice; `None` where there are no two to begin with.
        pub twice: Option<OpeningId>,
        /// How many different openings it names.
        pub named: usize,
    }
    place(it) { Place::named("apart", &it.row.to_string()).field("openings") }
    headline(it) {
        let twice = it.twice.as_ref().map(|mark| format!("{mark} is named twice among openings that share no controller"));
        let few = || match it.named {
            0 => "openings that share no controller are not named".to_owned(),
            _ => "one opening alone is named among those that share no controller".to_owned(),
        };
        twice.unwrap_or_else(few)
    }
    help(_it) { vec!["Name every opening that must not share a controller with the others, each once".to_owned()] }
}
