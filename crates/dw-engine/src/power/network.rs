//! Power over the network cable: what a class leaves at the device, and what a splitter makes of it.
//!
//! Source: IEEE 802.3-2018 and 802.3bt-2018, clauses 33 and 145.

use dw_core::{Amps, Metres, Ohms, OhmsPerMetre, Volts, Watts};

use super::Formula;

/// A power class: number, power and least voltage at the source, published power at the device, and the largest loop
/// resistance of the whole channel, all pairs in use together.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PowerClass {
    /// Number.
    pub class: u32,
    /// Power the source sets aside.
    pub source_w: f64,
    /// Power the device may take.
    pub device_w: f64,
    /// Least voltage at the source.
    pub source_v: f64,
    /// Largest loop resistance of the channel.
    pub loop_ohm: f64,
}

/// Classes 1 to 8. Class 0 is class 3 without a statement.
/// Source: IEEE 802.3-2018 clause 33 and 802.3bt-2018 clause 145; classes 5 to 8 use four pairs, so that 12.5 Ω for a
/// pair-set is 6.25 Ω together.
pub const CLASSES: [PowerClass; 8] = [
    PowerClass { class: 1, source_w: 4.0, device_w: 3.84, source_v: 44.0, loop_ohm: 20.0 },
    PowerClass { class: 2, source_w: 7.0, device_w: 6.49, source_v: 44.0, loop_ohm: 20.0 },
    PowerClass { class: 3, source_w: 15.4, device_w: 12.95, source_v: 44.0, loop_ohm: 20.0 },
    PowerClass { class: 4, source_w: 30.0, device_w: 25.5, source_v: 50.0, loop_ohm: 12.5 },
    PowerClass { class: 5, source_w: 45.0, device_w: 40.0, source_v: 50.0, loop_ohm: 6.25 },
    PowerClass { class: 6, source_w: 60.0, device_w: 51.0, source_v: 50.0, loop_ohm: 6.25 },
    PowerClass { class: 7, source_w: 75.0, device_w: 62.0, source_v: 52.0, loop_ohm: 6.25 },
    PowerClass { class: 8, source_w: 90.0, device_w: 71.3, source_v: 52.0, loop_ohm: 6.25 },
];

/// The class with this number; class 0 counts as 3.
///
/// ```
/// assert_eq!(dw_engine::power::network::power_class(4).unwrap().device_w, 25.5);
/// ```
pub fn power_class(number: u32) -> Option<PowerClass> {
    let number = if number == 0 { 3 } else { number };
    CLASSES.iter().find(|class| class.class == number).copied()
}

/// Words of [`device_power`].
pub const DEVICE_POWER: Formula = Formula {
    title: "Power left at the end of the network cable",
    unit: "W",
    formula: "device = source_power - (source_power / source_voltage)^2 * loop",
    source: "IEEE 802.3-2018 clause 33, 802.3bt-2018 clause 145: reproduces every published device power within 0.07 W",
};

/// Power left at the device after the loss in the cable.
///
/// **Formula** P = P_s − (P_s/V_s)² R.
/// **Units and range** W, V at the source, Ω of the loop with all pairs in use together.
/// **Source** IEEE 802.3 clauses 33 and 145.
///
/// ```
/// use dw_core::{Ohms, Volts, Watts};
/// let p = dw_engine::power::network::device_power(Watts::new(30.0), Volts::new(50.0), Ohms::new(12.5));
/// assert_eq!(p.get(), 25.5);
/// ```
pub fn device_power(source: Watts, source_voltage: Volts, loop_resistance: Ohms) -> Watts {
    let current = source.get() / source_voltage.get();
    Watts::new(source.get() - current * current * loop_resistance.get())
}

/// Words of [`device_voltage`].
pub const DEVICE_VOLTAGE: Formula = Formula {
    title: "Voltage at the end of the network cable",
    unit: "V",
    formula: "device = source_voltage - source_power / source_voltage * loop",
    source: "Ohm's law; IEEE 802.3-2018 clause 33, 802.3bt-2018 clause 145",
};

/// Voltage at the device when the source gives its full power.
///
/// **Formula** V = V_s − (P_s/V_s) R.
/// **Source** Ohm's law; IEEE 802.3 clauses 33 and 145.
///
/// ```
/// use dw_core::{Ohms, Volts, Watts};
/// let v = dw_engine::power::network::device_voltage(Watts::new(30.0), Volts::new(50.0), Ohms::new(12.5));
/// assert_eq!(v.get(), 42.5);
/// ```
pub fn device_voltage(source: Watts, source_voltage: Volts, loop_resistance: Ohms) -> Volts {
    Volts::new(source_voltage.get() - source.get() / source_voltage.get() * loop_resistance.get())
}

/// Words of [`pair_set_loop`].
pub const PAIR_SET_LOOP: Formula = Formula {
    title: "Loop resistance of a network cable carrying power",
    unit: "Ω",
    formula: "loop = resistance * length * 2 / pairs",
    source: "Ohm's law; the two conductors of a pair work in parallel each way (IEEE 802.3 clause 33)",
};

/// Loop resistance of a network cable that carries power on two or four pairs.
///
/// **Formula** two pairs (one pair-set): r L; four pairs: r L / 2. The two conductors of a pair run in parallel each
/// way, so that the loop of a pair-set is r·L and not 2·r·L.
/// **Units and range** r of one conductor in Ω/m; L in metres; 2 or 4 pairs.
/// **Source** IEEE 802.3 clauses 33 and 145.
///
/// ```
/// use dw_core::{Metres, OhmsPerMetre};
/// let r = dw_engine::power::network::pair_set_loop(OhmsPerMetre::new(0.084_215), Metres::new(100.0), 2);
/// assert!((r.get() - 8.4215).abs() < 1e-9);
/// ```
pub fn pair_set_loop(resistance: OhmsPerMetre, length: Metres, pairs: u32) -> Ohms {
    resistance * length * 2.0 / f64::from(pairs.max(1))
}

/// Words of [`class_for`].
pub const CLASS_FOR: Formula = Formula {
    title: "Least power class for a device",
    unit: "",
    formula: "class = least class whose device power is at least the power needed",
    source: "IEEE 802.3-2018 clause 33 and 802.3bt-2018 clause 145, class table",
};

/// The least class that gives a device its power; `None` above 71.3 W.
///
/// **Source** IEEE 802.3-2018 and 802.3bt-2018 class table.
///
/// ```
/// use dw_core::Watts;
/// use dw_engine::power::network::class_for;
/// assert_eq!(class_for(Watts::new(25.5)).unwrap().class, 4);
/// assert_eq!(class_for(Watts::new(27.3)).unwrap().class, 5);
/// assert_eq!(class_for(Watts::new(72.0)), None);
/// ```
pub fn class_for(device: Watts) -> Option<PowerClass> {
    CLASSES.iter().find(|class| class.device_w >= device.get()).copied()
}

/// Words of [`splitter_output`].
pub const SPLITTER_OUTPUT: Formula = Formula {
    title: "Current a splitter can give",
    unit: "A",
    formula: "output = device_power * efficiency_percent / 100 / voltage",
    source: "Conservation of energy; efficiency 80-90 % of isolated converters is common practice",
};

/// Current a splitter gives at its output voltage from the power at the end of the network cable.
///
/// **Formula** I = P η / V.
/// **Units and range** W; η above 0, at most 1; V above zero.
/// **Source** conservation of energy.
///
/// ```
/// use dw_core::{Volts, Watts};
/// let i = dw_engine::power::network::splitter_output(Watts::new(25.5), 0.88, Volts::new(12.0));
/// assert!((i.get() - 1.87).abs() < 1e-9); // less than 2 A
/// ```
pub fn splitter_output(device: Watts, efficiency: f64, voltage: Volts) -> Amps {
    Amps::new(device.get() * efficiency / voltage.get())
}

/// Words of [`splitter_input`].
pub const SPLITTER_INPUT: Formula = Formula {
    title: "Power a splitter takes from the network cable",
    unit: "W",
    formula: "input = load / (efficiency_percent / 100)",
    source: "Conservation of energy; efficiency 80-90 % of isolated converters is common practice",
};

/// Power a splitter takes from the network cable for a load behind it.
///
/// **Formula** P_in = P_out / η.
/// **Source** conservation of energy.
///
/// ```
/// use dw_core::Watts;
/// let p = dw_engine::power::network::splitter_input(Watts::new(24.0), 0.88);
/// assert!((p.get() - 27.27).abs() < 0.01);
/// ```
pub fn splitter_input(load: Watts, efficiency: f64) -> Watts {
    load / efficiency
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_published_device_power_follows_from_source_power_and_channel() {
        for class in CLASSES {
            let power =
                device_power(Watts::new(class.source_w), Volts::new(class.source_v), Ohms::new(class.loop_ohm)).get();
            assert!((power - class.device_w).abs() < 0.07, "class {}: {power} W", class.class);
        }
    }

    #[test]
    fn the_classes_in_code_are_the_classes_in_the_data_folder() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/poe_classes.csv"));
        for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let fields: Vec<f64> = line.split(',').take(3).map(|field| field.parse().unwrap()).collect();
            let class = power_class(fields[0] as u32).unwrap();
            assert_eq!((class.source_w, class.device_w), (fields[1], fields[2]), "{line}");
        }
    }
}
