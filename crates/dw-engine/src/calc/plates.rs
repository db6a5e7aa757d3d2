//! Calculators for reading number plates.

use dw_core::{Input, Seconds};

use super::{CalcError, Calculator, InputSpec};
use crate::plates::{self, Lane};

const SPEED: InputSpec = InputSpec::quantity("speed", "m/s", (0.0, 100.0), "speed of the vehicle");
const EXPOSURE: InputSpec = InputSpec::quantity("exposure", "s", (0.0, 10.0), "time the shutter is open");
const DENSITY: InputSpec = InputSpec::number("px_per_m", (1.0, 1e5), "pixels a metre at the plate");
const ANGLE: InputSpec =
    InputSpec::quantity("angle", "°", (0.0, 90.0), "angle between travel and camera axis, 90 across the view").or("90");
const READ: InputSpec = InputSpec::number("read", (0.0, 1.0), "share of vehicles that are read");

/// Reading of number plates.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "plate-blur",
        about: "Pixels a vehicle moves across the picture while the shutter is open",
        inputs: &[SPEED, EXPOSURE, DENSITY, ANGLE],
        run: |args| {
            let (speed, exposure) = (args.get("speed")?, args.get("exposure")?);
            args.answer(&plates::BLUR, plates::blur(speed, exposure, args.get("angle")?, args.get("px_per_m")?))
        },
    },
    Calculator {
        name: "plate-exposure",
        about: "Longest exposure that keeps the blur within some pixels",
        inputs: &[SPEED, DENSITY, InputSpec::number("blur_px", (1e-3, 1e3), "pixels of blur allowed").or("1"), ANGLE],
        run: |args| {
            let (blur, speed) = (args.get("blur_px")?, args.get("speed")?);
            let exposure = plates::longest_exposure_s(blur, speed, args.get("angle")?, args.get("px_per_m")?);
            let any = || CalcError::NoAnswer {
                why: "nothing moves across the picture".to_owned(),
                remedy: "any exposure will do; give a speed and an angle above 0",
            };
            args.answer(&plates::LONGEST_EXPOSURE, exposure.ok_or_else(any)?)
        },
    },
    Calculator {
        name: "plate-size",
        about: "Pixels a character, its stroke or a plate takes in the picture",
        inputs: &[
            InputSpec::quantity("char", "m", (0.0, 10.0), "height of a character, or its width when turned").optional(),
            InputSpec::quantity("stroke", "m", (0.0, 1.0), "width of a stroke").optional(),
            DENSITY,
            InputSpec::quantity("yaw", "°", (0.0, 89.0), "turn of the plate against the picture").or("0"),
        ],
        run: |args| {
            let length = args.get(args.one_of(&["char", "stroke"])?)?;
            args.answer(&plates::SIZE, plates::size_in_picture(length, args.get("px_per_m")?, args.get("yaw")?))
        },
    },
    Calculator {
        name: "plate-distance",
        about: "Farthest distance at which a character still takes so many pixels",
        inputs: &[
            InputSpec::quantity("char", "m", (1e-3, 10.0), "width of a character"),
            InputSpec::number("px_char", (1.0, 1e4), "pixels it must take"),
            InputSpec::number("px_half", (1.0, 1e5), "half the pixels of the picture's width"),
            InputSpec::quantity("hfov", "°", (0.1, 170.0), "angle of view from side to side"),
        ],
        run: |args| {
            let (px_char, px_half) = (args.get("px_char")?, args.get("px_half")?);
            let far = plates::reading_distance(args.get("char")?, px_char, px_half, args.get("hfov")?);
            let none = || CalcError::NoAnswer { why: "there is no view".to_owned(), remedy: "give an angle of view" };
            args.answer(&plates::READING_DISTANCE, far.ok_or_else(none)?.get())
        },
    },
    Calculator {
        name: "plate-accuracy",
        about: "Share of plates read without an error, from the share of characters read right",
        inputs: &[
            InputSpec::number("p_char", (0.0, 1.0), "share of characters read right"),
            InputSpec::count("chars", (1.0, 20.0), "characters on a plate"),
        ],
        run: |args| args.answer(&plates::WHOLE_PLATE, plates::whole_plate(args.get("p_char")?, args.get("chars")?)),
    },
    Calculator {
        name: "plate-read-rate",
        about: "Share of vehicles captured and read, or read both on entry and on exit",
        inputs: &[
            InputSpec::number("capture", (0.0, 1.0), "share of plates captured").optional(),
            InputSpec::number("recognise", (0.0, 1.0), "share of captured plates read right").optional(),
            READ.optional(),
        ],
        run: |args| {
            if args.one_of(&["capture", "read"])? == "read" {
                let read: f64 = args.get("read")?;
                return args.answer(&plates::BOTH_WAYS, read * read);
            }
            args.answer(&plates::END_TO_END, args.get::<f64>("capture")? * args.get::<f64>("recognise")?)
        },
    },
    Calculator {
        name: "lane-wait",
        about: "Mean wait of a vehicle at one lane where some plates are not read; unstable when the line grows for ever",
        inputs: &[
            READ,
            InputSpec::number("veh_per_h", (0.0, 1e5), "vehicles an hour"),
            InputSpec::quantity("t_read", "s", (0.1, 3600.0), "time at the barrier for one that is read"),
            InputSpec::quantity("t_fallback", "s", (0.1, 3600.0), "time at the barrier for one that is not"),
        ],
        run: |args| {
            let (reading, fallback): (Seconds, Seconds) = (args.get("t_read")?, args.get("t_fallback")?);
            let lane = Lane { read: args.get("read")?, vehicles_per_h: args.get("veh_per_h")?, reading, fallback };
            let busy = lane.utilisation();
            let found =
                vec![Input::new("E[S]", lane.mean_service_s(), "s"), Input::new("share of time busy (rho)", busy, "")];
            match lane.wait_s() {
                Some(wait) => args.answer_with(&plates::LANE_WAIT, wait, found),
                None => args.answer_with(&plates::LANE_WAIT, format!("unstable (rho={busy:.3})"), found),
            }
        },
    },
];
