//! Calculators for radio bridges.

use dw_core::{Input, Metres};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::link::rain::{self, Polarisation};
use crate::link::{radio, rates};

const FREQUENCY: InputSpec = InputSpec::quantity("frequency", "MHz", (1.0, 1e6), "frequency");
const DISTANCE: InputSpec = InputSpec::quantity("distance", "m", (0.1, 1e6), "length of the path");
const FIRST: InputSpec = InputSpec::quantity("d1", "m", (0.0, 1e6), "distance to the first end");
const SECOND: InputSpec = InputSpec::quantity("d2", "m", (0.0, 1e6), "distance to the second end");
const SHARE: InputSpec = InputSpec::number("clear_share", (0.0, 2.0), "share of the first zone kept clear").or("0.6");
const FACTOR: InputSpec =
    InputSpec::number("factor", (0.1, 100.0), "factor on the radius of the earth, for the bending of the air")
        .or("1.333333333333333");
const EARTH: InputSpec = InputSpec::quantity("earth", "m", (1e3, 1e8), "radius of the earth").or("6371000");
const POWER: InputSpec = InputSpec::quantity("power", "dBm", (-200.0, 100.0), "power of the transmitter");
const LOSS: InputSpec = InputSpec::quantity("loss", "dB", (0.0, 500.0), "loss of its cable and plugs").or("0");
const GAIN: InputSpec = InputSpec::quantity("gain", "dBi", (-50.0, 100.0), "gain of its antenna");
const RX_GAIN: InputSpec =
    InputSpec::quantity("receiver_gain", "dBi", (-50.0, 100.0), "gain of the receiver's antenna");
const RX_LOSS: InputSpec =
    InputSpec::quantity("receiver_loss", "dB", (0.0, 500.0), "loss of the receiver's cable and plugs").or("0");
const LEVEL: InputSpec = InputSpec::quantity("level", "dBm", (-300.0, 100.0), "level received");
const WIDTH: InputSpec =
    InputSpec::count("width", (20.0, 160.0), "width of the channel, MHz: 20, 40, 80 or 160").or("20");
const GAS: InputSpec = InputSpec::quantity("gas", "dB/km", (0.0, 1e3), "loss of the air").or("0");
const RAIN: InputSpec = InputSpec::quantity("rain", "mm/h", (0.0, 500.0), "rain that is to be borne");
const WAVE: InputSpec =
    InputSpec::word("polarisation", &["vertical", "horizontal"], "how the wave swings").or("vertical");

/// Radio bridges.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "free-space-loss",
        about: "Loss over a free path, with the loss of the air where it counts",
        inputs: &[FREQUENCY, DISTANCE, GAS],
        run: |args| {
            let distance = args.get("distance")?;
            let free = radio::free_space_loss(args.get("frequency")?, distance);
            let gas = radio::along(args.get("gas")?, distance);
            let found = if gas > 0.0 { vec![Input::new("loss of the air", gas, "dB")] } else { Vec::new() };
            args.answer_with(&radio::FREE_SPACE_LOSS, free + gas, found)
        },
    },
    Calculator {
        name: "fresnel-radius",
        about: "Radius of the first Fresnel zone at a point of the path",
        inputs: &[FREQUENCY, FIRST, SECOND],
        run: |args| {
            let radius = radio::fresnel_radius(args.get("frequency")?, args.get("d1")?, args.get("d2")?);
            args.answer(&radio::FRESNEL, radius.get())
        },
    },
    Calculator {
        name: "fresnel-clearance",
        about: "Clearance wanted around the path",
        inputs: &[InputSpec::quantity("radius", "m", (0.0, 1e5), "radius of the first Fresnel zone"), SHARE],
        run: |args| args.answer(&radio::CLEARANCE, args.get::<f64>("radius")? * args.get::<f64>("clear_share")?),
    },
    Calculator {
        name: "earth-bulge",
        about: "How far the earth rises between two points",
        inputs: &[FIRST, SECOND, FACTOR, EARTH],
        run: |args| args.answer(&radio::EARTH_BULGE, bulge(args)?.get()),
    },
    Calculator {
        name: "antenna-height",
        about: "Height the path must have over an obstacle",
        inputs: &[
            FREQUENCY,
            FIRST,
            SECOND,
            InputSpec::quantity("obstacle", "m", (0.0, 1e4), "height of what stands in the way").or("0"),
            InputSpec::quantity("growth", "m", (0.0, 1e3), "how much trees will grow").or("0"),
            SHARE,
            FACTOR,
            EARTH,
        ],
        run: |args| {
            let radius = radio::fresnel_radius(args.get("frequency")?, args.get("d1")?, args.get("d2")?);
            let (bulge, share) = (bulge(args)?, args.get("clear_share")?);
            let height = radio::antenna_height(args.get("obstacle")?, args.get("growth")?, bulge, share, radius);
            let found = vec![Input::new("bulge", bulge.get(), "m"), Input::new("radius", radius.get(), "m")];
            args.answer_with(&radio::ANTENNA_HEIGHT, height.get(), found)
        },
    },
    Calculator {
        name: "eirp",
        about: "Radiated power of a transmitter with its antenna",
        inputs: &[POWER, LOSS, GAIN],
        run: |args| args.answer(&radio::EIRP, radio::eirp(args.get("power")?, args.get("loss")?, args.get("gain")?)),
    },
    Calculator {
        name: "received-level",
        about: "Level that arrives over a free path",
        inputs: &[
            InputSpec::quantity("eirp", "dBm", (-200.0, 200.0), "radiated power").optional(),
            InputSpec::quantity("power", "dBm", (-200.0, 100.0), "power of the transmitter").optional(),
            LOSS,
            InputSpec::quantity("gain", "dBi", (-50.0, 100.0), "gain of its antenna").or("0"),
            FREQUENCY,
            DISTANCE,
            GAS,
            RX_GAIN,
            RX_LOSS,
        ],
        run: |args| {
            let (eirp, mut found) = match args.one_of(&["eirp", "power"])? {
                "power" => {
                    let eirp = radio::eirp(args.get("power")?, args.get("loss")?, args.get("gain")?);
                    (eirp, vec![Input::new("eirp", eirp, "dBm")])
                }
                name => (args.get(name)?, Vec::new()),
            };
            let distance = args.get("distance")?;
            let loss =
                radio::free_space_loss(args.get("frequency")?, distance) + radio::along(args.get("gas")?, distance);
            found.push(Input::new("path_loss", loss, "dB"));
            let level = radio::received(eirp, loss, args.get("receiver_gain")?, args.get("receiver_loss")?);
            args.answer_with(&radio::RECEIVED, level, found)
        },
    },
    Calculator {
        name: "radio-margin",
        about: "Margin of a level over the least level of a rate",
        inputs: &[
            LEVEL,
            InputSpec::quantity("sensitivity", "dBm", (-300.0, 100.0), "least level the receiver wants").optional(),
            InputSpec::count("mcs", (0.0, 11.0), "number of the modulation in IEEE 802.11").optional(),
            WIDTH,
        ],
        run: |args| {
            let (least, found) = match args.one_of(&["sensitivity", "mcs"])? {
                "mcs" => {
                    let number: u32 = args.get("mcs")?;
                    let row = rates::MODULATIONS.iter().find(|row| row.number == number).ok_or_else(no_width)?;
                    let least = rates::least_level(row, args.get("width")?).ok_or_else(no_width)?;
                    (least, vec![Input::new("modulation", row.name, ""), Input::new("sensitivity", least, "dBm")])
                }
                name => (args.get(name)?, Vec::new()),
            };
            args.answer_with(&radio::MARGIN, args.get::<f64>("level")? - least, found)
        },
    },
    Calculator {
        name: "radio-rate",
        about: "Data that a level carries with a margin kept, by the least levels of IEEE 802.11",
        inputs: &[
            LEVEL,
            WIDTH,
            InputSpec::quantity("margin", "dB", (0.0, 200.0), "margin kept against fading").or("20"),
        ],
        run: |args| {
            let width = args.get("width")?;
            if !rates::WIDTHS.iter().any(|known| known.0 == width) {
                return Err(no_width());
            }
            let row = rates::fastest(args.get("level")?, width, args.get("margin")?);
            let rate = row.and_then(|row| rates::throughput(row, width)).unwrap_or(0.0);
            let name = row.map_or("none: too weak for the slowest", |row| row.name);
            args.answer_with(&rates::RATE, rate, vec![Input::new("modulation", name, "")])
        },
    },
    Calculator {
        name: "rain-loss",
        about: "Loss in rain along a path",
        inputs: &[
            FREQUENCY.optional(),
            RAIN.optional(),
            WAVE,
            InputSpec::quantity("gamma", "dB/km", (0.0, 1e3), "loss a kilometre; instead of working it out").optional(),
            DISTANCE,
        ],
        run: |args| {
            let (gamma, found) = match args.find("gamma") {
                Some(gamma) => (gamma, Vec::new()),
                None => {
                    let gamma = rain_gamma(args)?;
                    (gamma, vec![Input::new("loss a kilometre", gamma, "dB/km")])
                }
            };
            args.answer_with(&radio::RAIN_LOSS, radio::along(gamma, args.get("distance")?), found)
        },
    },
];

fn bulge(args: &Args) -> Result<Metres, CalcError> {
    let earth_km = args.get::<f64>("earth")? / 1000.0;
    Ok(radio::earth_bulge(args.get("d1")?, args.get("d2")?, args.get("factor")?, earth_km))
}

fn rain_gamma(args: &Args) -> Result<f64, CalcError> {
    let polarisation =
        if args.text("polarisation")? == "vertical" { Polarisation::Vertical } else { Polarisation::Horizontal };
    let outside = || CalcError::NoAnswer {
        why: "the recommendation holds from 1 to 1000 GHz".to_owned(),
        remedy: "give a frequency in that range, or gamma",
    };
    rain::db_per_km(args.get("frequency")?, args.get("rain")?, polarisation).ok_or_else(outside)
}

fn no_width() -> CalcError {
    CalcError::NoAnswer { why: "the table has no such channel".to_owned(), remedy: "give a width of 20, 40, 80 or 160" }
}
