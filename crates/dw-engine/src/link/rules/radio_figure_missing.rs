//! LNK-019 radio-figure-missing.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// The catalogue states what the budget of a radio bridge is made of.
    /// ## Why it matters
    /// The sheet is then worked out with usual figures, and is worth no more than they are.
    /// ## Basis
    /// *Common practice*: 5.5 GHz, 14 dBm, 16 dBi, 1 dB, a channel of 20 MHz.
    /// ## Example
    /// DW-RB2: network.frequency_mhz, network.transmit_dbm are not stated, usual figures are taken.
    /// ## What to do
    /// Add them to the record of the device.
    pub struct RadioFigureMissing: "LNK-019" "radio-figure-missing" Note since "0.1" {
        /// The bridge.
        pub device: DeviceId,
        /// Keys not stated.
        pub missing: Vec<&'static str>,
    }
    place(it) { Place::of(&it.device).field(it.missing.first().copied().unwrap_or("network")) }
    headline(it) {
        let are = if it.missing.len() == 1 { "is" } else { "are" };
        format!("{}: {} {are} not stated, usual figures are taken", it.device, it.missing.join(", "))
     }
    help(_it) { vec!["Add the figures to the record of the device".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check, headlines};

    #[test]
    fn a_record_without_figures_is_told_of_once() {
        let case = Case { figures: false, ..bridge() };
        check(&case, &["LNK-019"]);
        assert!(headlines(&case)[0].contains("network.frequency_mhz, network.transmit_dbm"));
    }
}
