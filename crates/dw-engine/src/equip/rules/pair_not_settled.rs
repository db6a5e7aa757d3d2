//! A pair of which not everything is known that its lock needs.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A pair states its active leaf, how the inactive leaf is held, and its closing sequence.
    /// ## Why it matters
    /// The lock works only against a leaf that is held; leaves that close in the wrong order do not latch.
    /// ## Basis
    /// *Common practice*; fire doors: coordinators with overlapping astragals, NFPA 80 (from memory).
    /// ## Example
    /// P-1 does not say which leaf closes first.
    /// ## What to do
    /// Fill in `door.active_leaf`, `door.flush_bolts` and `door.closing_sequence`.
    pub struct PairNotSettled: "EQP-023" "pair-not-settled" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What is not said.
        pub missing: Vec<&'static str>,
    }
    place(it) { Place::of(&it.opening).field("door.active_leaf") }
    headline(it) { format!("{}: of 3 things a pair must state {} are missing: {}", it.opening, it.missing.len(), it.missing.join(", ")) }
    help(_it) { vec!["Fill in door.active_leaf, door.flush_bolts and door.closing_sequence; write \"none\" where there is none".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_pair_without_its_leaves_settled_is_told() {
        let outcome = door(&[("kind", "\"pair\""), ("door.active_leaf", "\"left\"")]);
        assert!(outcome.the("EQP-023").headline.contains("2 are missing"), "{:?}", outcome.findings);
    }

    #[test]
    fn a_settled_pair_and_a_single_door_are_silent() {
        let settled = [
            ("kind", "\"pair\""),
            ("door.active_leaf", "\"left\""),
            ("door.flush_bolts", "\"automatic\""),
            ("door.closing_sequence", "\"coordinator\""),
        ];
        assert!(!door(&settled).has("EQP-023") && !door(&[]).has("EQP-023"));
    }
}
