//! A cable to be used again that has too few cores.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A cable in the wall that the survey wants used again has enough cores for at least one duty.
    /// ## Why it matters
    /// The price counts on a cable that cannot serve.
    /// ## Basis
    /// Cores by use: reader 4 on a bus or 6 on data lines, lock 2, contact 2, exit sensor 4 (*common practice*).
    /// ## Example
    /// D-30: 4 cores are there, the reader chosen needs 6.
    /// ## What to do
    /// Choose a reader on a bus, or let a new cable be pulled.
    pub struct ExistingCableTooFewCores: "EQP-018" "existing-cable-too-few-cores" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Cores there.
        pub has: u32,
        /// Cores needed.
        pub needs: u32,
    }
    place(it) { Place::of(&it.opening).field("existing_cable.cores") }
    headline(it) { format!("{}: the cable there has {} cores, {} are needed", it.opening, it.has, it.needs) }
    help(_it) { vec!["Pin a reader on a bus, which takes 4 cores".to_owned(), "Or set existing_cable.reuse to false; a new cable is counted then".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    const OLD: (&str, &str) = ("existing_cable.reuse", "true");

    #[test]
    fn four_cores_serve_a_bus_reader_and_are_too_few_for_data_lines() {
        let at =
            |reader: &str, cores| pinned(&[OLD, ("existing_cable.cores", cores)], &format!("reader = \"{reader}\""));
        let bus = at("BUS", "4");
        assert!(!bus.has("EQP-018") && bus.equipment.openings[0].cables[0].existing, "exactly enough");
        let lines = at("CARD-IN", "4");
        assert!(lines.the("EQP-018").headline.contains("4 cores, 6 are needed"), "{:?}", lines.findings);
        assert!(!at("CARD-IN", "6").has("EQP-018"), "exactly at the limit");
    }

    #[test]
    fn an_old_cable_of_four_cores_draws_the_choice_to_the_bus() {
        assert_eq!(door(&[OLD, ("existing_cable.cores", "4")]).device(Role::ReaderIn), "BUS");
    }
}
