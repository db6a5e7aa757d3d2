//! POW-026 device-over-voltage.

use dw_core::{DeviceId, OpeningId, Place, Volts, rule};

rule! {
    /// ## What it checks
    /// The highest voltage at every device, with the battery on float at the room's lowest temperature and everything at
    /// rest, against the highest voltage its maker states.
    /// ## Why it matters
    /// A coil held above its window runs hot, and electronics above theirs fail, day and night.
    /// ## Basis
    /// Float voltage rises by 3 mV a cell for each kelvin below 25 °C (published lead-acid charging notes); the maker.
    /// ## Example
    /// A 24 V lock that bears 28.5 V on a supply of 27.6 V in a room that falls to 0 °C: 28.5 V at 25 K below, more in frost.
    /// ## What to do
    /// Choose a device that bears more, keep the room warmer, or use a supply that holds its output.
    pub struct DeviceOverVoltage: "POW-026" "device-over-voltage" Fix since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// Highest voltage it gets.
        pub gets: Volts,
        /// Highest voltage it bears.
        pub bears: Volts,
        /// Openings where it does.
        pub openings: Vec<OpeningId>,
    }
    place(it) { Place::of(&it.device) }
    headline(it) { format!(
        "{}: gets up to {:.2} on float, bears {:.2} ({} {})",
        it.device, it.gets, it.bears, it.openings.len(), if it.openings.len() == 1 { "opening" } else { "openings" }
    ) }
    help(_it) { vec![
        "Choose a device that bears the float voltage".to_owned(),
        "Keep the room with the battery warmer, or use a supply that holds its output in the cold".to_owned(),
    ] }
    related(it) { it.openings.iter().map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use dw_core::Volts;

    use crate::power::testing::*;

    #[test]
    fn a_lock_that_bears_just_the_float_voltage_is_well_and_one_that_bears_less_is_told() {
        let mut site = site();
        // Fail-secure and released a twentieth of the time, it loses a little at rest.
        let gets = site.check().0.devices[0].at_float_v;
        assert!(
            gets > Volts::new(13.8) && gets < Volts::new(13.8 + 6.0 * 0.003 * 5.0),
            "20 °C is 5 K below 25 °C: {gets}"
        );
        site.device("lock").electrical.max = Some(gets);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("lock").electrical.max = Some(gets - Volts::new(0.001));
        assert_eq!(codes(&site.check().1), ["POW-026"]);
    }
}
