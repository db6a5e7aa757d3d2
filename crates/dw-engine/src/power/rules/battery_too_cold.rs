//! POW-018 battery-too-cold.

use dw_core::{Celsius, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether the coldest of a room with batteries lies in the table of temperature factors.
    /// ## Why it matters
    /// Below it the capacity left is not known; the size shown uses the last factor of the table.
    /// ## Basis
    /// IEEE Std 485 table 1 ends at 25 °F (-3.9 °C).
    /// ## Example
    /// Batteries in an unheated hut at -15 °C.
    /// ## What to do
    /// Heat the enclosure, put the batteries elsewhere, or take the maker's figure.
    pub struct BatteryTooCold: "POW-018" "battery-too-cold" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Its lowest temperature.
        pub coldest: Celsius,
    }
    place(it) { Place::of(&it.room).field("temperature_min") }
    headline(it) { format!("{}: batteries at {:.1}, factors are known down to -3.9 °C", it.room, it.coldest) }
    help(_it) { vec!["Heat the enclosure, or put the batteries into a warmer room".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn the_last_temperature_of_the_table_is_known_and_a_colder_one_is_not() {
        let mut site = site();
        let fahrenheit = |f: f64| Some(dw_core::Celsius::new((f - 32.0) / 1.8));
        site.job.rooms[0].temperature_min = fahrenheit(25.0);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.job.rooms[0].temperature_min = fahrenheit(24.0);
        assert_eq!(codes(&site.check().1), ["POW-018"]);
    }
}
