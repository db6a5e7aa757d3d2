//! A device just short of the temperatures expected.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// A chosen device bears the temperatures of its class of place, or falls short by at most 5 °C.
    /// ## Why it matters
    /// Locks stick, displays go dark and batteries fade in the cold; the class is not the site's own record.
    /// ## Basis
    /// IEC 62599-1:2010 clause 4 (classes; their limits from memory); the margin of 5 °C is *common practice*.
    /// ## Example
    /// A finger reader that bears -20 °C outdoors, where -25 °C is the class.
    /// ## What to do
    /// Ask what temperatures the site has; accept with that record, or use a hardier device.
    pub struct TemperatureNearLimit: "EQP-033" "temperature-near-limit" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("exposure") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Ask what temperatures the site has and accept this with the record, or use a hardier device".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_shortfall_of_five_degrees_is_told_and_one_more_excludes() {
        let at = |reader: &str| pinned(&[("exposure", "[\"sheltered\"]")], &format!("reader = \"{reader}\""));
        assert!(at("COOL").the("EQP-033").headline.contains("-20 to 50"), "exactly at the margin");
        assert!(at("COOLER").has("EQP-002") && !at("COOLER").has("EQP-033"));
        assert!(!at("CARD-OUT").has("EQP-033"));
    }
}
