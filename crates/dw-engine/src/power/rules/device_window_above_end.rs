//! POW-025 device-window-above-end.

use dw_core::{DeviceId, OpeningId, Place, Volts, rule};

rule! {
    /// ## What it checks
    /// Whether the least voltage of a reader, unit, sensor or sounder lies below the end voltage of its battery at all.
    /// ## Why it matters
    /// Where it lies above, no cable helps: the device stops before the battery is empty, and standby is shorter than stated.
    /// ## Basis
    /// End of discharge as the battery's maker states; the device's maker, else rated voltage -10 % (*common practice*).
    /// ## Example
    /// A reader of 12 V -10 % needs 10.8 V, the battery ends at 10.5 V.
    /// ## What to do
    /// Choose a device with a wider window, state its least voltage in the catalogue, or feed it from 24 V.
    pub struct DeviceWindowAboveEnd: "POW-025" "device-window-above-end" Fix since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// Least voltage it works at.
        pub needs: Volts,
        /// Voltage of the battery at its end.
        pub end: Volts,
        /// Openings that use it.
        pub openings: Vec<OpeningId>,
    }
    place(it) { Place::of(&it.device) }
    headline(it) { format!(
        "{}: needs {:.1}, the battery ends at {:.1}, before any cable ({} {})",
        it.device, it.needs, it.end, it.openings.len(), if it.openings.len() == 1 { "opening" } else { "openings" }
    ) }
    help(_it) { vec![
        "State its least voltage in the catalogue from the data sheet".to_owned(),
        "Choose a device with a wider window, or feed it at 24 V where its maker allows that".to_owned(),
    ] }
    related(it) { it.openings.iter().map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use dw_core::Volts;

    use crate::power::testing::*;

    #[test]
    fn a_reader_is_told_once_for_all_its_openings_and_not_when_it_ends_where_the_battery_does() {
        let mut site = site();
        site.add_opening("D-2");
        site.wire_reader("D-1");
        site.wire_reader("D-2");
        site.device("reader").electrical.min = Some(Volts::new(10.51));
        let (_, found) = site.check();
        assert_eq!(codes(&found), ["POW-025"]);
        assert_eq!(found[0].related.len(), 2);
        site.device("reader").electrical.min = Some(Volts::new(10.5));
        assert_eq!(codes(&site.check().1), ["POW-024", "POW-024"], "at its end any cable is too much");
    }
}
