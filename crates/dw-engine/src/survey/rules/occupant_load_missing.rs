//! SUR-004 occupant-load-missing.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Every final exit says how many people would use it to escape.
    /// ## Why it matters
    /// The load decides whether panic hardware is wanted.
    /// ## Basis
    /// IBC 2021 1010.2.9, NFPA 101 7.2.1.7, Approved Document B vol 2 (2019): panic hardware by occupant load.
    /// ## Example
    /// Exit `D-3` without `occupant_load`.
    /// ## What to do
    /// Fill in `occupant_load` from the escape plan. The local code and the authority having jurisdiction decide.
    pub struct OccupantLoadMissing: "SUR-004" "occupant-load-missing" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
    }
    place(it) { Place::of(&it.opening).field("occupant_load") }
    headline(it) {
        format!("{}: an exit without an occupant load, so panic hardware cannot be judged", it.opening)
    }
    help(_it) { vec!["Fill in occupant_load from the building's escape plan".to_owned()] }
}
