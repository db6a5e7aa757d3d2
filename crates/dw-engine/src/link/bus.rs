//! A two-wire multidrop bus (TIA-485-A): unit loads, termination, bias, stubs and length.

use dw_core::{Metres, Ohms, Volts};

use crate::power::Formula;

/// Unit loads a driver bears. Source: TIA-485-A.
pub const UNIT_LOADS: f64 = 32.0;

/// Input resistance of one unit load. Source: TIA-485-A, about 12 kΩ.
pub const UNIT_LOAD: Ohms = Ohms::new(12_000.0);

/// Terminator at each end of the trunk. Source: TIA-485-A application practice, the impedance of the cable.
pub const TERMINATOR: Ohms = Ohms::new(120.0);

/// Load with which a driver is tested; a lower one is not promised to work. Source: TIA-485-A (*from memory*).
pub const DRIVER_TEST_LOAD: Ohms = Ohms::new(54.0);

/// Unit loads of the network that holds an idle bus apart. Source: application report on RS-485 design, up to 20.
pub const BIAS_UNIT_LOADS: f64 = 20.0;

/// Voltage wanted between the wires of an idle bus. Source: TIA-485-A receiver threshold (*from memory*).
pub const IDLE_VOLTAGE: Volts = Volts::new(0.2);

/// Longest trunk whatever the bit rate. Source: TIA-485-A application practice, 1,200 m (4,000 ft).
pub const LONGEST: Metres = Metres::new(1200.0);

/// Bit rate times length, bit·m/s, above 100 kbit/s. Source: rule of thumb of RS-485 design guides (*from memory*).
pub const RATE_BY_LENGTH: f64 = 1e8;

/// Speed of light, m/s. Source: SI definition.
const LIGHT: f64 = 299_792_458.0;

/// Words of [`devices`].
pub const DEVICES: Formula = Formula {
    title: "Devices a bus bears",
    unit: "",
    formula: "devices = floor((unit_loads - bias_unit_loads) / device_unit_load)",
    source: "TIA-485-A, 32 unit loads of about 12 kohm; application report on RS-485 design for the bias network",
};

/// Devices a bus bears beside its bias network.
///
/// **Formula** n = ⌊(UL_limit − UL_bias) / UL_device⌋.
/// **Units and range** unit loads; the load of a device above zero.
/// **Source** TIA-485-A; application report on RS-485 design.
///
/// ```
/// use dw_engine::link::bus::devices;
/// assert_eq!(devices(32.0, 0.0, 0.125), 256);
/// assert_eq!(devices(32.0, 20.0, 0.125), 96);
/// assert_eq!(devices(32.0, 20.0, 1.0), 12);
/// ```
pub fn devices(limit: f64, bias: f64, device: f64) -> u32 {
    // A hair above a whole number of devices is that whole number: 1.2 / 0.4 is 2.9999… in binary.
    libm::floor((limit - bias).max(0.0) / device + 1e-9).min(f64::from(u32::MAX)) as u32
}

/// Words of the unit loads of a bus.
pub const UNIT_LOADS_TAKEN: Formula = Formula {
    title: "Unit loads on a bus",
    unit: "",
    formula: "unit_loads = sum of the readers' + controller + unit_load / resistor",
    source: "TIA-485-A, at most 32 of about 12 kohm; a bias resistor loads its wire as so many unit loads",
};

/// Words of [`load`].
pub const LOAD: Formula = Formula {
    title: "Load of a bus on its driver",
    unit: "Ω",
    formula: "load = 1 / (terminators / terminator + unit_loads / unit_load)",
    source: "resistances in parallel; TIA-485-A: 120 ohm terminators, unit load about 12 kohm",
};

/// Load of terminators and receivers on a driver; `None` for a bus without any.
///
/// **Formula** R = 1 / (n/R_t + UL/R_UL).
/// **Source** resistances in parallel.
///
/// ```
/// use dw_core::Ohms;
/// use dw_engine::link::bus::load;
/// assert!((load(Ohms::new(120.0), 2, 32.0, Ohms::new(12_000.0)).unwrap().get() - 51.724).abs() < 1e-3);
/// assert_eq!(load(Ohms::new(120.0), 3, 0.0, Ohms::new(12_000.0)).unwrap().get(), 40.0); // one terminator too many
/// ```
pub fn load(terminator: Ohms, terminators: u32, unit_loads: f64, unit_load: Ohms) -> Option<Ohms> {
    let conductance = f64::from(terminators) / terminator.get() + unit_loads / unit_load.get();
    Ohms::try_new(1.0 / conductance)
}

/// Words of [`bias_resistor`].
pub const BIAS_RESISTOR: Formula = Formula {
    title: "Largest bias resistor on each wire of a bus",
    unit: "Ω",
    formula: "resistor = load * (supply / idle - 1) / 2",
    source: "voltage divider over the terminators; 200 mV idle from TIA-485-A (from memory)",
};

/// The largest resistor, one from each wire to the supply or its return, that still holds an idle bus apart.
///
/// **Formula** R_b = R (V/V_idle − 1) / 2, R of terminators and receivers in parallel.
/// **Units and range** Ω, V; the idle voltage below the supply.
/// **Source** voltage divider.
///
/// ```
/// use dw_core::{Ohms, Volts};
/// let ohms = dw_engine::link::bus::bias_resistor(Volts::new(5.0), Volts::new(0.2), Ohms::new(60.0));
/// assert!((ohms.get() - 720.0).abs() < 1e-9);
/// ```
pub fn bias_resistor(supply: Volts, idle: Volts, load: Ohms) -> Ohms {
    Ohms::new((load.get() * (supply.get() / idle.get() - 1.0) / 2.0).max(0.0))
}

/// Words of [`idle_voltage`].
pub const IDLE: Formula = Formula {
    title: "Voltage between the wires of an idle bus",
    unit: "V",
    formula: "idle = supply * load / (load + 2 * resistor)",
    source: "voltage divider over the terminators",
};

/// Voltage between the wires of an idle bus with a bias resistor on each.
///
/// **Formula** V_idle = V R / (R + 2 R_b). **Source** voltage divider.
///
/// ```
/// use dw_core::{Ohms, Volts};
/// let volts = dw_engine::link::bus::idle_voltage(Volts::new(5.0), Ohms::new(720.0), Ohms::new(60.0));
/// assert!((volts.get() - 0.2).abs() < 1e-12);
/// ```
pub fn idle_voltage(supply: Volts, resistor: Ohms, load: Ohms) -> Volts {
    Volts::try_new(supply.get() * load.get() / (load.get() + 2.0 * resistor.get())).unwrap_or(Volts::ZERO)
}

/// Words of [`stub`].
pub const STUB: Formula = Formula {
    title: "Longest stub of a bus",
    unit: "m",
    formula: "stub = 0.1 * rise_time * velocity * 299792458 / trips",
    source: "RS-485 design guides: travel time under a tenth of the rise time; some count it one way, some there and back",
};

/// The longest branch off a trunk that does not reflect into it.
///
/// **Formula** L = 0.1 t_r v c, halved where the way there and back is counted: the stricter reading, plan on it.
/// **Units and range** rise time in ns; velocity as a share of the speed of light.
/// **Source** RS-485 design guides.
///
/// ```
/// use dw_engine::link::bus::stub;
/// assert!((stub(500.0, 0.66, false).get() - 9.893).abs() < 1e-3);
/// assert!((stub(500.0, 0.66, true).get() - 4.947).abs() < 1e-3);
/// ```
pub fn stub(rise_ns: f64, velocity: f64, both_ways: bool) -> Metres {
    let trips = if both_ways { 2.0 } else { 1.0 };
    Metres::try_new(0.1 * rise_ns * 1e-9 * velocity * LIGHT / trips).unwrap_or(Metres::ZERO)
}

/// Words of [`longest`].
pub const LENGTH: Formula = Formula {
    title: "Longest trunk of a bus at a bit rate",
    unit: "m",
    formula: "length = min(cap, product / bit_rate)",
    source: "TIA-485-A application practice: 1,200 m; 1e8 bit m/s above 100 kbit/s (from memory)",
};

/// The longest trunk planned at a bit rate.
///
/// **Formula** L = min(cap, product / B). **Units and range** bit/s above zero; product in bit·m/s.
/// **Source** TIA-485-A application practice; the product is *from memory*.
///
/// ```
/// use dw_engine::link::bus::{LONGEST, RATE_BY_LENGTH, longest};
/// assert_eq!(longest(9600.0, LONGEST, RATE_BY_LENGTH).get(), 1200.0);
/// assert!((longest(115_200.0, LONGEST, RATE_BY_LENGTH).get() - 868.06).abs() < 0.01);
/// ```
pub fn longest(bit_rate: f64, cap: Metres, product: f64) -> Metres {
    Metres::try_new(product / bit_rate).map_or(cap, |length| length.min(cap))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_third_terminator_takes_the_bus_below_what_its_driver_is_tested_with() {
        let with = |count| load(TERMINATOR, count, 8.0, UNIT_LOAD).unwrap();
        assert!(with(2) > DRIVER_TEST_LOAD);
        assert!(with(3) < DRIVER_TEST_LOAD);
        assert_eq!(load(TERMINATOR, 0, 0.0, UNIT_LOAD), None);
    }

    #[test]
    fn the_bias_resistor_gives_back_the_idle_voltage_it_was_chosen_for() {
        for unit_loads in [0.0, 4.0, 12.0, 32.0] {
            let load = load(TERMINATOR, 2, unit_loads, UNIT_LOAD).unwrap();
            let resistor = bias_resistor(Volts::new(5.0), IDLE_VOLTAGE, load);
            let idle = idle_voltage(Volts::new(5.0), resistor, load);
            assert!((idle.get() - IDLE_VOLTAGE.get()).abs() < 1e-12, "{unit_loads} unit loads: {idle}");
        }
    }

    #[test]
    fn whole_numbers_of_devices_are_not_lost_to_binary_fractions() {
        assert_eq!(devices(1.2, 0.0, 0.4), 3);
        assert_eq!(devices(32.0, 40.0, 1.0), 0, "a bias network beyond the limit leaves nothing");
    }

    #[test]
    fn a_faster_bus_is_never_longer() {
        let rates = [9600.0, 19_200.0, 38_400.0, 57_600.0, 115_200.0, 230_400.0, 500_000.0];
        let lengths: Vec<Metres> = rates.iter().map(|rate| longest(*rate, LONGEST, RATE_BY_LENGTH)).collect();
        assert!(lengths.windows(2).all(|pair| pair[0] >= pair[1]));
    }
}
