//! Calculators for conductors and voltage along them.

use dw_core::{Amps, Celsius, Input, InputValue, Metres, Ohms, OhmsPerMetre, SquareMm, Volts, Watts, Working};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::power::voltage::{self, LoadKind};
use crate::power::wire_tables::{self, Strand, area_resistance, gauge_resistance};
use crate::power::{Formula, wire};

const AWG: InputSpec = InputSpec::count("awg", (0.0, 40.0), "American wire gauge");
const AREA: InputSpec = InputSpec::quantity("area", "mm²", (1e-4, 1e4), "cross-section of a conductor");
const PER_LENGTH: InputSpec =
    InputSpec::quantity("resistance", "Ω/m", (0.0, 1e3), "resistance of one conductor, at its temperature in use");
const STRAND: InputSpec = InputSpec::word("strand", &["solid", "stranded"], "make of a conductor given by gauge");
/// Cautious for US work; metric work states its own. Source: NFPA 70-2017 chapter 9 table 8.
const TEMPERATURE: InputSpec =
    InputSpec::quantity("temperature", "°C", (-60.0, 200.0), "temperature of the conductor").or("75");
const LENGTH: InputSpec = InputSpec::quantity("length", "m", (0.0, 1e6), "length one way");
const CURRENT: InputSpec = InputSpec::quantity("current", "A", (0.0, 1e5), "current");
const SUPPLY: InputSpec = InputSpec::quantity("supply", "V", (1e-3, 1e5), "voltage of the supply");
const DROP: InputSpec = InputSpec::quantity("drop", "V", (0.0, 1e5), "voltage lost on the way");
const RESISTIVITY: InputSpec =
    InputSpec::quantity("resistivity", "Ω·mm²/m", (1e-4, 10.0), "resistivity of the conductor");
const PARALLEL: InputSpec = InputSpec::count("parallel", (1.0, 100.0), "cores in parallel each way").or("1");
const TRANSFER: InputSpec =
    InputSpec::quantity("transfer", "Ω", (0.0, 1e4), "resistance of one core of a hinge or door loop").or("0");

/// Conductors and voltage along them.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "awg-diameter",
        about: "Diameter of a solid conductor of a wire gauge",
        inputs: &[AWG],
        run: |args| args.answer(&wire::AWG_DIAMETER, wire::awg_diameter_mm(args.get("awg")?)),
    },
    Calculator {
        name: "awg-area",
        about: "Cross-section of a solid conductor of a wire gauge",
        inputs: &[AWG],
        run: |args| args.answer(&wire::AWG_AREA, wire::awg_area(args.get("awg")?).get()),
    },
    Calculator {
        name: "wire-resistance",
        about: "Resistance of one copper conductor for each metre, by gauge or cross-section, at a temperature",
        inputs: &[
            AWG.optional(),
            AREA.optional(),
            STRAND.or("stranded"),
            TEMPERATURE,
            InputSpec::number("iacs_percent", (1.0, 110.0), "conductivity of a solid conductor, percent of IACS")
                .or("100"),
        ],
        run: wire_resistance,
    },
    Calculator {
        name: "conductor-resistance",
        about: "Resistance of one conductor of a length",
        inputs: &[
            LENGTH,
            PER_LENGTH.optional(),
            AWG.optional(),
            AREA.optional(),
            STRAND.or("stranded"),
            TEMPERATURE,
            RESISTIVITY.optional(),
        ],
        run: |args| {
            let (resistance, found) = conductor(args)?;
            let answer = wire::length_resistance(resistance, args.get("length")?);
            args.answer_with(&wire::LENGTH_RESISTANCE, answer.get(), found)
        },
    },
    Calculator {
        name: "nec-table-8",
        about: "Resistance at 75 °C as NEC chapter 9 table 8 prints it; the table starts at 18 AWG",
        inputs: &[
            AWG,
            STRAND,
            InputSpec::word("coating", &["uncoated", "coated"], "coating of the wires").or("uncoated"),
        ],
        run: nec_table_8,
    },
    Calculator {
        name: "iec-60228",
        about: "Highest resistance at 20 °C that IEC 60228 allows; the standard starts at 0.5 mm²",
        inputs: &[AREA, InputSpec::count("class", (1.0, 6.0), "conductor class: 1, 2 or 5").or("5")],
        run: |args| match wire_tables::iec_60228(args.get("area")?, args.get("class")?) {
            Some(listed) => args.answer(&wire_tables::IEC_60228_LOOKUP, listed.get()),
            None => args.answer(&wire_tables::IEC_60228_LOOKUP, "not in table"),
        },
    },
    Calculator {
        name: "resistance-at-temperature",
        about: "Resistance of a conductor at another temperature; the coefficient belongs to the first one",
        inputs: &[
            PER_LENGTH,
            InputSpec::quantity("from", "°C", (-60.0, 200.0), "temperature the resistance is stated at"),
            InputSpec::quantity("to", "°C", (-60.0, 200.0), "temperature it is wanted at"),
            InputSpec::number("coefficient", (0.0, 0.01), "coefficient at the first temperature, 1/K").optional(),
        ],
        run: resistance_at_temperature,
    },
    Calculator {
        name: "iec-60228-factor",
        about: "Factor that brings a measured conductor resistance to 20 °C",
        inputs: &[InputSpec::quantity("temperature", "°C", (-60.0, 200.0), "temperature of the measurement")],
        run: |args| args.answer(&wire::IEC_60228_FACTOR, wire::iec_60228_factor(args.get("temperature")?)),
    },
    Calculator {
        name: "wire-area-for-resistance",
        about: "Cross-section that keeps each conductor at a resistance",
        inputs: &[
            RESISTIVITY,
            LENGTH,
            InputSpec::quantity("resistance", "Ω", (1e-6, 1e6), "resistance each conductor may have"),
        ],
        run: |args| {
            let (resistivity, length) = (args.get("resistivity")?, args.get("length")?);
            let answer = wire::area_for_resistance(resistivity, length, args.get("resistance")?);
            args.answer(&wire::AREA_FOR_RESISTANCE, answer.get())
        },
    },
    Calculator {
        name: "wire-area-for-drop",
        about: "Cross-section that keeps the voltage drop of a two-wire run at a figure",
        inputs: &[
            RESISTIVITY,
            LENGTH,
            CURRENT,
            InputSpec::quantity("drop", "V", (1e-6, 1e5), "voltage that may be lost"),
        ],
        run: |args| {
            let (resistivity, length) = (args.get("resistivity")?, args.get("length")?);
            let answer = voltage::area_for_drop(resistivity, length, args.get("current")?, args.get("drop")?);
            args.answer(&voltage::AREA_FOR_DROP, answer.get())
        },
    },
    Calculator {
        name: "voltage-drop",
        about: "Voltage drop of a two-wire direct current run",
        inputs: &[
            LENGTH,
            CURRENT,
            PER_LENGTH.optional(),
            AWG.optional(),
            AREA.optional(),
            STRAND.or("stranded"),
            TEMPERATURE,
            PARALLEL,
            TRANSFER,
        ],
        run: |args| {
            let (whole, found) = run_loop(args)?;
            args.answer_with(&voltage::DROP, voltage::drop(args.get("current")?, whole).get(), found)
        },
    },
    Calculator {
        name: "voltage-drop-percent",
        about: "Voltage drop as a share of the supply",
        inputs: &[DROP, SUPPLY],
        run: |args| {
            let answer = voltage::drop_percent(args.get("drop")?, args.get("supply")?);
            args.answer(&voltage::DROP_PERCENT, answer)
        },
    },
    Calculator {
        name: "voltage-drop-k-factor",
        about: "Voltage drop of a two-wire run from resistivity and cross-section (K-factor method)",
        inputs: &[RESISTIVITY, LENGTH, CURRENT, AREA],
        run: |args| {
            let (resistivity, length) = (args.get("resistivity")?, args.get("length")?);
            let answer = voltage::drop_by_resistivity(resistivity, length, args.get("current")?, args.get("area")?);
            args.answer(&voltage::DROP_BY_RESISTIVITY, answer.get())
        },
    },
    Calculator {
        name: "voltage-at-load",
        about: "Voltage that arrives at a load of constant current, constant resistance or constant power",
        inputs: &[
            SUPPLY,
            InputSpec::quantity("loop", "Ω", (0.0, 1e6), "resistance out and back").optional(),
            DROP.optional(),
            CURRENT.optional(),
            InputSpec::quantity("load", "Ω", (1e-6, 1e6), "resistance of the load").optional(),
            InputSpec::quantity("power", "W", (0.0, 1e6), "power the load draws whatever its voltage").optional(),
        ],
        run: voltage_at_load,
    },
    Calculator {
        name: "voltage-margin",
        about: "Voltage at a device above what it needs; below zero the run fails",
        inputs: &[SUPPLY, DROP, InputSpec::quantity("least", "V", (0.0, 1e5), "least voltage the device works at")],
        run: |args| {
            let answer = args.get::<Volts>("supply")? - args.get("drop")? - args.get("least")?;
            args.answer(&voltage::MARGIN, answer.get())
        },
    },
    Calculator {
        name: "lock-voltage",
        about: "Voltage at a lock at the end of its run, at its highest current",
        inputs: &[
            SUPPLY,
            LENGTH,
            CURRENT,
            PER_LENGTH.optional(),
            AWG.optional(),
            AREA.optional(),
            STRAND.or("stranded"),
            TEMPERATURE,
            PARALLEL,
            TRANSFER,
        ],
        run: |args| {
            let (whole, mut found) = run_loop(args)?;
            found.push(Input::new("loop", whole.get(), "Ω"));
            let answer = args.get::<Volts>("supply")? - voltage::drop(args.get("current")?, whole);
            args.answer_with(&voltage::AT_LOAD_CURRENT, answer.get(), found)
        },
    },
];

fn strand(args: &Args) -> Result<Strand, CalcError> {
    Ok(if args.text("strand")? == "solid" { Strand::Solid } else { Strand::Stranded })
}

/// Resistance per metre by gauge or cross-section, and where it comes from.
fn by_size(args: &Args, size: &str) -> Result<(OhmsPerMetre, &'static str), CalcError> {
    let temperature: Celsius = args.get("temperature")?;
    if size == "awg" {
        return Ok(gauge_resistance(args.get("awg")?, strand(args)?, temperature));
    }
    let too_thin =
        || CalcError::NoAnswer { why: "the cross-section is too small".to_owned(), remedy: "give a larger one" };
    area_resistance(args.get("area")?, temperature).ok_or_else(too_thin)
}

/// Resistance per metre as given or by size; what was looked up is shown.
fn conductor(args: &Args) -> Result<(OhmsPerMetre, Vec<Input>), CalcError> {
    if let Some(resistivity) = args.find::<f64>("resistivity") {
        let area: SquareMm = args.get("area")?;
        let resistance = OhmsPerMetre::new(resistivity / area.get());
        return Ok((resistance, vec![Input::new("resistance", resistance.get(), "Ω/m")]));
    }
    match args.one_of(&["resistance", "awg", "area"])? {
        "resistance" => Ok((args.get("resistance")?, Vec::new())),
        size => {
            let (resistance, source) = by_size(args, size)?;
            Ok((
                resistance,
                vec![Input::new("resistance", resistance.get(), "Ω/m"), Input::new("resistance from", source, "")],
            ))
        }
    }
}

/// Resistance out and back of the run asked about.
fn run_loop(args: &Args) -> Result<(Ohms, Vec<Input>), CalcError> {
    let (resistance, found) = conductor(args)?;
    let length: Metres = args.get("length")?;
    Ok((voltage::loop_resistance(resistance, length, args.get("parallel")?, args.get("transfer")?), found))
}

fn wire_resistance(args: &Args) -> Result<Working, CalcError> {
    let size = args.one_of(&["awg", "area"])?;
    let (resistance, source) = by_size(args, size)?;
    let formula = if size == "awg" && strand(args)? == Strand::Solid {
        let conductivity = args.share("iacs_percent")?;
        let area = wire::awg_area(args.get("awg")?);
        let solid = wire::solid_resistance(area, conductivity, args.get("temperature")?);
        return args.answer_with(&wire::SOLID_RESISTANCE, solid.get(), vec![Input::new("area", area.get(), "mm²")]);
    } else {
        Formula {
            title: "Resistance of one copper conductor for each metre",
            unit: "Ω/m",
            formula: "resistance = table or nominal value at its own temperature, brought to temperature",
            source,
        }
    };
    args.answer(&formula, resistance.get())
}

fn nec_table_8(args: &Args) -> Result<Working, CalcError> {
    let (awg, strand) = (args.get("awg")?, strand(args)?);
    if let Some(printed) = wire_tables::nec_table_8(awg, strand, args.text("coating")? == "coated") {
        let resistance = printed / (1000.0 * dw_core::METRES_PER_FOOT);
        return args.answer(&wire_tables::NEC_TABLE_8_LOOKUP, resistance);
    }
    let (computed, source) = gauge_resistance(awg, strand, Celsius::new(75.0));
    let instead =
        vec![Input::new("computed at 75 °C instead", computed.get(), "Ω/m"), Input::new("computed from", source, "")];
    args.answer_with(&wire_tables::NEC_TABLE_8_LOOKUP, "not in table", instead)
}

fn resistance_at_temperature(args: &Args) -> Result<Working, CalcError> {
    let (from, to): (Celsius, Celsius) = (args.get("from")?, args.get("to")?);
    let known = if from == Celsius::new(20.0) {
        Some(wire::COPPER_COEFFICIENT_20)
    } else if from == Celsius::new(75.0) {
        Some(wire::COPPER_COEFFICIENT_75)
    } else {
        None
    };
    let Some(coefficient) = args.find::<f64>("coefficient").or(known) else {
        return Err(CalcError::NoAnswer {
            why: format!("no coefficient is known at {from:.0}"),
            remedy: "start from 20 °C (0.00393) or 75 °C (0.00323), or give coefficient=",
        });
    };
    let answer = wire::resistance_at(args.get("resistance")?, from, to, coefficient);
    let found = if args.find::<f64>("coefficient").is_some() {
        Vec::new()
    } else {
        vec![Input { name: "coefficient", value: InputValue::Number(coefficient), unit: "1/K" }]
    };
    args.answer_with(&wire::RESISTANCE_AT, answer.get(), found)
}

fn voltage_at_load(args: &Args) -> Result<Working, CalcError> {
    let supply: Volts = args.get("supply")?;
    if let Some(drop) = args.find::<Volts>("drop") {
        let formula = Formula { formula: "at_load = supply - drop", ..voltage::AT_LOAD_CURRENT };
        return args.answer(&formula, (supply - drop).get());
    }
    let (load, formula) = match args.one_of(&["current", "load", "power"])? {
        "current" => (LoadKind::Current(args.get::<Amps>("current")?), &voltage::AT_LOAD_CURRENT),
        "load" => (LoadKind::Resistance(args.get::<Ohms>("load")?), &voltage::AT_LOAD_RESISTANCE),
        _ => (LoadKind::Power(args.get::<Watts>("power")?), &voltage::AT_LOAD_POWER),
    };
    match voltage::at_load(supply, args.get("loop")?, load) {
        Some(volts) => args.answer(formula, volts.get()),
        None => Err(CalcError::NoAnswer {
            why: "the run cannot carry that power: 4 * power * loop exceeds supply²".to_owned(),
            remedy: "use thicker or more conductors, a shorter run or a higher voltage",
        }),
    }
}
