//! A body or drive that takes a mains spur of its own.

use dw_core::{DeviceId, OpeningId, Place, Watts, rule};

rule! {
    /// ## What it checks
    /// Whether a device at the opening is fed from the mains.
    /// ## Why it matters
    /// The spur is the item most often forgotten in a quotation.
    /// ## Basis
    /// The catalogue's mains power; mains work is for licensed practice.
    /// ## Example
    /// T-1 takes 90 W from a spur of its own.
    /// ## What to do
    /// Name in the split of works who brings the spur.
    pub struct MainsWanted: "EQP-025" "mains-wanted" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Power from the mains.
        pub watts: Watts,
    }
    place(it) { Place::of(&it.opening).field("works.mains_spur") }
    headline(it) { format!("{}: {} takes {:.0} from a mains spur of its own", it.opening, it.device, it.watts) }
    help(_it) { vec!["Name who supplies, fits, wires and tests the mains spur in the split of works; a licensed electrician connects it".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_turnstile_fed_from_the_mains_is_told_and_a_door_is_not() {
        let outcome = lanes(1);
        assert!(outcome.the("EQP-025").headline.contains("90 W"), "{:?}", outcome.findings);
        assert!(!door(&[]).has("EQP-025"));
    }
}
