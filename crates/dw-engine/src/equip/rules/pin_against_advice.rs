//! A pinned device that ranks behind others.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A pinned device is one that would not rank behind others for a reason beside cost.
    /// ## Why it matters
    /// The pin wins; the reason it would not have been chosen is worth a look before ordering.
    /// ## Basis
    /// Preferences of the policy and order of the choice (*common practice*).
    /// ## Example
    /// D-3 is pinned to a 24 V lock; the firm prefers 12 V.
    /// ## What to do
    /// Take the pin out or accept the finding with a reason.
    pub struct PinAgainstAdvice: "EQP-003" "pin-against-advice" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
        /// Row of the pin.
        pub row: usize,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: pinned {} {}", it.opening, it.device, it.text) }
    related(it) { vec![Place::named("pin", &it.row.to_string())] }
    help(_it) { vec!["Take the pin out, or accept this with a reason".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_lock_of_another_voltage_than_the_firm_prefers_is_told_when_pinned() {
        let outcome =
            with("[policy.power]\nlock_voltage_v = 12\n[[pin]]\nopening = \"D-1\"\nlock = \"STRIKE-24\"", &[]);
        assert!(outcome.the("EQP-003").headline.contains("prefers 12 V"), "{:?}", outcome.findings);
    }

    #[test]
    fn the_preferred_voltage_is_silent() {
        let outcome = with("[policy.power]\nlock_voltage_v = 12\n[[pin]]\nopening = \"D-1\"\nlock = \"STRIKE\"", &[]);
        assert!(!outcome.has("EQP-003"), "{:?}", outcome.findings);
    }
}
