//! Calculators for limits of power-limited circuits and of bundles.

use super::{CalcError, Calculator, InputSpec};
use crate::power::limits;

/// Limits of power-limited circuits and of bundles.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "class-2-limit",
        about: "Highest rated current of a class 2 source at the highest voltage its output ever has",
        inputs: &[
            InputSpec::quantity("voltage", "V", (0.1, 1000.0), "highest output voltage, float or adjustable maximum"),
            InputSpec::word("supply", &["dc", "ac"], "direct or alternating current").or("dc"),
            InputSpec::word("inherently_limited", &["no", "yes"], "whether the source limits itself").or("no"),
        ],
        run: |args| {
            let direct = args.text("supply")? == "dc";
            let limit = limits::class_2_current(args.get("voltage")?, direct, args.yes("inherently_limited"));
            let beyond = || CalcError::NoAnswer {
                why: "class 2 ends below that voltage".to_owned(),
                remedy: "use a lower voltage or another circuit class",
            };
            args.answer(&limits::CLASS_2_CURRENT, limit.ok_or_else(beyond)?.get())
        },
    },
    Calculator {
        name: "bundle-ampacity",
        about: "Current each conductor of a four-pair cable may carry in a bundle",
        inputs: &[
            InputSpec::count("awg", (22.0, 26.0), "gauge: 22, 23, 24 or 26"),
            InputSpec::count("rating", (60.0, 90.0), "temperature rating of the cable in °C: 60, 75 or 90"),
            InputSpec::count("bundle", (1.0, 100_000.0), "cables in the bundle"),
            InputSpec::word("half_loaded", &["no", "yes"], "whether only half the conductors carry current").or("no"),
        ],
        run: |args| {
            let (awg, rating, bundle) = (args.get("awg")?, args.get("rating")?, args.get("bundle")?);
            let outside = || CalcError::NoAnswer {
                why: "the table has no value for that gauge, rating and bundle".to_owned(),
                remedy: "split the bundle (at most 192 cables) or use 22 to 24 AWG rated 60, 75 or 90 °C",
            };
            let amps = limits::bundle_ampacity(awg, rating, bundle, args.yes("half_loaded"));
            args.answer(&limits::BUNDLE_AMPACITY, amps.ok_or_else(outside)?.get())
        },
    },
];
