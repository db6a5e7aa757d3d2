//! Calculators for power over the network cable.

use dw_core::{Celsius, Input, Metres, Ohms, Volts, Watts};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::power::network::{self, PowerClass};
use crate::power::wire_tables::{Strand, gauge_resistance};

const CLASS: InputSpec = InputSpec::count("class", (0.0, 8.0), "power class of IEEE 802.3");
const SOURCE_POWER: InputSpec = InputSpec::quantity("source_power", "W", (0.0, 1e4), "power at the source");
const SOURCE_VOLTAGE: InputSpec = InputSpec::quantity("source_voltage", "V", (1.0, 1e3), "least voltage at the source");
const LOOP: InputSpec = InputSpec::quantity("loop", "Ω", (0.0, 1e4), "loop resistance, all pairs in use together");
const AWG: InputSpec = InputSpec::count("awg", (0.0, 40.0), "gauge of the network cable, solid").or("24");
const LENGTH: InputSpec = InputSpec::quantity("length", "m", (0.0, 1e5), "length of the cable");
const TEMPERATURE: InputSpec =
    InputSpec::quantity("temperature", "°C", (-60.0, 200.0), "temperature of the cable").or("20");
const EFFICIENCY: InputSpec =
    InputSpec::number("efficiency_percent", (1.0, 100.0), "efficiency of the splitter, percent").or("88");
const VOLTAGE: InputSpec = InputSpec::quantity("voltage", "V", (1e-3, 1e3), "output voltage of the splitter").or("12");

/// Power over the network cable.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "poe-power",
        about: "Power left for a device at the end of a network cable, by class or from source power",
        inputs: &[
            CLASS.optional(),
            SOURCE_POWER.optional(),
            SOURCE_VOLTAGE.optional(),
            LOOP.optional(),
            LENGTH.optional(),
            AWG,
            TEMPERATURE,
        ],
        run: |args| {
            let case = case(args)?;
            let answer = network::device_power(case.power, case.voltage, case.ohms);
            if answer.get() < 0.0 {
                return Err(too_long());
            }
            args.answer_with(&network::DEVICE_POWER, answer.get(), case.found)
        },
    },
    Calculator {
        name: "poe-voltage",
        about: "Voltage at a device at the end of a network cable when the source gives its full power",
        inputs: &[
            CLASS.optional(),
            SOURCE_POWER.optional(),
            SOURCE_VOLTAGE.optional(),
            LOOP.optional(),
            LENGTH.optional(),
            AWG,
            TEMPERATURE,
        ],
        run: |args| {
            let case = case(args)?;
            let answer = network::device_voltage(case.power, case.voltage, case.ohms);
            if answer.get() < 0.0 {
                return Err(too_long());
            }
            args.answer_with(&network::DEVICE_VOLTAGE, answer.get(), case.found)
        },
    },
    Calculator {
        name: "poe-loop",
        about: "Loop resistance of a network cable that carries power on two or four pairs",
        inputs: &[
            LENGTH,
            AWG,
            TEMPERATURE,
            InputSpec::count("pairs", (2.0, 4.0), "pairs that carry power: 2 or 4").or("2"),
        ],
        run: |args| {
            let (answer, found) = cable_loop(args, args.get("pairs")?)?;
            args.answer_with(&network::PAIR_SET_LOOP, answer.get(), found)
        },
    },
    Calculator {
        name: "poe-class",
        about: "Least power class for a device, or for a load behind a splitter",
        inputs: &[
            InputSpec::quantity("device_power", "W", (0.0, 1e4), "power at the end of the network cable").optional(),
            InputSpec::quantity("load", "W", (0.0, 1e4), "power of the load behind a splitter").optional(),
            EFFICIENCY,
        ],
        run: |args| {
            let needed = match args.one_of(&["device_power", "load"])? {
                "load" => network::splitter_input(args.get("load")?, args.share("efficiency_percent")?),
                name => args.get(name)?,
            };
            match network::class_for(needed) {
                Some(class) => {
                    let found = vec![
                        Input::new("power needed at the device", needed.get(), "W"),
                        Input::new("power of the class at the device", class.device_w, "W"),
                        Input::new("power of the class at the source", class.source_w, "W"),
                    ];
                    args.answer_with(&network::CLASS_FOR, class.class, found)
                }
                None => Err(CalcError::NoAnswer {
                    why: format!("{needed:.1} is more than class 8 gives (71.3 W)"),
                    remedy: "share the load, or feed it from the mains",
                }),
            }
        },
    },
    Calculator {
        name: "splitter-output",
        about: "Current a splitter can give, from a class or from the power at the device",
        inputs: &[
            CLASS.optional(),
            InputSpec::quantity("device_power", "W", (0.0, 1e4), "power at the end of the network cable").optional(),
            EFFICIENCY,
            VOLTAGE,
        ],
        run: |args| {
            let (power, found) = match args.one_of(&["class", "device_power"])? {
                "class" => {
                    let power = Watts::new(class(args)?.device_w);
                    (power, vec![Input::new("device_power", power.get(), "W")])
                }
                name => (args.get(name)?, Vec::new()),
            };
            let answer = network::splitter_output(power, args.share("efficiency_percent")?, args.get("voltage")?);
            args.answer_with(&network::SPLITTER_OUTPUT, answer.get(), found)
        },
    },
    Calculator {
        name: "splitter-input",
        about: "Power a splitter takes from the network cable for a load behind it",
        inputs: &[InputSpec::quantity("load", "W", (0.0, 1e4), "power of the load behind the splitter"), EFFICIENCY],
        run: |args| {
            let answer = network::splitter_input(args.get("load")?, args.share("efficiency_percent")?);
            args.answer(&network::SPLITTER_INPUT, answer.get())
        },
    },
];

/// Power and voltage at the source, and resistance of the cable.
struct Case {
    power: Watts,
    voltage: Volts,
    ohms: Ohms,
    found: Vec<Input>,
}

fn class(args: &Args) -> Result<PowerClass, CalcError> {
    let number = args.get("class")?;
    network::power_class(number)
        .ok_or_else(|| CalcError::NoAnswer { why: format!("there is no class {number}"), remedy: "give 1 to 8" })
}

fn case(args: &Args) -> Result<Case, CalcError> {
    let mut found = Vec::new();
    let (power, voltage, pairs, channel) = match args.one_of(&["class", "source_power"])? {
        "class" => {
            let class = class(args)?;
            let pairs = if class.class >= 5 { 4 } else { 2 };
            found.push(Input::new("source_power", class.source_w, "W"));
            found.push(Input::new("source_voltage", class.source_v, "V"));
            (Watts::new(class.source_w), Volts::new(class.source_v), pairs, Some(Ohms::new(class.loop_ohm)))
        }
        name => (args.get(name)?, args.get("source_voltage")?, 2, None),
    };
    let ohms = match (args.find("loop"), args.find::<Metres>("length"), channel) {
        (Some(given), ..) => given,
        (None, Some(_), _) => {
            let (ohms, looked_up) = cable_loop(args, pairs)?;
            found.extend(looked_up);
            found.push(Input::new("loop", ohms.get(), "Ω"));
            ohms
        }
        (None, None, Some(channel)) => {
            found.push(Input::new("loop", channel.get(), "Ω"));
            channel
        }
        (None, None, None) => args.get("loop")?,
    };
    Ok(Case { power, voltage, ohms, found })
}

fn cable_loop(args: &Args, pairs: u32) -> Result<(Ohms, Vec<Input>), CalcError> {
    let temperature: Celsius = args.get("temperature")?;
    let (resistance, source) = gauge_resistance(args.get("awg")?, Strand::Solid, temperature);
    let found = vec![
        Input::new("resistance", resistance.get(), "Ω/m"),
        Input::new("resistance from", source, ""),
        Input::new("pairs", pairs, ""),
    ];
    Ok((network::pair_set_loop(resistance, args.get("length")?, pairs), found))
}

fn too_long() -> CalcError {
    CalcError::NoAnswer {
        why: "the cable loses all of the power".to_owned(),
        remedy: "shorten the run, lower the power or use a higher voltage",
    }
}
