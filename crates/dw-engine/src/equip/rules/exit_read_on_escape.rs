//! Proof demanded to leave by a way of escape.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Nobody must prove who they are to leave by a way of escape.
    /// ## Why it matters
    /// A card left on a desk must not keep anybody in a fire.
    /// ## Basis
    /// IBC 2021 1010.2; NFPA 101 7.2.1.5; UFC 4-021-02NF 3-3.2 (reading out of a way of escape needs special approval).
    /// ## Example
    /// D-11 is an exit and demands a card to leave.
    /// ## What to do
    /// Leave the handle free and read out only for the record, or have the authority agree.
    pub struct ExitReadOnEscape: "EQP-027" "exit-read-on-escape" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Factors demanded to leave.
        pub factors: u32,
        /// Whether the way out is free by hand all the same.
        pub free: bool,
        /// Where the code profile takes the rule from.
        pub source: Option<String>,
    }
    place(it) { Place::of(&it.opening).field("proof.factors_out") }
    headline(it) {
        let but = if it.free { "its handle frees the way all the same, so a head count is not to be trusted" } else { "its lock holds until they are read" };
        let factors = if it.factors == 1 { "1 factor is".to_owned() } else { format!("{} factors are", it.factors) };
        format!("{}: {factors} demanded to leave by a way of escape; {but}", it.opening)
     }
    notes(it) { super::cited(it.source.as_ref()) }
    help(_it) { vec!["Set proof.factors_out to 0, or move the reading to an opening off the way of escape".to_owned(), "Otherwise have the authority agree in writing".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn reading_out_of_an_exit_is_told() {
        let outcome = door(&[("escape", "\"exit\""), ("proof.factors_out", "1")]);
        assert!(outcome.has("EQP-027"), "{:?}", outcome.findings);
        assert!(outcome.equipment.openings[0].in_role(Role::ReaderOut).is_some());
    }

    #[test]
    fn off_the_way_of_escape_it_is_in_order() {
        assert!(!door(&[("escape", "\"none\""), ("proof.factors_out", "1")]).has("EQP-027"));
        assert!(!door(&[("escape", "\"exit\""), ("proof.factors_out", "0")]).has("EQP-027"));
    }
}
