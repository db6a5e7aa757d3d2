//! Calculators for recognising people: searches, factors together, trials, templates.

use dw_core::{Input, Working};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::identity::templates::{self, MinutiaeFormat};
use crate::identity::{factors, searches, trials};

/// A rate between 0 and 1.
const SHARE: (f64, f64) = (0.0, 1.0);
/// A rate that is divided by or whose logarithm is taken.
const CHANCE: (f64, f64) = (1e-15, 1.0 - 1e-9);

const FMR: InputSpec = InputSpec::number("fmr", SHARE, "false match rate of one comparison");
const FNMR: InputSpec = InputSpec::number("fnmr", SHARE, "false non-match rate of one comparison");
const FTA: InputSpec = InputSpec::number("fta", SHARE, "share of attempts that acquire nothing").or("0");
const FTE: InputSpec = InputSpec::number("fte", SHARE, "share of people who cannot enrol");
const PERSONS: InputSpec = InputSpec::count("persons", (0.0, 1e10), "people enrolled");
const EACH: InputSpec = InputSpec::count("fingers_each", (1.0, 100.0), "references enrolled for each person").or("1");
const N: InputSpec = InputSpec::count("n", (0.0, 1e10), "references enrolled, not persons");

/// Recognition of people.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "false-positive-identification",
        about: "Chance that a search among enrolled references passes a wrong person",
        inputs: &[FMR, N.optional(), PERSONS.optional(), EACH, FTA],
        run: |args| {
            let (references, found) = references(args)?;
            let chance = searches::false_positive_identification(args.get("fmr")?, references, args.get("fta")?);
            args.answer_with(&searches::FALSE_POSITIVE_IDENTIFICATION, chance, found)
        },
    },
    Calculator {
        name: "false-match-needed",
        about: "False match rate that keeps a search at a target",
        inputs: &[
            InputSpec::number("fpir", SHARE, "chance of a wrong person that a search may have"),
            InputSpec::count("n", (1.0, 1e10), "references enrolled, not persons"),
        ],
        run: |args| {
            let rate = searches::false_match_needed(args.get("fpir")?, args.get("n")?);
            args.answer(&searches::FALSE_MATCH_NEEDED, rate.ok_or_else(nothing_to_count)?)
        },
    },
    Calculator {
        name: "largest-gallery",
        about: "Most references that keep a search at a target",
        inputs: &[
            InputSpec::number("fpir", CHANCE, "chance of a wrong person that a search may have"),
            InputSpec::number("fmr", CHANCE, "false match rate of one comparison"),
        ],
        run: |args| {
            let most = searches::largest_gallery(args.get("fpir")?, args.get("fmr")?);
            args.answer(&searches::LARGEST_GALLERY, most.ok_or_else(nothing_to_count)?)
        },
    },
    Calculator {
        name: "linear-false-match-estimate",
        about: "N times FMR, which overstates a search and may pass 1; the true chance stands beside it",
        inputs: &[FMR, N],
        run: |args| {
            let (rate, references): (f64, f64) = (args.get("fmr")?, args.get("n")?);
            let true_chance = searches::false_positive_identification(rate, references, 0.0);
            let found = vec![Input::new("true chance", true_chance, "")];
            args.answer_with(&searches::LINEAR_ESTIMATE, rate * references, found)
        },
    },
    Calculator {
        name: "joined-factors",
        about: "False match or false non-match rate of two factors of which both must pass, or either may",
        inputs: &[
            InputSpec::word("pass", &["both", "either"], "whether both factors must pass, or either may"),
            InputSpec::number("fmr1", SHARE, "false match rate of the first").optional(),
            InputSpec::number("fmr2", SHARE, "false match rate of the second").optional(),
            InputSpec::number("fnmr1", SHARE, "false non-match rate of the first").optional(),
            InputSpec::number("fnmr2", SHARE, "false non-match rate of the second").optional(),
        ],
        run: joined,
    },
    Calculator {
        name: "attempts-false-acceptance",
        about: "False acceptance when an impostor may try several times",
        inputs: &[FMR, InputSpec::count("attempts", (1.0, 1000.0), "attempts allowed").or("3")],
        run: |args| args.answer(&factors::ATTEMPTS, factors::attempts(args.get("fmr")?, args.get("attempts")?)),
    },
    Calculator {
        name: "false-acceptance",
        about: "False acceptance rate of an attempt, failures to acquire counted as refused",
        inputs: &[FMR, FTA],
        run: |args| {
            args.answer(&factors::FALSE_ACCEPTANCE, factors::false_acceptance(args.get("fmr")?, args.get("fta")?))
        },
    },
    Calculator {
        name: "false-rejection",
        about: "False rejection rate of an attempt, failures to acquire counted as refused",
        inputs: &[FNMR, FTA],
        run: |args| {
            args.answer(&factors::FALSE_REJECTION, factors::false_rejection(args.get("fnmr")?, args.get("fta")?))
        },
    },
    Calculator {
        name: "generalised-false-rejection",
        about: "False rejection rate with people who cannot enrol counted as refused",
        inputs: &[FTE, FTA, FNMR],
        run: |args| {
            let rate = factors::generalised_rejection(args.get("fte")?, args.get("fta")?, args.get("fnmr")?);
            args.answer(&factors::GENERALISED_REJECTION, rate)
        },
    },
    Calculator {
        name: "rule-of-three",
        about: "Error rate that a trial without errors supports at 95 %; the exact bound stands beside it",
        inputs: &[InputSpec::count("trials", (1.0, 1e12), "independent trials without an error")],
        run: |args| {
            let trials = args.get("trials")?;
            let found = vec![Input::new("exact bound", trials::exact_bound(trials), "")];
            args.answer_with(&trials::RULE_OF_THREE, trials::rule_of_three(trials), found)
        },
    },
    Calculator {
        name: "error-free-trials",
        about: "Independent trials without error that a claimed rate needs at 95 %",
        inputs: &[InputSpec::number("fmr", CHANCE, "rate claimed")],
        run: |args| {
            let trials = trials::error_free_trials(args.get("fmr")?).ok_or_else(nothing_to_count)?;
            args.answer(&trials::ERROR_FREE_TRIALS, trials)
        },
    },
    Calculator {
        name: "rule-of-thirty",
        about: "Trials that show a rate within 30 % at 90 %",
        inputs: &[InputSpec::number("error_rate", CHANCE, "rate to be shown")],
        run: |args| {
            let trials = trials::rule_of_thirty(args.get("error_rate")?).ok_or_else(nothing_to_count)?;
            args.answer(&trials::RULE_OF_THIRTY, trials)
        },
    },
    Calculator {
        name: "worst-attack-share",
        about: "Attack presentations accepted, by the worst kind of attack",
        inputs: &[InputSpec::series("accepted", "2/50|0/50|5/50", "accepted of presented, for each kind of attack")],
        run: worst_attack,
    },
    Calculator {
        name: "minutiae-record",
        about: "Bytes of a record of finger minutiae",
        inputs: &[
            InputSpec::word("format", &["iso-19794-2", "incits-378"], "record format").or("iso-19794-2"),
            InputSpec::count("views", (1.0, 100.0), "fingers, or views, in the record").or("1"),
            InputSpec::count("minutiae", (0.0, 255.0), "minutiae of each"),
        ],
        run: |args| {
            let iso = args.text("format")? == "iso-19794-2";
            let format = if iso { MinutiaeFormat::Iso19794 } else { MinutiaeFormat::Incits378 };
            let bytes = templates::minutiae_record(format, args.get("views")?, args.get("minutiae")?);
            args.answer(&templates::MINUTIAE_RECORD, bytes)
        },
    },
    Calculator {
        name: "template-store",
        about: "Bytes the templates of all users take",
        inputs: &[
            InputSpec::count("users", (0.0, 1e9), "people enrolled"),
            InputSpec::count("bytes_each", (0.0, 1e9), "bytes of templates for each"),
        ],
        run: |args| args.answer(&templates::STORE, args.get::<f64>("users")? * args.get::<f64>("bytes_each")?),
    },
    Calculator {
        name: "expected-refusals",
        about: "People expected to need another method, or entries expected to be refused falsely",
        inputs: &[
            InputSpec::count("users", (0.0, 1e9), "people to enrol").optional(),
            FTE.optional(),
            InputSpec::count("entries", (0.0, 1e9), "entries").optional(),
            InputSpec::number("frr", SHARE, "false rejection rate").optional(),
        ],
        run: |args| {
            let (count, rate) =
                if args.one_of(&["users", "entries"])? == "users" { ("users", "fte") } else { ("entries", "frr") };
            args.answer(&factors::EXPECTED, args.get::<f64>(count)? * args.get::<f64>(rate)?)
        },
    },
    Calculator {
        name: "trial-share",
        about: "Share of a trial that failed",
        inputs: &[
            InputSpec::count("failed", (0.0, 1e9), "people who failed"),
            InputSpec::count("base", (1.0, 1e9), "people who took part"),
        ],
        run: |args| args.answer(&trials::SHARE, args.get::<f64>("failed")? / args.get::<f64>("base")?),
    },
];

/// References enrolled: given, or so many for each person.
fn references(args: &Args) -> Result<(f64, Vec<Input>), CalcError> {
    if args.one_of(&["n", "persons"])? == "n" {
        return Ok((args.get("n")?, Vec::new()));
    }
    let references = args.get::<f64>("persons")? * args.get::<f64>("fingers_each")?;
    Ok((references, vec![Input::new("N", references, "")]))
}

fn nothing_to_count() -> CalcError {
    CalcError::NoAnswer { why: "nothing bounds it".to_owned(), remedy: "give a rate above 0" }
}

fn joined(args: &Args) -> Result<Working, CalcError> {
    let both_pass = args.text("pass")? == "both";
    let match_rate = args.one_of(&["fmr1", "fnmr1"])? == "fmr1";
    let (a, b) = if match_rate { ("fmr1", "fmr2") } else { ("fnmr1", "fnmr2") };
    let (a, b) = (args.get(a)?, args.get(b)?);
    // A wrong person passes both only by two errors; the right one is kept out of both by one.
    if match_rate == both_pass {
        args.answer(&factors::ALL_OF, factors::all_of(a, b))
    } else {
        args.answer(&factors::ANY_OF, factors::any_of(a, b))
    }
}

fn worst_attack(args: &Args) -> Result<Working, CalcError> {
    let shares: Vec<f64> = args.series("accepted", &[])?.into_iter().flatten().collect();
    if let Some(wrong) = shares.iter().find(|share| !(0.0..=1.0).contains(*share)) {
        return Err(CalcError::NoAnswer {
            why: format!("{wrong} is no share"),
            remedy: "write accepted/presented for each kind of attack",
        });
    }
    let worst = trials::worst_share(&shares).ok_or_else(nothing_to_count)?;
    args.answer(&trials::WORST_SHARE, worst)
}
