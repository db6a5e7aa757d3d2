//! A part for which no device of the catalogue fits.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// For each part of an opening at least one device of the catalogue meets every demand.
    /// ## Why it matters
    /// An opening without a reader or lock cannot be built; the rest of the design goes on without it.
    /// ## Basis
    /// The demands of the survey and policy; each device's exclusion with both figures is kept in the choice.
    /// ## Example
    /// D-14 wants a finger reader outdoors for oily hands: none of 25 readers fits.
    /// ## What to do
    /// Lift the demand that binds, or add a device to the catalogue.
    pub struct NothingFits: "EQP-001" "nothing-fits" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The part, in the plural.
        pub part: &'static str,
        /// Devices looked at.
        pub looked_at: usize,
        /// The demand that binds.
        pub binding: Option<&'static str>,
        /// Devices that only this demand excludes.
        pub freed: usize,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        let binds = match (it.binding, it.freed) {
            (Some(demand), 0) => format!("; most often in the way: {demand}"),
            (Some(demand), freed) => format!("; {demand} alone excludes {freed}"),
            (None, _) => String::new(),
        };
        format!("{}: none of {} {} fits{binds}", it.opening, it.looked_at, it.part)
     }
    notes(it) { vec!["The choice kept with the opening lists every device with its reason".to_owned()] }
    help(it) {
        let mut help = Vec::new();
        if let Some(demand) = it.binding {
            help.push(format!("Look again at {demand}"));
        }
        help.push("Add a device that fits to the catalogue, or pin one and settle what it breaks".to_owned());
        help
     }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_demand_that_no_reader_meets_says_what_binds() {
        let outcome = door(&[("proof.factors_in", "3")]);
        let finding = outcome.the("EQP-001");
        assert!(finding.headline.contains("the factors demanded"), "{}", finding.headline);
        assert!(outcome.equipment.openings[0].in_role(Role::ReaderIn).is_none());
    }

    #[test]
    fn an_ordinary_door_finds_everything() {
        assert!(!door(&[]).has("EQP-001"));
    }

    #[test]
    fn as_many_factors_as_a_reader_takes_fit() {
        assert!(!door(&[("proof.factors_in", "2")]).has("EQP-001"), "exactly at the limit");
    }
}
