//! POW-001 device-figure-missing.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// A device that is used states the currents, voltages and sizes its power depends on.
    /// ## Why it matters
    /// A current that is not known cannot be taken as zero: supply, battery and conductors would be too small.
    /// ## Basis
    /// The catalogue; *common practice*.
    /// ## Example
    /// Reader `R1` without `electrical.active_a`.
    /// ## What to do
    /// Take the figure from the maker's data sheet and put it into the catalogue.
    pub struct DeviceFigureMissing: "POW-001" "device-figure-missing" Fix since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// The figure, as the catalogue names it.
        pub figure: &'static str,
    }
    place(it) { Place::of(&it.device).field(it.figure) }
    headline(it) { format!("{}: {} is not stated, so what depends on it is not counted", it.device, it.figure) }
    help(_it) { vec!["Put the figure of the maker's data sheet into the catalogue".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_reader_without_currents_is_named_and_a_silent_contact_is_not() {
        let mut site = site();
        site.device("reader").electrical.standby = None;
        site.device("reader").electrical.active = None;
        site.device("contact").electrical.standby = None;
        let (_, found) = site.check();
        assert_eq!(codes(&found), ["POW-001"]);
        assert_eq!(found[0].headline, "reader: electrical.active is not stated, so what depends on it is not counted");
    }

    #[test]
    fn stated_figures_raise_nothing() {
        assert_eq!(codes(&site().check().1), [""; 0]);
    }
}
