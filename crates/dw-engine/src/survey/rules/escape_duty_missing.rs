//! SUR-003 escape-duty-missing.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Every door says what part it plays in escape: none, on a way out, or a final exit.
    /// ## Why it matters
    /// It decides which locks may hold it and what must release them. Until it is known the door counts as being on a way out.
    /// ## Basis
    /// IBC 2021 1010.2 and Approved Document B vol 2 (2019) 5.7 ask the question; the answer is the building's own.
    /// ## Example
    /// `D-7` without `escape`.
    /// ## What to do
    /// Ask for the building's escape plan and fill in `escape`. The local code and the authority having jurisdiction decide.
    pub struct EscapeDutyMissing: "SUR-003" "escape-duty-missing" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
    }
    place(it) { Place::of(&it.opening).field("escape") }
    headline(it) {
        format!("{}: its part in escape is not stated; it counts as being on a way out", it.opening)
    }
    help(_it) { vec!["Fill in escape (none, route or exit) from the building's escape plan; the authority having jurisdiction decides".to_owned()] }
}
