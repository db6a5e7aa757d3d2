//! LNK-006 bus-branches.

use dw_core::rule;

use super::{at, openings};
use crate::link::Bus;

rule! {
    /// ## What it checks
    /// No cable hangs on the trunk of a bus as a branch longer than the driver's edges bear.
    /// ## Why it matters
    /// A long branch reflects every edge; readers answer in the evening and not at noon.
    /// ## Basis
    /// RS-485 design guides: travel there and back within a tenth of the rise time; some count it one way, which is twice as long. With cables run home to the
    /// controller, two make the trunk and every further one is a branch.
    /// ## Example
    /// TR-1/C1 bus 1: a branch of 24.0 m on the trunk, 4.9 m is the longest that does not reflect.
    /// ## What to do
    /// Lead the bus out and back in each cable over two spare cores, take a controller with more buses, or run the cable from reader to reader.
    pub struct BusBranches: "LNK-006" "bus-branches" Fix since "0.1" {
        /// The bus.
        pub bus: Bus,
    }
    place(it) { at(&it.bus) }
    headline(it) {
        format!(
            "{}: a branch of {:.1} on the trunk, {:.1} is the longest that does not reflect",
            it.bus.label, it.bus.branch_m, it.bus.branch_limit_m
        )
     }
    help(it) {
        let spare = it.bus.readers.iter().all(|reader| reader.spare_cores >= 2);
        let back = if spare { "Lead the bus out and back over the two spare cores of each cable: nothing to buy" } else { "Lead the bus out and back: two cores more in each cable" };
        vec![back.to_owned(), "Take a controller with a bus for each port".to_owned()]
     }
    related(it) { openings(&it.bus) }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check, headlines};

    fn three(branch: f64) -> Case {
        Case { lengths: vec![30.0, 20.0, branch], buses: Some(1), poll_target_ms: Some(300.0), ..Case::default() }
    }

    #[test]
    fn the_third_cable_is_a_branch() {
        check(&three(5.0), &["LNK-006"]);
        check(&three(4.9), &[]);
        assert!(headlines(&three(5.0))[0].contains("a branch of 5.0 m on the trunk, 4.9 m"));
    }

    #[test]
    fn a_bus_for_each_port_has_no_branches() {
        check(&Case { buses: None, ..three(20.0) }, &[]);
    }
}
