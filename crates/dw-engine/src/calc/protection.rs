//! Calculators for degrees of protection.

use super::{Args, CalcError, Calculator, InputSpec};
use crate::protection_codes::{self as codes, IngressCode};

/// Degrees of protection.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "ingress-check",
        about: "Whether a body with one ingress code may stand where another is asked for",
        inputs: &[
            InputSpec::series("rating", "IP67", "code of the body"),
            InputSpec::series("need", "IPX5", "code asked for"),
        ],
        run: |args| {
            let (rating, need) = (code(args, "rating")?, code(args, "need")?);
            let answer = match (rating.bears(need), rating.water > 6 && rating.solids >= need.solids) {
                (true, _) => "yes",
                (false, true) => "no (immersion or steam does not imply what is asked for unless marked for both)",
                (false, false) => "no (the code is lower than what is asked for)",
            };
            args.answer(&codes::INGRESS, answer)
        },
    },
    Calculator {
        name: "impact-energy",
        about: "Energy an impact code stands for",
        inputs: &[InputSpec::count("ik", (0.0, 11.0), "impact code, 0 to 11")],
        run: |args| {
            let none = || CalcError::NoAnswer {
                why: "IK00 promises no protection".to_owned(),
                remedy: "give a code from 1 to 11",
            };
            args.answer(&codes::IMPACT_ENERGY, codes::impact_energy(args.get("ik")?).ok_or_else(none)?)
        },
    },
    Calculator {
        name: "drop-energy",
        about: "Energy of a mass dropped from a height",
        inputs: &[
            InputSpec::quantity("mass", "kg", (0.0, 1e6), "mass"),
            InputSpec::quantity("height", "m", (0.0, 1e4), "height of the drop"),
        ],
        run: |args| args.answer(&codes::DROP_ENERGY, codes::drop_energy(args.get("mass")?, args.get("height")?)),
    },
];

fn code(args: &Args, name: &'static str) -> Result<IngressCode, CalcError> {
    let written = args.text(name)?;
    IngressCode::read(written).ok_or_else(|| CalcError::Unreadable {
        key: name.to_owned(),
        value: written.chars().take(60).collect(),
        expected: "IP and two numerals, X for one not stated, such as IP65 or IPX5".to_owned(),
        meant: None,
    })
}
