//! A face or vein reader in direct sun that is not made for it.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Where faces or veins are read in direct sun, the reader is made for it.
    /// ## Why it matters
    /// Low sun behind the user or on the sensor decides more than the quality of the device.
    /// ## Basis
    /// Beveridge et al. (FRVT 2006 covariates): lighting moved verification from about 0.15 to 0.85; vein sensors in sun: *common practice*.
    /// ## Example
    /// G-1, a sunlit gate, is pinned to an indoor face unit.
    /// ## What to do
    /// Use a unit made for sun, shade the place, or read cards.
    pub struct FaceInTheSun: "EQP-014" "face-in-the-sun" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("exposure") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Use a unit made for direct sun, or read cards".to_owned(), "Or shade the place and correct the survey".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_face_unit_pinned_in_the_sun_is_told() {
        let edits = [("exposure", "[\"indoors\", \"direct-sun\"]"), ("proof.demanded", "[\"face\"]")];
        let outcome = pinned(&edits, "reader = \"FACE\"");
        assert!(outcome.has("EQP-014"), "{:?}", outcome.findings);
    }

    #[test]
    fn in_the_shade_it_is_in_order() {
        assert!(!pinned(&[("proof.demanded", "[\"face\"]")], "reader = \"FACE\"").has("EQP-014"));
    }
}
