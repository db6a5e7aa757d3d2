//! POW-024 device-under-voltage.

use dw_core::{DeviceId, Metres, Ohms, OpeningId, Place, Volts, rule};

rule! {
    /// ## What it checks
    /// The voltage at every reader, unit, sensor and sounder, with the supply on mains and with the battery at its end,
    /// everything on its run at work and the largest inrush on top.
    /// ## Why it matters
    /// A reader that gets too little restarts while it reads, and does so first in a power cut and on the longest run.
    /// What regulates its supply draws more the less it gets, so that a long thin run can collapse at once.
    /// ## Basis
    /// Ohm's and Kirchhoff's laws; a load of constant power by its root. End of the battery as its maker states.
    /// ## Example
    /// A unit of 1.1 A over 36 m of 0.22 mm²: more than 6 V of 12 V are lost.
    /// ## What to do
    /// Lay a thicker cable, use cores in parallel, serve the opening from a nearer room, or feed it at 24 V where it takes that.
    pub struct DeviceUnderVoltage: "POW-024" "device-under-voltage" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Whether it has enough on mains and too little with the battery at its end.
        pub on_battery: bool,
        /// Voltage at it; zero where the run cannot carry it at all.
        pub at_device: Volts,
        /// Least voltage it works at.
        pub needs: Volts,
        /// Length of its cable one way.
        pub length: Metres,
        /// Resistance of it out and back.
        pub loop_ohm: Ohms,
        /// The cable; `None` for one in the wall, or none.
        pub cable: Option<DeviceId>,
        /// Power cores in parallel each way.
        pub parallel: u32,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        let when = if it.on_battery { "with the battery at its end" } else { "with the supply on mains" };
        if it.at_device == Volts::ZERO {
            format!("{}: the run cannot carry {} {when}, its voltage falls without end", it.opening, it.device)
        } else {
            format!("{}: {:.1} at {} {when}, it needs {:.1}", it.opening, it.at_device, it.device, it.needs)
        }
    }
    notes(it) {
        let cable = it.cable.as_ref().map_or("the cable there", dw_core::Id::text);
        let cores = if it.parallel > 1 { format!(" with {} power cores in parallel", it.parallel) } else { String::new() };
        vec![format!("{:.1} of {cable}{cores}: {:.3} out and back", it.length, it.loop_ohm)]
    }
    help(_it) { vec![
        "Lay a cable with thicker cores, or put one into the catalogue".to_owned(),
        "Serve the opening from a nearer room, or put a supply near it".to_owned(),
        "Feed it at 24 V where its maker allows that".to_owned(),
    ] }
}

#[cfg(test)]
mod tests {
    use dw_core::{DeviceId, Volts};

    use crate::power::testing::*;

    #[test]
    fn exactly_at_its_least_voltage_a_reader_works_and_a_millivolt_above_it_does_not() {
        let mut site = site();
        site.wire_reader("D-1");
        site.length("D-1", 60.0);
        site.catalogue.devices.remove(&DeviceId::new("signal-8"));
        let plan = site.check().0;
        let at = plan.devices[0].at_end_v.unwrap();
        assert!(at < Volts::new(10.5) && plan.devices[0].device == DeviceId::new("reader"), "{at}");
        site.device("reader").electrical.min = Some(at);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("reader").electrical.min = Some(at + Volts::new(0.001));
        let (_, found) = site.check();
        assert_eq!(codes(&found), ["POW-024"]);
        assert!(found[0].headline.contains("with the battery at its end"), "{}", found[0].headline);
    }

    #[test]
    fn a_reader_on_a_run_that_collapses_is_told_so_and_spoils_no_other() {
        let mut site = site();
        site.wire_reader("D-1");
        site.length("D-1", 900.0);
        site.device("lock").electrical.min = Some(Volts::new(0.1));
        site.device("reader").electrical.active = Some(dw_core::Amps::new(0.4));
        let (plan, found) = site.check();
        let reader = found.iter().find(|finding| finding.code == "POW-024").unwrap();
        assert!(reader.headline.contains("cannot carry reader"), "{}", reader.headline);
        assert_eq!(plan.devices[0].at_mains_v, Volts::ZERO);
        assert!(plan.devices[1].at_mains_v > Volts::ZERO, "the lock hangs on a run of its own");
    }
}
