//! A pinned arrangement that the opening does not admit.

use dw_core::{OpeningId, Place, rule};
use dw_job::model::ArrangementKind;

use crate::equip::arrangement_words;

rule! {
    /// ## What it checks
    /// An opening that is pinned to an arrangement admits it: some reader fits there, decided that way.
    /// ## Why it matters
    /// The pin is an agreement with somebody; the design goes on with another arrangement.
    /// ## Basis
    /// The exclusions of the choice (*common practice*); kept with the opening's readers.
    /// ## Example
    /// D-4 is pinned to a unit at the opening, and the policy allows no network.
    /// ## What to do
    /// Look at what excludes the readers of that arrangement, lift it, or take the pin out.
    pub struct ArrangementNotPossible: "EQP-034" "arrangement-not-possible" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The arrangement pinned.
        pub wanted: ArrangementKind,
        /// The arrangement taken instead.
        pub taken: ArrangementKind,
        /// Row of the pin.
        pub row: usize,
    }
    place(it) { Place::named("pin", &it.row.to_string()).field("arrangement") }
    headline(it) {
        let (wanted, taken) = (arrangement_words(it.wanted), arrangement_words(it.taken));
        format!("{}: pinned to {wanted}, which nothing in the catalogue makes there; taken: {taken}", it.opening)
    }
    related(it) { vec![Place::of(&it.opening)] }
    help(_it) { vec!["Lift what excludes the readers of that arrangement, or take the pin out".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_unit_pinned_without_a_network_is_told_and_ports_are_taken() {
        let wire = "[policy]\ntransport = [\"wire\"]\n[[pin]]\nopening = \"D-1\"\narrangement = \"own-unit\"\n";
        let outcome = with(wire, &[]);
        assert!(outcome.the("EQP-034").headline.contains("units at the opening"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::ReaderIn), "BUS");
    }

    #[test]
    fn a_unit_pinned_where_it_may_be_is_taken_silently() {
        let outcome = pinned(&[], "arrangement = \"own-unit\"");
        assert!(!outcome.has("EQP-034"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::ReaderIn), "FACE");
    }

    #[test]
    fn a_pin_overrides_what_only_speaks_against_an_arrangement() {
        let inner = "[[zone]]\nid = \"vault\"\nlevel = 3\n[[space]]\nid = \"safe\"\nzone = \"vault\"\n[[right]]\ngroup = \"crew\"\nzone = \"vault\"\n[[pin]]\nopening = \"D-1\"\narrangement = \"own-unit\"\n";
        let outcome = with(inner, &[("to", "\"safe\"")]);
        assert_eq!(outcome.device(Role::ReaderIn), "FACE");
        assert!(!outcome.has("EQP-034") && outcome.has("EQP-029"), "{:?}", outcome.findings);
    }
}
