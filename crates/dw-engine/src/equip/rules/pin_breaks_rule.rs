//! A pinned device that something excludes.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A pinned device meets the demands of its opening.
    /// ## Why it matters
    /// A pin wins over every rule, so what it breaks is told and not silently built.
    /// ## Basis
    /// The demands of the survey and policy, as for a choice of our own.
    /// ## Example
    /// D-3 is pinned to an indoor reader; it is IP42, IP65 is wanted there.
    /// ## What to do
    /// Take the pin out, pin another device, or correct the survey.
    pub struct PinBreaksRule: "EQP-002" "pin-breaks-rule" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
        /// Row of the pin.
        pub row: usize,
        /// Field of the pin that names the device.
        pub field: &'static str,
    }
    place(it) { Place::named("pin", &it.row.to_string()).field(it.field) }
    headline(it) { format!("{}: pinned {} {}", it.opening, it.device, it.text) }
    related(it) { vec![Place::of(&it.opening)] }
    help(_it) { vec!["Take the pin out, or pin a device that meets the demand".to_owned(), "Correct the survey where it asks too much".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn an_indoor_reader_pinned_outdoors_wins_and_is_reported() {
        let outcome = pinned(&[("exposure", "[\"outdoors\"]")], "reader = \"CARD-IN\"");
        assert!(outcome.the("EQP-002").headline.contains("IP42, IP65"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::ReaderIn), "CARD-IN");
    }

    #[test]
    fn a_device_pinned_for_a_part_it_cannot_play_is_told_once_and_not_used() {
        for (field, device) in [("controller", "STRIKE"), ("reader", "CONTACT"), ("lock", "LANES-1"), ("lock", "BUS")] {
            let outcome = pinned(&[], &format!("{field} = \"{device}\""));
            let finding = outcome.the("EQP-002");
            assert_eq!(finding.place.to_string(), format!("pin 1 {field}"));
            assert!(finding.headline.contains(", no "), "{}", finding.headline);
            let unpinned = door(&[]);
            assert_eq!(outcome.findings.len(), unpinned.findings.len() + 1, "{:#?}", outcome.findings);
            assert_eq!(outcome.device(Role::Lock), unpinned.device(Role::Lock));
            assert_eq!(outcome.device(Role::ReaderIn), unpinned.device(Role::ReaderIn));
        }
    }

    #[test]
    fn a_pin_that_meets_every_demand_is_silent() {
        let outcome = pinned(&[], "reader = \"CARD-OUT\"");
        assert!(!outcome.has("EQP-002") && !outcome.has("EQP-003"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::ReaderIn), "CARD-OUT");
    }
}
