//! Calculators for reader interfaces: two data lines, and the electrical side of a multidrop bus.

use dw_core::{Input, Ohms};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::link::{bus, data_lines};

const PULSE: InputSpec = InputSpec::quantity("pulse", "ms", (0.0, 1e3), "width of a pulse");
const INTERVAL: InputSpec = InputSpec::quantity("interval", "ms", (0.0, 1e4), "time from pulse to pulse");
const LIMIT: InputSpec = InputSpec::number("unit_load_limit", (0.0, 1e4), "unit loads the driver bears").or("32");
const DEVICE_LOAD: InputSpec = InputSpec::number("unit_load", (1e-3, 100.0), "unit loads of one device");
const BIAS_LOAD: InputSpec =
    InputSpec::number("bias_unit_loads", (0.0, 1e4), "unit loads the bias network costs").or("0");
const TERMINATOR: InputSpec =
    InputSpec::quantity("terminator", "Ω", (1.0, 1e5), "resistance of a terminator").or("120");
const TERMINATORS: InputSpec = InputSpec::count("terminators", (0.0, 1000.0), "how many terminators").or("2");
const LOADS: InputSpec = InputSpec::number("unit_loads", (0.0, 1e5), "unit loads of all devices").or("0");
const UNIT_LOAD: InputSpec =
    InputSpec::quantity("unit_load", "Ω", (1.0, 1e7), "input resistance of one unit load").or("12000");
const SUPPLY: InputSpec = InputSpec::quantity("supply", "V", (0.1, 60.0), "supply of the bias network").or("5");
const IDLE: InputSpec =
    InputSpec::quantity("idle", "V", (1e-3, 60.0), "voltage wanted between the wires of an idle bus").or("0.2");
const LOAD: InputSpec =
    InputSpec::quantity("load", "Ω", (0.1, 1e6), "terminators and receivers in parallel; instead of counting them")
        .optional();

/// Reader interfaces.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "data-lines-time",
        about: "Time to send a credential over two data lines",
        inputs: &[InputSpec::count("bits", (1.0, 10_000.0), "bits of the credential"), INTERVAL, PULSE],
        run: |args| {
            let time = data_lines::frame_time(args.get("bits")?, args.get("interval")?, args.get("pulse")?);
            args.answer(&data_lines::FRAME_TIME, time)
        },
    },
    Calculator {
        name: "data-lines-timing",
        about: "Whether pulse and interval of a reader on two data lines keep the limits: accept or reject",
        inputs: &[PULSE, INTERVAL],
        run: |args| {
            let fault = data_lines::timing_fault(args.get("pulse")?, args.get("interval")?);
            let found = fault.map(|fault| Input::new("because", fault, "")).into_iter().collect();
            args.answer_with(&data_lines::TIMING, if fault.is_some() { "reject" } else { "accept" }, found)
        },
    },
    Calculator {
        name: "data-lines-length",
        about: "How far two data lines reach over a conductor, planned with caution",
        inputs: &[InputSpec::count("awg", (10.0, 40.0), "gauge of the conductor")],
        run: |args| {
            let thin = || CalcError::NoAnswer {
                why: "the texts say nothing about conductors thinner than 22 AWG".to_owned(),
                remedy: "use 22 AWG or thicker, or a reader on a bus",
            };
            let reach = data_lines::reach(args.get("awg")?).ok_or_else(thin)?;
            let found = vec![Input::new("longest any text allows", reach.longest.get(), "m")];
            args.answer_with(&data_lines::REACH_BY_GAUGE, reach.cautious.get(), found)
        },
    },
    Calculator {
        name: "bus-devices",
        about: "Devices a multidrop bus bears beside its bias network",
        inputs: &[LIMIT, DEVICE_LOAD, BIAS_LOAD],
        run: |args| {
            let devices =
                bus::devices(args.get("unit_load_limit")?, args.get("bias_unit_loads")?, args.get("unit_load")?);
            args.answer(&bus::DEVICES, devices)
        },
    },
    Calculator {
        name: "bus-load",
        about: "Load of terminators and receivers on the driver of a bus",
        inputs: &[TERMINATOR, TERMINATORS, LOADS, UNIT_LOAD],
        run: |args| {
            let load =
                load(args, "a bus without terminator and receiver has no load", "give terminators or unit_loads")?;
            let limit = bus::DRIVER_TEST_LOAD;
            let word = if load < limit { "below it" } else { "not below it" };
            let found =
                vec![Input::new("driver is tested with", limit.get(), "Ω"), Input::new("the load is", word, "")];
            args.answer_with(&bus::LOAD, load.get(), found)
        },
    },
    Calculator {
        name: "bus-bias",
        about: "Largest bias resistor on each wire that still holds an idle bus apart",
        inputs: &[SUPPLY, IDLE, LOAD, TERMINATOR, TERMINATORS, LOADS, UNIT_LOAD],
        run: |args| {
            let (load, found): (Ohms, _) = match args.find("load") {
                Some(load) => (load, Vec::new()),
                None => {
                    let why = "a bus without terminator and receiver idles at the supply";
                    let load = load(args, why, "give load, terminators or unit_loads")?;
                    (load, vec![Input::new("load", load.get(), "Ω")])
                }
            };
            let resistor = bus::bias_resistor(args.get("supply")?, args.get("idle")?, load);
            args.answer_with(&bus::BIAS_RESISTOR, resistor.get(), found)
        },
    },
    Calculator {
        name: "bus-idle",
        about: "Voltage between the wires of an idle bus with a bias resistor on each",
        inputs: &[
            SUPPLY,
            InputSpec::quantity("resistor", "Ω", (0.0, 1e6), "bias resistor on each wire"),
            InputSpec::quantity("load", "Ω", (0.1, 1e6), "terminators and receivers in parallel").or("60"),
        ],
        run: |args| {
            let idle = bus::idle_voltage(args.get("supply")?, args.get("resistor")?, args.get("load")?);
            args.answer(&bus::IDLE, idle.get())
        },
    },
    Calculator {
        name: "bus-stub",
        about: "Longest branch off the trunk of a bus",
        inputs: &[
            InputSpec::quantity("rise_time", "ns", (0.1, 1e6), "rise time of the driver"),
            InputSpec::number("velocity", (0.1, 1.0), "speed on the cable, as a share of that of light").or("0.66"),
            InputSpec::word("travel", &["one-way", "round-trip"], "which travel is counted; round-trip is stricter")
                .or("round-trip"),
        ],
        run: |args| {
            let both_ways = args.text("travel")? == "round-trip";
            let found = vec![Input::new("trips", if both_ways { 2u32 } else { 1 }, "")];
            let stub = bus::stub(args.get("rise_time")?, args.get("velocity")?, both_ways);
            args.answer_with(&bus::STUB, stub.get(), found)
        },
    },
    Calculator {
        name: "bus-length",
        about: "Longest trunk of a bus at a bit rate",
        inputs: &[
            InputSpec::quantity("bit_rate", "bit/s", (1.0, 1e9), "bit rate"),
            InputSpec::quantity("cap", "m", (0.0, 1e5), "longest trunk at any rate").or("1200"),
            InputSpec::number("product", (1.0, 1e12), "bit rate times length, bit m/s").or("1e8"),
        ],
        run: |args| {
            let length = bus::longest(args.get("bit_rate")?, args.get("cap")?, args.get("product")?);
            args.answer(&bus::LENGTH, length.get())
        },
    },
];

/// Load of terminators and receivers together; why there is none, and what to give, where nothing loads the bus.
fn load(args: &Args, why: &str, remedy: &'static str) -> Result<Ohms, CalcError> {
    let load =
        bus::load(args.get("terminator")?, args.get("terminators")?, args.get("unit_loads")?, args.get("unit_load")?);
    load.ok_or_else(|| CalcError::NoAnswer { why: why.to_owned(), remedy })
}
