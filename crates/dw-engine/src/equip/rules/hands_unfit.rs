//! A finger or vein reader for hands that it will not read.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Where fingers or veins are read, at most one user in ten has soiled, gloved or chemically worn hands.
    /// ## Why it matters
    /// People who fail queue, then wedge the door open.
    /// ## Basis
    /// Limit *common practice*; worn, wet, dirty fingers fail: Sickler and Elliott 2005 for age, ISO/IEC 19795-1 for how to count; enrolment trouble alone is planned at 2 to 5 % (*common practice*).
    /// ## Example
    /// D-W1 of a workshop: 60 % of the users have oily hands and a finger reader is pinned.
    /// ## What to do
    /// Read cards or faces there, or offer a second method and record it.
    pub struct HandsUnfit: "EQP-013" "hands-unfit-for-finger" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("proof.demanded") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    notes(it) { vec!["Shares of soiled hands, gloves and chemicals are taken as independent: 1 - (1 - a)(1 - b)(1 - c)".to_owned()] }
    help(_it) { vec!["Read cards or faces here".to_owned(), "Or offer a second method beside it and accept this with a reason".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_finger_reader_pinned_for_oily_hands_is_told_and_wins() {
        let outcome = hands("60", &[("proof.demanded", "[\"finger\"]")], "reader = \"FINGER\"");
        assert!(outcome.the("EQP-013").headline.contains("60.0 %"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::ReaderIn), "FINGER");
    }

    #[test]
    fn one_in_ten_is_exactly_at_the_limit() {
        assert!(!hands("10", &[("proof.demanded", "[\"finger\"]")], "reader = \"FINGER\"").has("EQP-013"));
        assert!(hands("10.2", &[("proof.demanded", "[\"finger\"]")], "reader = \"FINGER\"").has("EQP-013"));
    }
}
