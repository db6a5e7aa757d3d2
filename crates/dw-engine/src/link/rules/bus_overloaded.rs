//! LNK-005 bus-overloaded.

use dw_core::rule;

use super::{at, openings};
use crate::link::Bus;

rule! {
    /// ## What it checks
    /// Readers, controller and bias network of a bus stay within what its driver bears.
    /// ## Why it matters
    /// An overloaded driver no longer reaches the voltage the readers need; all of them fail together.
    /// ## Basis
    /// TIA-485-A: 32 unit loads of about 12 kohm; a bias resistor loads its wire as so many.
    /// ## Example
    /// TR-1/C1 bus 1: 14 readers, controller and bias network take 34.6 unit loads, the driver bears 32.
    /// ## What to do
    /// Divide the readers between two buses, or take readers of a fraction of a unit load.
    pub struct BusOverloaded: "LNK-005" "bus-overloaded" Stop since "0.1" {
        /// The bus.
        pub bus: Bus,
        /// Unit loads a driver bears.
        pub limit: f64,
    }
    place(it) { at(&it.bus) }
    headline(it) {
        format!(
            "{}: {} readers, controller and bias network take {:.1} unit loads, the driver bears {:.0}",
            it.bus.label, it.bus.readers.len(), it.bus.unit_loads, it.limit
        )
     }
    help(_it) { vec!["Divide the readers between two buses".to_owned(), "Take readers of 1/8 unit load (link.unit_load = 0.125)".to_owned()] }
    related(it) { openings(&it.bus) }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    /// Readers on one bus, chained without branches: all cables but two are of no length.
    fn chained(readers: usize, unit_load: f64) -> Case {
        let mut lengths = vec![0.0; readers];
        lengths[0] = 10.0;
        Case { lengths, buses: Some(1), unit_load: Some(unit_load), poll_target_ms: Some(5000.0), ..Case::default() }
    }

    #[test]
    fn one_reader_too_many_is_told() {
        // Controller 1, bias of 620 ohm 19.4: 11 readers of one unit load are left.
        check(&chained(11, 1.0), &[]);
        check(&chained(12, 1.0), &["LNK-005"]);
        check(&chained(12, 0.125), &[]);
    }
}
