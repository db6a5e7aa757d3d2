//! Voltage along a two-wire run: the drop, and what arrives at loads of three kinds.

use dw_core::{Amps, Metres, Ohms, OhmsPerMetre, SquareMm, Volts, Watts};

use super::Formula;

/// Words of [`loop_resistance`].
pub const LOOP_RESISTANCE: Formula = Formula {
    title: "Resistance out and back",
    unit: "Ω",
    formula: "loop = 2 * length * resistance / parallel + 2 * transfer",
    source: "Ohm's law; both ways of a two-wire run in series, paralleled cores share the current",
};

/// Resistance out and back of a two-wire run.
///
/// **Formula** R = 2 L r / n + 2 R_t.
/// **Units and range** L one way in metres; r of one core in Ω/m at conductor temperature; n cores paralleled each way,
/// at least 1; R_t resistance of one core of a hinge or door loop in Ω.
/// **Source** Ohm's law.
///
/// ```
/// use dw_core::{Metres, Ohms, OhmsPerMetre};
/// use dw_engine::power::voltage::loop_resistance;
/// let r = loop_resistance(OhmsPerMetre::new(0.02), Metres::new(50.0), 2, Ohms::new(0.1));
/// assert!((r.get() - 1.2).abs() < 1e-12);
/// ```
pub fn loop_resistance(resistance: OhmsPerMetre, length: Metres, parallel: u32, transfer: Ohms) -> Ohms {
    resistance * length * 2.0 / f64::from(parallel.max(1)) + transfer * 2.0
}

/// Words of [`drop`].
pub const DROP: Formula = Formula {
    title: "Voltage drop of a two-wire run",
    unit: "V",
    formula: "drop = current * (2 * length * resistance / parallel + 2 * transfer)",
    source: "Ohm's law",
};

/// Voltage lost in a loop.
///
/// **Formula** V = I R.
/// **Units** A, Ω.
/// **Source** Ohm's law.
///
/// ```
/// use dw_core::{Amps, Ohms};
/// assert!((dw_engine::power::voltage::drop(Amps::new(4.0), Ohms::new(0.998)).get() - 3.992).abs() < 1e-9);
/// ```
pub fn drop(current: Amps, loop_resistance: Ohms) -> Volts {
    current * loop_resistance
}

/// Words of [`drop_percent`].
pub const DROP_PERCENT: Formula = Formula {
    title: "Voltage drop as a share of the supply",
    unit: "%",
    formula: "percent = 100 * drop / supply",
    source: "definition",
};

/// Voltage drop in percent of the supply.
///
/// **Formula** 100 · V_drop / V_supply.
/// **Range** supply above zero.
/// **Source** definition.
///
/// ```
/// use dw_core::Volts;
/// let p = dw_engine::power::voltage::drop_percent(Volts::new(3.992), Volts::new(24.0));
/// assert!((p - 16.6333).abs() < 0.0001);
/// ```
pub fn drop_percent(drop: Volts, supply: Volts) -> f64 {
    100.0 * drop.get() / supply.get()
}

/// Words of [`drop_by_resistivity`].
pub const DROP_BY_RESISTIVITY: Formula = Formula {
    title: "Voltage drop by the K-factor",
    unit: "V",
    formula: "drop = 2 * resistivity * length * current / area",
    source: "Trade formula V = 2·K·L·I/CM with K = 12.9 Ω·cmil/ft for copper at 75 °C",
};

/// Voltage drop of a two-wire run from resistivity and cross-section: the K-factor method.
///
/// **Formula** V = 2 ρ L I / A.
/// **Units and range** ρ in Ω·mm²/m; L one way; A above zero.
/// **Source** trade formula V = 2·K·L·I/CM.
///
/// ```
/// use dw_core::{Amps, Metres, SquareMm};
/// use dw_engine::power::wire::{MM2_PER_CMIL, OHM_MM2_PER_M};
/// let v = dw_engine::power::voltage::drop_by_resistivity(
///     12.9 * OHM_MM2_PER_M, Metres::new(30.48), Amps::new(15.0), SquareMm::new(6530.0 * MM2_PER_CMIL));
/// assert!((v.get() - 5.9265).abs() < 0.0001);
/// ```
pub fn drop_by_resistivity(resistivity: f64, length: Metres, current: Amps, area: SquareMm) -> Volts {
    Volts::new(2.0 * resistivity * length.get() * current.get() / area.get())
}

/// Words of [`area_for_drop`].
pub const AREA_FOR_DROP: Formula = Formula {
    title: "Cross-section each conductor needs",
    unit: "mm²",
    formula: "area = 2 * resistivity * length * current / drop",
    source: "Ohm's law and the resistance of a uniform conductor",
};

/// Cross-section that keeps the drop of a two-wire run at a figure.
///
/// **Formula** A = 2 ρ L I / V.
/// **Range** drop above zero.
/// **Source** Ohm's law.
///
/// ```
/// use dw_core::{Amps, Metres, Volts};
/// let a = dw_engine::power::voltage::area_for_drop(1.0 / 58.0, Metres::new(58.0), Amps::new(0.5), Volts::new(1.0));
/// assert!((a.get() - 1.0).abs() < 1e-12);
/// ```
pub fn area_for_drop(resistivity: f64, length: Metres, current: Amps, drop: Volts) -> SquareMm {
    SquareMm::new(2.0 * resistivity * length.get() * current.get() / drop.get())
}

/// What a load does when its voltage falls.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum LoadKind {
    /// Draws the same current: the cautious simple case for coils.
    Current(Amps),
    /// A coil: current falls with the voltage.
    Resistance(Ohms),
    /// Regulates: draws more current as the voltage falls.
    Power(Watts),
}

/// Words of [`at_load`] for a load of constant current.
pub const AT_LOAD_CURRENT: Formula = Formula {
    title: "Voltage at a load of constant current",
    unit: "V",
    formula: "at_load = supply - current * loop",
    source: "Ohm's law",
};
/// Words of [`at_load`] for a resistive load.
pub const AT_LOAD_RESISTANCE: Formula = Formula {
    title: "Voltage at a resistive load",
    unit: "V",
    formula: "at_load = supply * load / (load + loop)",
    source: "Ohm's law, voltage divider",
};
/// Words of [`at_load`] for a load of constant power.
pub const AT_LOAD_POWER: Formula = Formula {
    title: "Voltage at a load of constant power",
    unit: "V",
    formula: "at_load = (supply + sqrt(supply^2 - 4 * power * loop)) / 2",
    source: "Ohm's law; root of v² - supply·v + power·loop = 0",
};

/// Voltage that arrives at a load, or `None` when the run cannot carry it: a load of constant power pulls the voltage
/// down without end once supply² is less than 4·power·loop.
///
/// **Formula** current: V_s − I R; resistance: V_s R_l/(R_l + R); power: (V_s + √(V_s² − 4 P R))/2.
/// **Units and range** V, Ω out and back, none negative.
/// **Source** Ohm's law.
///
/// ```
/// use dw_core::{Amps, Ohms, Volts, Watts};
/// use dw_engine::power::voltage::{at_load, LoadKind};
/// let supply = Volts::new(13.6);
/// let v = at_load(supply, Ohms::new(5.4), LoadKind::Current(Amps::new(0.5))).unwrap();
/// assert!((v.get() - 10.9).abs() < 1e-9);
/// assert_eq!(at_load(supply, Ohms::new(5.4), LoadKind::Power(Watts::new(20.0))), None);
/// ```
pub fn at_load(supply: Volts, loop_resistance: Ohms, load: LoadKind) -> Option<Volts> {
    let (volts, ohms) = (supply.get(), loop_resistance.get());
    match load {
        LoadKind::Current(current) => Some(supply - drop(current, loop_resistance)),
        LoadKind::Resistance(load) => Volts::try_new(volts * load.get() / (load.get() + ohms)),
        LoadKind::Power(power) => {
            let root = volts * volts - 4.0 * power.get() * ohms;
            if root < 0.0 { None } else { Volts::try_new(f64::midpoint(volts, root.sqrt())) }
        }
    }
}

/// Words of the margin of a voltage over what a device needs.
pub const MARGIN: Formula = Formula {
    title: "Voltage above what the device needs",
    unit: "V",
    formula: "margin = supply - drop - least",
    source: "definition; below zero the run fails",
};
