//! SUR-010 same-space-both-sides.

use dw_core::{OpeningId, Place, SpaceId, rule};

rule! {
    /// ## What it checks
    /// An opening leads from one space to another.
    /// ## Why it matters
    /// An opening with one space on both sides guards nothing, and its zone cannot be told.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `from = "Hall"` and `to = "Hall"`.
    /// ## What to do
    /// Correct one of the two.
    pub struct SameSpaceBothSides: "SUR-010" "same-space-both-sides" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The space.
        pub space: SpaceId,
    }
    place(it) { Place::of(&it.opening).field("from") }
    headline(it) {
        format!("{}: it leads from \"{}\" into the same space", it.opening, it.space)
    }
    help(_it) { vec!["Correct from or to".to_owned()] }
}
