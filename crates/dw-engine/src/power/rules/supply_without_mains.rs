//! POW-010 supply-without-mains.

use dw_core::{Place, RoomId, Watts, rule};

rule! {
    /// ## What it checks
    /// Whether a room that holds a supply has mains.
    /// ## Why it matters
    /// The forgotten mains spur is the classic hole in a quotation.
    /// ## Basis
    /// *Common practice*; mains work is for licensed people.
    /// ## Example
    /// Two supplies in a room with `mains = false`.
    /// ## What to do
    /// Bring a spur, serve the openings from another room, or feed them over the network.
    pub struct SupplyWithoutMains: "POW-010" "supply-without-mains" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Enclosures in it.
        pub enclosures: usize,
        /// Power they take.
        pub watts: Watts,
    }
    place(it) { Place::of(&it.room).field("mains") }
    headline(it) { format!("{}: no mains for {} {} taking {:.0}", it.room, it.enclosures, if it.enclosures == 1 { "enclosure" } else { "enclosures" }, it.watts) }
    help(_it) { vec![
            "Have a spur brought by a licensed person and name who pays under works.mains_spur".to_owned(),
            "Serve these openings from a room with mains".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_room_without_mains_is_told_once() {
        let mut site = site();
        site.job.rooms[0].mains = Some(false);
        assert_eq!(codes(&site.check().1), ["POW-010"]);
        site.job.rooms[0].mains = Some(true);
        assert_eq!(codes(&site.check().1), [""; 0]);
    }
}
