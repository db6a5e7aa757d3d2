//! POW-015 device-outside-temperature.

use dw_core::{Celsius, DeviceId, EnclosureId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Temperatures of the room, and inside the enclosure, against what controllers, supplies and batteries bear.
    /// ## Why it matters
    /// Electronics fail early in the heat; a battery at 35 °C lives half as long as at 25 °C.
    /// ## Basis
    /// The maker's range; temperature rise by DIN VDE 0660-500 (about ±20 %); life halves for each 10 °C (published lead-acid notes).
    /// ## Example
    /// A battery for 40 °C in an enclosure that reaches 46 °C.
    /// ## What to do
    /// Use a larger enclosure, cool the room, or choose a device for the temperature.
    pub struct DeviceOutsideTemperature: "POW-015" "device-outside-temperature" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure that gets furthest outside.
        pub enclosure: EnclosureId,
        /// Devices with the temperature each gets and bears, the one furthest outside first.
        pub devices: Vec<(DeviceId, Celsius, Celsius)>,
    }
    place(it) { Place::of(&it.room).field(if it.devices.iter().any(|(_, gets, bears)| gets > bears) { "temperature_max" } else { "temperature_min" }) }
    headline(it) { match &it.devices[..] {
            [(device, gets, bears)] => format!("{}: {device} gets {gets:.1}, it bears {bears:.1}", it.enclosure),
            [(device, gets, bears), others @ ..] => {
                format!("{}: {device} gets {gets:.1}, it bears {bears:.1}; {} more likewise", it.enclosure, others.len())
            }
            [] => format!("{}: no device", it.enclosure),
        } }
    notes(it) { it.devices.iter().skip(1).map(|(device, gets, bears)| format!("{device} gets {gets:.1}, it bears {bears:.1}")).collect() }
    help(_it) { vec!["Use a larger enclosure, or cool or heat the room".to_owned(), "Choose a device made for that temperature".to_owned()] }
    related(it) { it.devices.iter().map(|row| Place::of(&row.0)).collect() }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_device_exactly_at_its_limit_bears_it() {
        let mut site = site();
        let inside = site.check().0.enclosures[0].inside_c;
        site.device("battery-18").environment.temperature_max = Some(inside);
        site.device("battery-7").environment.temperature_max = Some(inside);
        site.device("ctrl").environment.temperature_min = Some(dw_core::Celsius::new(20.0));
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("battery-18").environment.temperature_max = Some(dw_core::Celsius::new(inside.get() - 0.04));
        site.device("battery-7").environment.temperature_max = Some(dw_core::Celsius::new(inside.get() - 0.04));
        assert_eq!(codes(&site.check().1), [""; 0], "both figures would read the same");
        site.device("ctrl").environment.temperature_min = Some(dw_core::Celsius::new(21.0));
        site.device("supply-5").environment.temperature_min = Some(dw_core::Celsius::new(25.0));
        let (_, found) = site.check();
        assert_eq!(codes(&found), ["POW-015"]);
        assert_eq!(found[0].headline, "TR-1/E1: supply-5 gets 20.0 °C, it bears 25.0 °C; 1 more likewise");
    }
}
