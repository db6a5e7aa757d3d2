//! A reader wider than the place for it.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The reader is no wider than the mullion it sits on; a box is in the wall and a post takes a bracket.
    /// ## Why it matters
    /// It cannot be screwed on, or stands out into the way.
    /// ## Basis
    /// The survey's width at the reader against the maker's.
    /// ## Example
    /// D-2: a reader of 82 mm on a mullion of 45 mm.
    /// ## What to do
    /// Pin a narrow reader, or survey another place.
    pub struct ReaderTooWide: "EQP-012" "reader-too-wide" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("proof.width") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Take the pin out or pin a narrower reader".to_owned(), "Or mount it beside the door and change proof.place and proof.width".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_pinned_reader_wider_than_its_place_stops() {
        let at = |width| {
            pinned(&[("proof.place", "\"mullion\""), ("proof.width_mm", width)], "reader = \"KEYPAD\"").has("EQP-012")
        };
        assert!(at("79"));
        assert!(!at("80"), "exactly at the limit");
    }

    #[test]
    fn without_a_pin_a_narrow_reader_is_chosen() {
        let outcome = door(&[("proof.place", "\"mullion\""), ("proof.width_mm", "45")]);
        assert!(!outcome.has("EQP-012"));
        assert_eq!(outcome.device(Role::ReaderIn), "CARD-OUT");
    }
}
