//! A device on site that is to stay and cannot.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A device that the survey keeps meets the demands of its opening.
    /// ## Why it matters
    /// The price counts on it; a new one is chosen instead.
    /// ## Basis
    /// The demands of the survey and policy, as for a choice of our own.
    /// ## Example
    /// D-30: the old reader is to stay; it takes one factor, two are demanded.
    /// ## What to do
    /// Replace it, or change the demand.
    pub struct ExistingCannotStay: "EQP-026" "existing-cannot-stay" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {} on site cannot stay, it {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Set its decision to replaced; a new device is chosen already".to_owned(), "Or change the demand it does not meet".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    const OLD_READER: &str = "[[existing]]\nid = \"E-1\"\ndevice = \"CARD-IN\"\nopening = \"D-1\"\ndecision = \"kept\"";

    #[test]
    fn an_old_reader_that_takes_too_few_factors_goes() {
        let outcome = with(OLD_READER, &[("proof.factors_in", "2")]);
        assert!(outcome.has("EQP-026"), "{:?}", outcome.findings);
        assert_ne!(outcome.device(Role::ReaderIn), "CARD-IN");
    }

    #[test]
    fn an_old_reader_that_serves_stays_and_is_not_bought() {
        let outcome = with(OLD_READER, &[]);
        assert!(!outcome.has("EQP-026"));
        assert!(outcome.equipment.openings[0].in_role(Role::ReaderIn).is_some_and(|fitted| fitted.kept));
    }
}
