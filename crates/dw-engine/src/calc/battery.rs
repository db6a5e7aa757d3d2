//! Calculators for standby batteries.

use dw_core::{AmpHours, Amps, Celsius, Hours, Input, Volts, Working};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::power::sections::{self, TimedLoad};
use crate::power::{Formula, battery};

const CAPACITY: InputSpec = InputSpec::quantity("capacity", "Ah", (1e-3, 1e6), "rated capacity");
const CHARGE: InputSpec = InputSpec::quantity("charge", "Ah", (0.0, 1e6), "charge wanted");
const LOAD: InputSpec = InputSpec::quantity("load", "A", (1e-4, 1e5), "current drawn");
const STANDBY_LOAD: InputSpec = InputSpec::quantity("standby_load", "A", (0.0, 1e5), "current in standby");
const STANDBY: InputSpec = InputSpec::quantity("standby", "h", (0.0, 1e5), "time in standby");
const ALARM_LOAD: InputSpec = InputSpec::quantity("alarm_load", "A", (0.0, 1e5), "current in alarm");
const ALARM: InputSpec = InputSpec::quantity("alarm", "h", (0.0, 1e5), "time in alarm");
const MARGIN: InputSpec = InputSpec::number("margin", (1.0, 10.0), "margin as a factor, 1.2 for 20 %");
const RATED: InputSpec = InputSpec::quantity("rated", "h", (0.1, 200.0), "hours of the rating").or("20");
const PEUKERT: InputSpec = InputSpec::number("peukert", (1.0, 2.0), "Peukert exponent");
const END_OF_LIFE: InputSpec =
    InputSpec::number("end_of_life_percent", (10.0, 100.0), "capacity left at the end of life, percent of rated");
const TEMPERATURE: InputSpec =
    InputSpec::quantity("temperature", "°C", (-60.0, 80.0), "lowest temperature of the battery");
const LIFE: InputSpec = InputSpec::quantity("life_at_25", "year", (0.0, 100.0), "float life at 25 °C (77 °F)");
const CURRENT: InputSpec = InputSpec::quantity("current", "A", (1e-4, 1e5), "current the battery gives for that time");
const LOADS: InputSpec =
    InputSpec::series("loads", "5@0-120|30@15-25", "loads: amperes@from-to in minutes, between bars");
const CURVE: InputSpec =
    InputSpec::series("curve", "1:58|2:37", "discharge curve of the battery: hours:amperes, between bars");

/// Standby batteries.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "battery-charge",
        about: "Charge for standby and the alarm after it, before any margin",
        inputs: &[STANDBY_LOAD, STANDBY, ALARM_LOAD.or("0"), ALARM.or("0")],
        run: |args| {
            let (standby, alarm) = demand(args)?;
            let answer = battery::standby_and_alarm(standby.0, standby.1, alarm.0, alarm.1);
            args.answer(&battery::STANDBY_AND_ALARM, answer.get())
        },
    },
    Calculator {
        name: "battery-margin",
        about: "Capacity with a margin on the charge; a fire-style margin covers ageing already",
        inputs: &[CHARGE, MARGIN],
        run: |args| args.answer(&battery::WITH_MARGIN, args.get::<f64>("charge")? * args.get::<f64>("margin")?),
    },
    Calculator {
        name: "battery-size",
        about: "Rated capacity for standby and alarm with rate, temperature, margin and ageing, in one go; with a margin, state the end of life too",
        inputs: &[
            STANDBY_LOAD,
            STANDBY,
            ALARM_LOAD.or("0"),
            ALARM.or("0"),
            RATED,
            PEUKERT.or("1.1"),
            TEMPERATURE.or("20"),
            MARGIN.or("1"),
            END_OF_LIFE.or("80"),
        ],
        run: battery_size,
    },
    Calculator {
        name: "battery-runtime",
        about: "Time a battery carries a load, with rate, temperature and ageing",
        inputs: &[CAPACITY, LOAD, RATED, PEUKERT.or("1.1"), TEMPERATURE.or("20"), END_OF_LIFE.or("80")],
        run: battery_runtime,
    },
    Calculator {
        name: "battery-temperature-factor",
        about: "Factor on battery capacity for temperature, at least 1",
        inputs: &[TEMPERATURE],
        run: |args| args.answer(&battery::TEMPERATURE_FACTOR, temperature_factor(args)?),
    },
    Calculator {
        name: "battery-ageing",
        about: "Capacity when new for a charge still wanted at the end of life",
        inputs: &[CHARGE, END_OF_LIFE.or("80")],
        run: |args| {
            let answer = battery::aged(args.get("charge")?, args.share("end_of_life_percent")?);
            args.answer(&battery::AGED, answer.get())
        },
    },
    Calculator {
        name: "battery-depth",
        about: "Capacity for a largest depth of discharge",
        inputs: &[CHARGE, InputSpec::number("depth_percent", (1.0, 100.0), "largest depth of discharge, percent")],
        run: |args| args.answer(&battery::FOR_DEPTH, args.get::<f64>("charge")? / args.share("depth_percent")?),
    },
    Calculator {
        name: "battery-correction",
        about: "Battery size from the largest section: temperature factor, margin, ageing (IEEE 485)",
        inputs: &[
            InputSpec::quantity("uncorrected", "Ah", (0.0, 1e6), "size of the largest section"),
            InputSpec::number("temperature_factor", (0.5, 3.0), "factor for temperature"),
            MARGIN,
            END_OF_LIFE.or("80"),
        ],
        run: |args| {
            let (size, margin) = (args.get("uncorrected")?, args.get("margin")?);
            let factor = args.get("temperature_factor")?;
            let answer = battery::corrected(size, factor, margin, args.share("end_of_life_percent")?);
            args.answer(&battery::CORRECTED, answer.get())
        },
    },
    Calculator {
        name: "battery-energy",
        about: "Battery capacity by the energy method, all factors as given",
        inputs: &[
            InputSpec::quantity("energy", "VA·h", (0.0, 1e9), "energy wanted"),
            InputSpec::number("ageing", (1.0, 3.0), "ageing factor"),
            InputSpec::number("temperature_factor", (0.5, 3.0), "factor for temperature"),
            InputSpec::number("rate_factor", (0.5, 5.0), "factor for rate of discharge"),
            InputSpec::quantity("voltage", "V", (1.0, 1e4), "voltage of the battery"),
            InputSpec::number("depth_percent", (1.0, 100.0), "largest depth of discharge, percent"),
        ],
        run: |args| {
            let (ageing, temperature) = (args.get("ageing")?, args.get("temperature_factor")?);
            let (rate, depth) = (args.get("rate_factor")?, args.share("depth_percent")?);
            let voltage = args.get("voltage")?;
            let answer = battery::energy_method(args.get("energy")?, ageing, temperature, rate, voltage, depth);
            args.answer(&battery::ENERGY_METHOD, answer.get())
        },
    },
    Calculator {
        name: "peukert-time",
        about: "Discharge time of a battery rated over some hours (Peukert, rated-hour form)",
        inputs: &[CAPACITY, RATED, LOAD, PEUKERT],
        run: |args| {
            let (capacity, rated) = (args.get("capacity")?, args.get("rated")?);
            let answer = battery::peukert_time(capacity, rated, args.get("load")?, args.get("peukert")?);
            args.answer(
                &Formula { formula: "time = rated * (capacity / (load * rated))^peukert", ..battery::PEUKERT_TIME },
                answer.get(),
            )
        },
    },
    Calculator {
        name: "peukert-time-one-ampere",
        about: "Discharge time from the capacity at one ampere (Peukert); not for a 20 h rating",
        inputs: &[CAPACITY, LOAD, PEUKERT],
        run: |args| args.answer(&battery::PEUKERT_TIME_ONE_AMPERE, one_ampere_time(args)?.get()),
    },
    Calculator {
        name: "peukert-charge-one-ampere",
        about: "Charge delivered, from the capacity at one ampere (Peukert); not for a 20 h rating",
        inputs: &[CAPACITY, LOAD, PEUKERT],
        run: |args| {
            let answer = args.get::<Amps>("load")? * one_ampere_time(args)?;
            args.answer(&battery::PEUKERT_CHARGE_ONE_AMPERE, answer.get())
        },
    },
    Calculator {
        name: "charger-current",
        about: "Output that carries the standby load and recharges the battery in time",
        inputs: &[STANDBY_LOAD, CAPACITY, InputSpec::quantity("recharge", "h", (0.1, 1e4), "time to recharge")],
        run: |args| {
            let capacity: AmpHours = args.get("capacity")?;
            let answer = battery::charger_current(args.get("standby_load")?, capacity, args.get("recharge")?);
            args.answer(&battery::CHARGER_CURRENT, answer.get())
        },
    },
    Calculator {
        name: "recharge-time",
        about: "Time to recharge a battery",
        inputs: &[CHARGE, InputSpec::quantity("charging", "A", (1e-4, 1e5), "charging current")],
        run: |args| {
            let answer = battery::recharge_time(args.get("charge")?, args.get("charging")?);
            let none =
                || CalcError::NoAnswer { why: "nothing is left to charge with".to_owned(), remedy: "give a current" };
            args.answer(&battery::RECHARGE_TIME, answer.ok_or_else(none)?.get())
        },
    },
    Calculator {
        name: "float-voltage",
        about: "Float voltage of one lead-acid cell at a temperature",
        inputs: &[
            InputSpec::quantity("at_25", "V", (1.0, 5.0), "float voltage of a cell at 25 °C").or("2.275"),
            InputSpec::quantity("coefficient", "mV/K", (-10.0, 0.0), "change for each degree").or("-3"),
            TEMPERATURE,
        ],
        run: |args| {
            let coefficient = args.get::<f64>("coefficient")? / 1000.0;
            let answer = battery::float_voltage(args.get::<Volts>("at_25")?, coefficient, args.get("temperature")?);
            args.answer(&battery::FLOAT_VOLTAGE, answer.get())
        },
    },
    Calculator {
        name: "float-life",
        about: "Float life of a battery at a temperature, by one of two rules",
        inputs: &[
            LIFE,
            TEMPERATURE,
            InputSpec::word("rule", &["halves-per-10-c", "halves-per-15-f"], "how life falls with temperature")
                .or("halves-per-10-c"),
        ],
        run: |args| {
            let (life, temperature) = (args.get("life_at_25")?, args.get("temperature")?);
            if args.text("rule")? == "halves-per-15-f" {
                return args.answer(&battery::FLOAT_LIFE_15F, battery::float_life_15f(life, temperature));
            }
            args.answer(&battery::FLOAT_LIFE_10C, battery::float_life_10c(life, temperature))
        },
    },
    Calculator {
        name: "power-to-current",
        about: "Current a load of constant power is counted at when a battery is sized",
        inputs: &[
            InputSpec::quantity("power", "W", (0.0, 1e6), "power of the load"),
            InputSpec::quantity("nominal", "V", (1.0, 1e4), "nominal voltage"),
            InputSpec::number("least_percent", (10.0, 100.0), "least voltage, percent of nominal").or("95"),
        ],
        run: |args| {
            let least = args.get::<Volts>("nominal")? * args.share("least_percent")?;
            args.answer(&battery::POWER_TO_CURRENT, battery::power_to_current(args.get("power")?, least).get())
        },
    },
    Calculator {
        name: "parallel-strings",
        about: "Battery strings in parallel that reach a capacity",
        inputs: &[
            InputSpec::quantity("required", "Ah", (0.0, 1e6), "capacity wanted"),
            InputSpec::quantity("string", "Ah", (1e-3, 1e6), "capacity of one string"),
        ],
        run: |args| {
            args.answer(
                &battery::PARALLEL_STRINGS,
                battery::parallel_strings(args.get("required")?, args.get("string")?),
            )
        },
    },
    Calculator {
        name: "rating-factor",
        about: "Capacity rating factor of a battery for a discharge time (IEEE 485)",
        inputs: &[CAPACITY, CURRENT],
        run: |args| {
            args.answer(
                &sections::RATING_FACTOR,
                sections::rating_factor(args.get("capacity")?, args.get("current")?).get(),
            )
        },
    },
    Calculator {
        name: "battery-one-period",
        about: "Capacity for one load, from the current the battery gives for that time (IEEE 485)",
        inputs: &[InputSpec::quantity("load", "A", (0.0, 1e5), "load"), CAPACITY, CURRENT],
        run: |args| {
            let factor = sections::rating_factor(args.get("capacity")?, args.get("current")?);
            args.answer(&sections::ONE_PERIOD, (args.get::<Amps>("load")? * factor).get())
        },
    },
    Calculator {
        name: "battery-section",
        about: "Battery size of one section of a load profile (IEEE 485)",
        inputs: &[LOADS, CURVE, CAPACITY, InputSpec::count("section", (1.0, 1000.0), "number of the section")],
        run: |args| {
            let (loads, curve) = profile(args)?;
            let section = args.get::<u32>("section")? as usize;
            let answer = sections::section_size(&loads, &curve, args.get("capacity")?, section);
            args.answer(&sections::SECTION_SIZE, answer.ok_or_else(outside_curve)?.get())
        },
    },
    Calculator {
        name: "battery-largest-section",
        about: "Battery size of the largest section of a load profile (IEEE 485)",
        inputs: &[LOADS, CURVE, CAPACITY],
        run: |args| {
            let (loads, curve) = profile(args)?;
            let answer = sections::largest_section(&loads, &curve, args.get("capacity")?);
            let (number, size) = answer.ok_or_else(outside_curve)?;
            let found = vec![Input::new("largest section", number as f64, "")];
            args.answer_with(&sections::LARGEST_SECTION, size.get(), found)
        },
    },
];

type Draw = (Amps, Hours);

fn demand(args: &Args) -> Result<(Draw, Draw), CalcError> {
    Ok(((args.get("standby_load")?, args.get("standby")?), (args.get("alarm_load")?, args.get("alarm")?)))
}

fn temperature_factor(args: &Args) -> Result<f64, CalcError> {
    let temperature: Celsius = args.get("temperature")?;
    battery::temperature_factor(temperature).ok_or_else(|| CalcError::NoAnswer {
        why: format!("{temperature:.1} is below the table of IEEE 485 (-3.9 °C)"),
        remedy: "heat the battery, or take the maker's figure",
    })
}

fn one_ampere_time(args: &Args) -> Result<Hours, CalcError> {
    Ok(battery::peukert_time_one_ampere(args.get("capacity")?, args.get("load")?, args.get("peukert")?))
}

fn battery_size(args: &Args) -> Result<Working, CalcError> {
    if args.get::<f64>("margin")? > 1.0 && !args.was_given("end_of_life_percent") {
        return Err(CalcError::NoAnswer {
            why: "a margin on top of the usual end of life of 80 % may count ageing twice".to_owned(),
            remedy: "give end_of_life_percent=100 where the margin covers ageing (fire style, 20 or 25 %), or \
                     end_of_life_percent=80 where it is a design margin of 10 to 15 % (IEEE Std 485)",
        });
    }
    let (standby, alarm) = demand(args)?;
    let factor = temperature_factor(args)?;
    let by_rate = battery::rate_capacity(standby, alarm, args.get("rated")?, args.get("peukert")?);
    let answer = battery::corrected(by_rate, factor, args.get("margin")?, args.share("end_of_life_percent")?);
    let found = vec![Input::new("uncorrected", by_rate.get(), "Ah"), Input::new("temperature_factor", factor, "")];
    let formula = Formula {
        formula: "size = uncorrected * temperature_factor * margin / (end_of_life_percent / 100); uncorrected = capacity at which standby * use(standby_load) + alarm * use(alarm_load) = 1; use(load) = max(load / capacity, (load * rated / capacity)^peukert / rated)",
        source: "Standby + alarm method of NFPA 72; Peukert's law, rated-hour form; IEEE Std 485 for temperature and ageing",
        title: "Battery capacity needed",
        unit: "Ah",
    };
    args.answer_with(&formula, answer.get(), found)
}

fn battery_runtime(args: &Args) -> Result<Working, CalcError> {
    let factor = temperature_factor(args)?;
    let usable = args.get::<AmpHours>("capacity")? * args.share("end_of_life_percent")? / factor;
    let answer = battery::runtime(usable, args.get("rated")?, args.get("load")?, args.get("peukert")?);
    let none = || CalcError::NoAnswer { why: "the load is zero".to_owned(), remedy: "give a load" };
    let found = vec![Input::new("temperature_factor", factor, ""), Input::new("usable", usable.get(), "Ah")];
    args.answer_with(&battery::RUNTIME, answer.ok_or_else(none)?.get(), found)
}

type Curve = Vec<(f64, f64)>;

/// Loads in hours, and the curve in rising order of time.
fn profile(args: &Args) -> Result<(Vec<TimedLoad>, Curve), CalcError> {
    let bad = |why: &str, remedy| CalcError::NoAnswer { why: why.to_owned(), remedy };
    let within = |value: f64| (0.0..=1e6).contains(&value);
    let mut loads = Vec::new();
    for row in args.series("loads", &['@', '-'])? {
        let [current, from, to] = row[..] else { continue };
        if !(within(current) && within(from) && within(to) && from < to) {
            return Err(bad("a load is negative, too large or ends before it starts", "write amperes@from-to"));
        }
        loads.push(TimedLoad { current: Amps::new(current), from: Hours::new(from / 60.0), to: Hours::new(to / 60.0) });
    }
    let mut curve = Vec::new();
    for row in args.series("curve", &[':'])? {
        let [hours, amps] = row[..] else { continue };
        if !(within(hours) && (1e-6..=1e6).contains(&amps)) {
            return Err(bad("a point of the curve is not above zero", "write hours:amperes"));
        }
        curve.push((hours, amps));
    }
    curve.sort_by(|a, b| a.0.total_cmp(&b.0));
    Ok((loads, curve))
}

fn outside_curve() -> CalcError {
    CalcError::NoAnswer {
        why: "there is no such section, or a duration lies outside the discharge curve".to_owned(),
        remedy: "give a section of the profile and a curve from the shortest to the longest duration",
    }
}
