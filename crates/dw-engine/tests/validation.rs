//! Published problems, each put to a calculator: the files of `validation/`.
//!
//! One row a case. `tolerance` is absolute, with `%` relative, with a unit absolute in the unit of the case; `exact` and
//! 0 mean the printed digits, or for words the outcome before any bracket. Where `expected` is a list between `;`, so
//! may `tolerance` be. A case nobody would compute carries a reason instead of a calculator. The tables that a run
//! prints are those in `docs/calculations/`.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::print_stdout,
    reason = "it reads cases and pages, one that cannot be read fails its test, and prints the tables for the pages"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use dw_core::{InputValue, Working};
use dw_engine::calc;

/// Files of the reference, all of whose cases stand in `validation/`.
const REFERENCE: [&str; 2] = ["electrical.csv", "data.csv"];

/// One row of a validation file.
struct Case {
    id: String,
    calculator: String,
    inputs: String,
    expected: String,
    unit: String,
    tolerance: String,
    source: String,
    skipped_because: String,
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// The files of a folder with this ending, in order of their names.
fn files(folder: &Path, ending: &str) -> Vec<PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut files: Vec<PathBuf> = entries.filter(|path| path.extension().is_some_and(|it| it == ending)).collect();
    files.sort();
    files
}

fn cases_of(file: &Path) -> Vec<Case> {
    let mut reader = csv::Reader::from_path(file).unwrap();
    let case = |record: csv::StringRecord| {
        let field = |column: usize| record[column].to_owned();
        Case {
            id: field(0),
            calculator: field(1),
            inputs: field(2),
            expected: field(3),
            unit: field(4),
            tolerance: field(5),
            source: field(6),
            skipped_because: field(7),
        }
    };
    reader.records().map(|record| case(record.unwrap())).collect()
}

/// The difference a tolerance allows.
fn allowed(expected: f64, tolerance: &str, unit: &str) -> f64 {
    let number = |text: &str| text.trim().parse::<f64>().unwrap();
    let difference = match (tolerance.strip_suffix('%'), tolerance.split_once(' ')) {
        (Some(percent), _) => expected.abs() * number(percent) / 100.0,
        _ if tolerance == "exact" => 0.0,
        (None, Some((difference, its_unit))) => {
            // Levels in dBm and gains in dBi differ by decibels.
            let unit = if unit.starts_with("dB") { "dB" } else { unit };
            assert_eq!(its_unit, unit, "a tolerance is in the unit of its case");
            number(difference)
        }
        (None, None) => number(tolerance),
    };
    // Decimal fractions and unit factors are not exact in binary.
    difference + 1e-9 * expected.abs() + 1e-12
}

/// Whether the unit of an answer is the unit a case names; what is counted and shares of one have none.
fn same_unit(case: &str, answer: &str) -> bool {
    let plain = match outcome(case) {
        "-" | "count" | "codes" | "cards" | "readers" | "devices" | "switches" | "hosts" | "persons" | "trials"
        | "events" | "probability" | "proportion" | "N*FMR" => "",
        "ohm" => "Ω",
        "ohm/kft" => "ohm_per_kft",
        "W/ft2" => "w_per_ft2",
        "F" => "f",
        other => other,
    };
    plain == answer
}

/// Words before any bracket.
fn outcome(words: &str) -> &str {
    words.split('(').next().unwrap_or_default().trim()
}

fn agrees(case: &Case, working: &Working) -> bool {
    let tolerances: Vec<&str> = case.tolerance.split(';').map(str::trim).collect();
    let tolerance = |index: usize| tolerances.get(index).copied().unwrap_or(tolerances[0]);
    let near = |value: f64, expected: f64, tolerance: &str| {
        (value - expected).abs() <= allowed(expected, tolerance, &case.unit)
    };
    match &working.value {
        InputValue::Number(number) => {
            let expected = outcome(&case.expected).parse().unwrap();
            same_unit(&case.unit, working.unit) && near(*number, expected, &case.tolerance)
        }
        // Digits that are words, such as the bits of a frame, are held to the letter.
        InputValue::Text(text) if !outcome(&case.expected).contains(';') => outcome(text) == outcome(&case.expected),
        InputValue::Text(text) => {
            let (got, expected): (Vec<&str>, Vec<&str>) =
                (text.split(';').collect(), case.expected.split(';').collect());
            got.len() == expected.len()
                && got.iter().zip(expected).enumerate().all(|(index, (got, expected))| {
                    match (got.trim().parse::<f64>(), expected.trim().parse::<f64>()) {
                        (Ok(got), Ok(expected)) => near(got, expected, tolerance(index)),
                        _ => outcome(got) == outcome(expected),
                    }
                })
        }
    }
}

/// The row of the printed table.
fn row(case: &Case, answer: &str) -> String {
    let calculator =
        if case.calculator.is_empty() { format!("skipped: {}", case.skipped_because) } else { case.calculator.clone() };
    let Case { id, expected, unit, tolerance, source, .. } = case;
    format!("| {id} | {calculator} | {expected} | {answer} | {unit} | {tolerance} | {source} |")
}

#[test]
fn every_published_case_is_met_by_a_calculator_and_stands_on_a_page() {
    let pages: String = files(&root().join("docs/calculations"), "md")
        .iter()
        .map(|page| std::fs::read_to_string(page).unwrap())
        .collect();
    let mut failed = Vec::new();
    for file in files(&root().join("validation"), "csv") {
        println!("\n| case | calculator | expected | answer | unit | tolerance | source |");
        println!("| --- | --- | ---: | ---: | --- | ---: | --- |");
        failed.extend(cases_of(&file).iter().filter_map(|case| fault(case, &pages)));
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

/// What is wrong with a case, if anything; prints its row.
fn fault(case: &Case, pages: &str) -> Option<String> {
    if case.calculator.is_empty() {
        assert!(!case.skipped_because.is_empty(), "{} has neither calculator nor reason", case.id);
        println!("{}", row(case, ""));
        return None;
    }
    let working = match calc::run_line(&case.calculator, &case.inputs) {
        Ok(working) => working,
        Err(error) => return Some(format!("{}: {error}", case.id)),
    };
    let row = row(case, &working.value.to_string());
    println!("{row}");
    assert!(!working.source.is_empty() && !working.formula.is_empty(), "{}", case.id);
    if !agrees(case, &working) {
        let (got, unit) = (&working.value, working.unit);
        return Some(format!("{}: {got} {unit}, expected {} {}", case.id, case.expected, case.unit));
    }
    (!pages.contains(&row)).then(|| format!("{}: no page of docs/calculations shows this row: {row}", case.id))
}

/// A case that expects this and nothing else.
fn case(expected: &str, unit: &str, tolerance: &str) -> Case {
    Case {
        id: String::new(),
        calculator: String::new(),
        inputs: String::new(),
        expected: expected.to_owned(),
        unit: unit.to_owned(),
        tolerance: tolerance.to_owned(),
        source: String::new(),
        skipped_because: String::new(),
    }
}

#[test]
fn a_wrong_expectation_would_be_noticed() {
    let working = calc::run_line("heat-load", "power_w=100").unwrap();
    assert!(agrees(&case("341.214", "BTU/h", "0.01"), &working));
    assert!(agrees(&case("341", "BTU/h", "1 %"), &working));
    assert!(!agrees(&case("341.3", "BTU/h", "0.01"), &working));
    assert!(!agrees(&case("341.214", "W", "0.01"), &working));
}

#[test]
fn words_lists_and_tolerances_with_a_unit_are_compared_as_the_cases_mean_them() {
    let answer = |value: InputValue, unit: &'static str| {
        let figure = dw_core::FigureId::new("calc", "", "x");
        Working { figure, title: "", value, unit, formula: "", inputs: Vec::new(), source: "" }
    };
    let words = |text: &str| answer(text.into(), "");
    assert!(agrees(&case("reject (parity)", "", "exact"), &words("reject (bit 25 is wrong)")));
    assert!(!agrees(&case("reject (parity)", "", "exact"), &words("accept (parity)")));
    assert!(!agrees(&case("0001", "bits", "exact"), &words("1")));
    assert!(agrees(&case("1.5;20", "s", "0.1;5 %"), &words("1.45; 20.9")));
    assert!(!agrees(&case("1.5;20", "s", "0.1;5 %"), &words("1.45;21.1")));
    assert!(!agrees(&case("1.5;20", "s", "0.1;5 %"), &words("1.45")));
    let level = answer(89.73.into(), "dB");
    assert!(agrees(&case("89.68", "dB", "0.06 dB"), &level));
    assert!(!agrees(&case("89.66", "dB", "0.06 dB"), &level));
    assert!(!agrees(&case("1e-7", "probability", "0.5%"), &answer(1.01e-7.into(), "")));
}

#[test]
fn the_validation_files_hold_every_case_of_the_reference() {
    let reference = root().join("../shared/reference/cases");
    if !reference.exists() {
        println!("the reference cases are not beside the repository: coverage is not checked in this run");
        return;
    }
    let all = files(&root().join("validation"), "csv").into_iter().flat_map(|file| cases_of(&file));
    let ours: BTreeMap<String, Case> = all.map(|case| (case.id.clone(), case)).collect();
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    for file in REFERENCE {
        for record in csv::Reader::from_path(reference.join(file)).unwrap().records() {
            let record = record.unwrap();
            let asked = (&record[3], &record[4], &record[5]);
            match ours.get(&record[0]) {
                Some(case) if (&case.expected[..], &case.unit[..], &case.tolerance[..]) == asked => {}
                Some(_) => wrong.push(format!("{} expects something else than the reference", &record[0])),
                None => wrong.push(format!("{} is missing", &record[0])),
            }
            assert!(seen.insert(record[0].to_owned()), "{} stands twice in the reference", &record[0]);
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(seen.len() > 200);
}

#[test]
fn every_case_has_an_id_of_its_own() {
    let all = files(&root().join("validation"), "csv").into_iter().flat_map(|file| cases_of(&file));
    let mut seen = BTreeSet::new();
    for case in all {
        assert!(seen.insert(case.id.clone()), "{} stands twice", case.id);
    }
    assert!(!seen.is_empty());
}
