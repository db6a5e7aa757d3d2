//! A turnstile body with lanes left over.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Lanes of one bank that stand in one body have the same body.
    /// ## Why it matters
    /// A body for two lanes would be bought for one.
    /// ## Basis
    /// The survey's spaces on both sides of each lane.
    /// ## Example
    /// T-3 is pinned to a body with two lanes and its neighbour to another.
    /// ## What to do
    /// Pin both lanes to the same body, or to bodies with one lane.
    pub struct BodyNotShared: "EQP-032" "body-not-shared" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Lanes of the body.
        pub lanes: u32,
        /// Lanes of it used.
        pub filled: u32,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {} has {} lanes, {} of them are used", it.opening, it.device, it.lanes, it.filled) }
    help(_it) { vec!["Pin the neighbouring lane to the same body, or this one to a body with one lane".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn two_lanes_share_one_body() {
        let outcome = lanes(2);
        let counts: Vec<u32> = outcome
            .equipment
            .openings
            .iter()
            .filter_map(|one| one.in_role(Role::Lock))
            .map(|body| body.count)
            .collect();
        assert_eq!(outcome.device(Role::Lock), "LANES-2");
        assert_eq!(counts, [1, 0], "one body is counted once");
        assert!(!outcome.has("EQP-032"), "{:?}", outcome.findings);
    }

    #[test]
    fn a_lane_left_over_gets_a_body_of_its_own() {
        let outcome = lanes(3);
        assert_eq!(
            outcome.equipment.openings[2].in_role(Role::Lock).map(|body| body.device.to_string()),
            Some("LANES-1".to_owned())
        );
        assert!(!outcome.has("EQP-032"));
    }

    #[test]
    fn a_double_body_pinned_for_a_single_lane_is_told() {
        let outcome = lanes_with(1, "[[pin]]\nopening = \"T-1\"\nlock = \"LANES-2\"");
        assert!(outcome.the("EQP-032").headline.contains("has 2 lanes, 1 of them"), "{:?}", outcome.findings);
    }
}
