//! POW-019 no-enclosure-fits.

use dw_core::{EnclosureId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether the catalogue has an enclosure with places for the controllers that share a supply.
    /// ## Why it matters
    /// Without an enclosure the room cannot be built, nor its temperature known.
    /// ## Basis
    /// The catalogue.
    /// ## Example
    /// A controller that takes six places; the largest enclosure has four.
    /// ## What to do
    /// Put a larger enclosure into the catalogue, or state its places.
    pub struct NoEnclosureFits: "POW-019" "no-enclosure-fits" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// Places needed.
        pub units: u32,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!("{}: no enclosure in the catalogue has {} {}", it.enclosure, it.units, if it.units == 1 { "place" } else { "places" }) }
    help(_it) { vec!["Put a larger enclosure into the catalogue".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn an_enclosure_with_exactly_the_places_fits_and_a_smaller_one_does_not() {
        let mut site = site();
        site.device("ctrl").control.enclosure_units = Some(4);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("ctrl").control.enclosure_units = Some(5);
        assert_eq!(codes(&site.check().1), ["POW-019"]);
    }
}
