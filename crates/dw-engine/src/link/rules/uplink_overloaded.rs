//! LNK-011 uplink-overloaded.

use dw_core::{Place, rule};

use super::mbit;
use crate::link::RoomNetwork;

rule! {
    /// ## What it checks
    /// The way out of a room carries the events and pictures of its busiest hour, with those of the rooms behind it.
    /// ## Why it matters
    /// Pictures come late, and events wait behind them.
    /// ## Basis
    /// 500 bytes an event with 184 of headers, pictures of 1280 x 720 at 1.5 bit a pixel (*common practice*); a bridge carries what its level allows (IEEE 802.11).
    /// ## Example
    /// TR-P: 14.2 Mbit/s in the busiest hour, its radio bridge carries 6.5 Mbit/s.
    /// ## What to do
    /// Take fewer or smaller pictures, send them by night, or give the room a faster way out.
    pub struct UplinkOverloaded: "LNK-011" "uplink-overloaded" Fix since "0.1" {
        /// Ports and traffic of the room.
        pub network: RoomNetwork,
    }
    place(it) { Place::of(&it.network.room) }
    headline(it) {
        let way = if it.network.over_radio_from.is_some() { "its radio bridge carries" } else { "its line carries" };
        format!("{}: {} in the busiest hour, {way} {}", it.network.room, mbit(it.network.load_bit_per_s), mbit(it.network.uplink_bit_per_s))
     }
    help(_it) { vec!["Keep pictures at the opening and fetch them when wanted: nothing to buy".to_owned(), "Give the room a faster way out".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn pictures_beyond_the_line_are_told() {
        // 4,000 pictures an hour of 172,800 bytes with headers: 1.69 Mbit/s.
        check(&Case { pictures_per_hour: 4000, uplink_mbit: Some(1.6), ..Case::default() }, &["LNK-011"]);
        check(&Case { pictures_per_hour: 4000, uplink_mbit: Some(1.8), ..Case::default() }, &[]);
    }
}
