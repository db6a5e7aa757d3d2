//! Calculators for heat and enclosures.

use dw_core::{Metres, Watts};

use super::{CalcError, Calculator, InputSpec};
use crate::power::heat::{self, Mounting};

const POWER: InputSpec = InputSpec::quantity("power", "W", (0.0, 1e9), "power that becomes heat");
const SURFACE: InputSpec = InputSpec::quantity("surface", "m²", (1e-4, 1e5), "surface of the enclosure");
const DENSITY: InputSpec = InputSpec::quantity("density", "W/m²", (0.0, 1e6), "heat for each square metre");
const TRANSFER: InputSpec =
    InputSpec::quantity("transfer", "W/(m²·K)", (0.1, 100.0), "heat transfer of the walls").or("5.5");

/// Heat and enclosures.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "heat-load",
        about: "Heat load in BTU/h",
        inputs: &[POWER, InputSpec::number("factor", (1.0, 10.0), "BTU/h in a watt").or("3.412142")],
        run: |args| args.answer(&heat::BTU, args.get::<f64>("power")? * args.get::<f64>("factor")?),
    },
    Calculator {
        name: "mains-power",
        about: "Power a supply takes from the mains",
        inputs: &[
            InputSpec::quantity("output", "A", (0.0, 1e5), "output current"),
            InputSpec::quantity("voltage", "V", (0.1, 1e4), "output voltage"),
            InputSpec::number("efficiency_percent", (1.0, 100.0), "efficiency, percent"),
        ],
        run: |args| {
            let output = Watts::new(args.get::<f64>("output")? * args.get::<f64>("voltage")?);
            args.answer(&heat::MAINS_POWER, heat::mains_power(output, args.share("efficiency_percent")?).get())
        },
    },
    Calculator {
        name: "enclosure-surface",
        about: "Surface of an enclosure: the whole of it, or what cools it by the way it stands",
        inputs: &[
            InputSpec::quantity("height", "m", (1e-3, 100.0), "height"),
            InputSpec::quantity("width", "m", (1e-3, 100.0), "width"),
            InputSpec::quantity("depth", "m", (1e-3, 100.0), "depth"),
            InputSpec::word("mounting", MOUNTINGS, "how it stands, or whole for the geometric surface").or("wall"),
        ],
        run: |args| {
            let size: (Metres, Metres, Metres) = (args.get("height")?, args.get("width")?, args.get("depth")?);
            let mounting = args.text("mounting")?;
            match MOUNTINGS.iter().zip(WAYS).find(|row| *row.0 == mounting).and_then(|row| row.1) {
                Some(way) => args.answer(&heat::COOLING_SURFACE, heat::cooling_surface_m2(size.0, size.1, size.2, way)),
                None => args.answer(&heat::TOTAL_SURFACE, heat::total_surface_m2(size.0, size.1, size.2)),
            }
        },
    },
    Calculator {
        name: "power-density",
        about: "Heat for each square metre of enclosure",
        inputs: &[POWER, SURFACE],
        run: |args| args.answer(&heat::POWER_DENSITY, args.get::<f64>("power")? / args.get::<f64>("surface")?),
    },
    Calculator {
        name: "temperature-rise",
        about: "Temperature rise in a sealed enclosure, from power and surface or from heat for each square metre",
        inputs: &[POWER.optional(), SURFACE.optional(), DENSITY.optional(), TRANSFER],
        run: |args| {
            if args.one_of(&["power", "density"])? == "density" {
                let rise = args.get::<f64>("density")? / args.get::<f64>("transfer")?;
                return args.answer(&heat::RISE_FROM_DENSITY, rise);
            }
            let surface: f64 = args.get("surface")?;
            let rise = heat::temperature_rise(args.get("power")?, args.get("transfer")?, surface);
            let none = || CalcError::NoAnswer { why: "there is no surface".to_owned(), remedy: "give a surface" };
            args.answer(&heat::TEMPERATURE_RISE, rise.ok_or_else(none)?)
        },
    },
];

/// Words for the way an enclosure stands, in the order of [`WAYS`].
const MOUNTINGS: &[&str] = &[
    "whole",
    "free",
    "wall",
    "row-end-free",
    "row-end-wall",
    "row-middle-free",
    "row-middle-wall",
    "row-middle-wall-covered",
];
const WAYS: [Option<Mounting>; 8] = [
    None,
    Some(Mounting::Free),
    Some(Mounting::Wall),
    Some(Mounting::RowEndFree),
    Some(Mounting::RowEndWall),
    Some(Mounting::RowMiddleFree),
    Some(Mounting::RowMiddleWall),
    Some(Mounting::RowMiddleWallCovered),
];
