//! A figure of a chosen device that the catalogue does not state.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Every figure of a chosen device that decides something here is stated.
    /// ## Why it matters
    /// What is not stated is not zero and not enough: it is unknown.
    /// ## Basis
    /// The maker's data sheet.
    /// ## Example
    /// A steel reader outdoors: its ingress code is not stated.
    /// ## What to do
    /// Ask the maker and fill in the catalogue, or refuse the device.
    pub struct DeviceFigureMissing: "EQP-019" "device-figure-missing" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// The figure.
        pub figure: &'static str,
    }
    place(it) { Place::of(&it.device) }
    headline(it) { format!("{}: the catalogue states no {}, which counts at {}", it.device, it.figure, it.opening) }
    related(it) { vec![Place::of(&it.opening)] }
    help(_it) { vec!["Ask the maker and fill in the catalogue".to_owned(), "Or add the device to policy.refused_devices".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_pinned_reader_without_an_ingress_code_is_told_outdoors_only() {
        let at = |exposure| pinned(&[("exposure", exposure)], "reader = \"STEEL\"");
        assert!(at("[\"outdoors\"]").the("EQP-019").headline.contains("ingress code"));
        assert!(!at("[\"indoors\"]").has("EQP-019"));
    }

    #[test]
    fn a_device_that_states_the_figure_goes_first() {
        assert_eq!(door(&[("exposure", "[\"outdoors\"]")]).device(Role::ReaderIn), "CARD-OUT");
    }
}
