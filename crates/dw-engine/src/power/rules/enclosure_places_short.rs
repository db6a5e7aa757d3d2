//! POW-022 enclosure-places-short.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Enclosures planned in a room against the free places there.
    /// ## Why it matters
    /// Enclosures that do not fit on the wall end up in the corridor.
    /// ## Basis
    /// The survey.
    /// ## Example
    /// Four enclosures in a room with three free places.
    /// ## What to do
    /// Use larger enclosures, serve some openings from another room, or make space.
    pub struct EnclosurePlacesShort: "POW-022" "enclosure-places-short" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Enclosures planned.
        pub wanted: usize,
        /// Free places.
        pub places: u32,
    }
    place(it) { Place::of(&it.room).field("enclosure_places") }
    headline(it) { format!("{}: {} enclosures, {} free {}", it.room, it.wanted, it.places, if it.places == 1 { "place" } else { "places" }) }
    help(_it) { vec!["Make space, or serve some openings from another room".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn as_many_places_as_enclosures_are_enough() {
        let mut site = site();
        site.job.rooms[0].enclosure_places = Some(1);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.job.rooms[0].enclosure_places = Some(0);
        assert_eq!(codes(&site.check().1), ["POW-022"]);
    }
}
