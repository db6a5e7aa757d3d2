//! LNK-004 bus-too-long.

use dw_core::rule;

use super::{at, openings};
use crate::link::Bus;

rule! {
    /// ## What it checks
    /// The trunk of a bus is no longer than its bit rate bears.
    /// ## Why it matters
    /// Far readers drop out, first in the cold or when a neighbour is added.
    /// ## Basis
    /// TIA-485-A application practice: 1,200 m; above 100 kbit/s 1e8 bit m/s (*from memory*). The trunk is the two longest cables with the controller between them.
    /// ## Example
    /// TR-1/C1 bus 1: 1,310 m of trunk at 9600 bit/s, 1,200 m is the longest.
    /// ## What to do
    /// Serve one of the openings from another controller or a nearer room; a repeater divides the trunk.
    pub struct BusTooLong: "LNK-004" "bus-too-long" Fix since "0.1" {
        /// The bus.
        pub bus: Bus,
    }
    place(it) { at(&it.bus) }
    headline(it) { format!("{}: {:.0} of trunk at {} bit/s, {:.0} is the longest", it.bus.label, it.bus.trunk_m, it.bus.bit_rate, it.bus.longest_m) }
    help(_it) { vec!["Serve one of the openings from a nearer room (a pin)".to_owned(), "Divide the trunk with a repeater".to_owned()] }
    related(it) { openings(&it.bus) }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn two_long_cables_make_one_trunk() {
        check(&Case { lengths: vec![601.0, 600.0], buses: Some(1), ..Case::default() }, &["LNK-004"]);
        check(&Case { lengths: vec![600.0, 600.0], buses: Some(1), ..Case::default() }, &[]);
    }
}
