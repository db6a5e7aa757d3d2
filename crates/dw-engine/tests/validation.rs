//! Published problems, each put to a calculator: `validation/electrical.csv`.
//!
//! One row a case. `tolerance` is absolute, or relative when it ends in `%`; 0 means the printed digits. A case nobody
//! would compute carries a reason instead of a calculator. The table that a run prints is the one in
//! `docs/calculations/power.md`.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    reason = "it reads cases and a page; one that cannot be read fails its test"
)]

use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;

use dw_core::{InputValue, Working};
use dw_engine::calc;

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

fn cases() -> Vec<Case> {
    let mut reader = csv::Reader::from_path(root().join("validation/electrical.csv")).unwrap();
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
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
        })
        .collect()
}

/// The difference a tolerance allows.
fn allowed(expected: f64, tolerance: &str) -> f64 {
    let difference = match tolerance.strip_suffix('%') {
        Some(percent) => expected.abs() * percent.trim().parse::<f64>().unwrap() / 100.0,
        None if tolerance == "exact" => 0.0,
        None => tolerance.parse().unwrap(),
    };
    // Decimal fractions and unit factors are not exact in binary.
    difference + 1e-9 * expected.abs().max(1.0)
}

/// Whether the unit of an answer is the unit a case names.
fn same_unit(case: &str, answer: &str) -> bool {
    let plain = match case {
        "-" | "count" => "",
        "ohm" => "Ω",
        "ohm/kft" => "ohm_per_kft",
        "W/ft2" => "w_per_ft2",
        "F" => "f",
        other => other,
    };
    plain == answer
}

fn agrees(case: &Case, working: &Working) -> bool {
    let value = match &working.value {
        InputValue::Text(text) => return *text == case.expected,
        InputValue::Number(number) => *number,
    };
    let expected: f64 = case.expected.parse().unwrap();
    same_unit(&case.unit, working.unit) && (value - expected).abs() <= allowed(expected, &case.tolerance)
}

/// The row of the printed table.
fn row(case: &Case, answer: &str) -> String {
    let calculator =
        if case.calculator.is_empty() { format!("skipped: {}", case.skipped_because) } else { case.calculator.clone() };
    let Case { id, expected, unit, tolerance, source, .. } = case;
    format!("| {id} | {calculator} | {expected} | {answer} | {unit} | {tolerance} | {source} |")
}

#[test]
fn every_published_electrical_case_is_met_by_a_calculator_and_stands_on_the_page() {
    let page = std::fs::read_to_string(root().join("docs/calculations/power.md")).unwrap();
    let mut failed = Vec::new();
    println!("| case | calculator | expected | answer | unit | tolerance | source |");
    println!("| --- | --- | ---: | ---: | --- | ---: | --- |");
    for case in cases() {
        if case.calculator.is_empty() {
            assert!(!case.skipped_because.is_empty(), "{} has neither calculator nor reason", case.id);
            println!("{}", row(&case, ""));
            continue;
        }
        match calc::run_line(&case.calculator, &case.inputs) {
            Ok(working) => {
                let row = row(&case, &working.value.to_string());
                println!("{row}");
                assert!(!working.source.is_empty() && !working.formula.is_empty(), "{}", case.id);
                if !agrees(&case, &working) {
                    let (got, unit) = (&working.value, working.unit);
                    failed.push(format!("{}: {got} {unit}, expected {} {}", case.id, case.expected, case.unit));
                }
                if !page.contains(&row) {
                    failed.push(format!("{}: docs/calculations/power.md does not show this row: {row}", case.id));
                }
            }
            Err(error) => failed.push(format!("{}: {error}", case.id)),
        }
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}

#[test]
fn a_wrong_expectation_would_be_noticed() {
    let working = calc::run_line("heat-load", "power_w=100").unwrap();
    let case = |expected: &str, unit: &str, tolerance: &str| Case {
        id: String::new(),
        calculator: String::new(),
        inputs: String::new(),
        expected: expected.to_owned(),
        unit: unit.to_owned(),
        tolerance: tolerance.to_owned(),
        source: String::new(),
        skipped_because: String::new(),
    };
    assert!(agrees(&case("341.214", "BTU/h", "0.01"), &working));
    assert!(agrees(&case("341", "BTU/h", "1 %"), &working));
    assert!(!agrees(&case("341.3", "BTU/h", "0.01"), &working));
    assert!(!agrees(&case("341.214", "W", "0.01"), &working));
}

#[test]
fn the_validation_file_holds_every_case_of_the_reference() {
    let reference = root().join("../shared/reference/cases/electrical.csv");
    if !reference.exists() {
        println!("the reference cases are not beside the repository: coverage is not checked in this run");
        return;
    }
    let ours: BTreeMap<String, Case> = cases().into_iter().map(|case| (case.id.clone(), case)).collect();
    let mut reader = csv::Reader::from_path(reference).unwrap();
    let mut seen = BTreeSet::new();
    for record in reader.records() {
        let record = record.unwrap();
        let case = ours.get(&record[0]).unwrap_or_else(|| panic!("{} is missing", &record[0]));
        assert_eq!(
            (&case.expected[..], &case.unit[..], &case.tolerance[..]),
            (&record[3], &record[4], &record[5]),
            "{}",
            case.id
        );
        seen.insert(case.id.clone());
    }
    assert!(seen.len() > 70);
}
