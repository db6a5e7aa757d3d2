//! An exit for many people without panic hardware.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// An exit that as many people would use as the code profile names has panic hardware.
    /// ## Why it matters
    /// A crowd pushes; a lever or a button is not found.
    /// ## Basis
    /// IBC (Groups A and E from 50 people, Group H any); NFPA 101 (100 in assembly); EN 1125 and Approved Document B (over 60); the code profile states the load and its source.
    /// ## Example
    /// D-1 is an exit for 120 people and its lock brings no bar.
    /// ## What to do
    /// Fit an exit device, or a push bar beside the strike.
    pub struct PanicHardwareWanted: "EQP-008" "panic-hardware-wanted" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
        /// Where the code profile takes the rule from.
        pub source: Option<String>,
    }
    place(it) { Place::of(&it.opening).field("occupant_load") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    notes(it) { super::cited(it.source.as_ref()) }
    help(_it) { vec!["Use a latch retraction exit device".to_owned(), "Or fit a push bar and a strike made for it".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_full_room_without_a_push_bar_is_told() {
        let outcome = door(&[("escape", "\"exit\""), ("occupant_load", "51"), MAGNET_ONLY]);
        assert!(outcome.the("EQP-008").headline.contains("51 people"), "{:?}", outcome.findings);
    }

    #[test]
    fn it_begins_exactly_at_the_load_of_the_profile() {
        let at = |load| door(&[("escape", "\"exit\""), ("occupant_load", load), MAGNET_ONLY]).has("EQP-008");
        assert!(at("50") && !at("49"));
    }

    #[test]
    fn an_exit_device_or_a_push_bar_settles_it() {
        let bar = door(&[("escape", "\"exit\""), ("occupant_load", "80"), ("door.inside_handle", "\"push-bar\"")]);
        assert!(!bar.has("EQP-008"), "{:?}", bar.findings);
        let device = door(&[("escape", "\"exit\""), ("occupant_load", "80"), ("door.preparation", "\"exit-device\"")]);
        assert_eq!(device.device(Role::Lock), "BAR");
        assert!(!device.has("EQP-008"));
    }
}
