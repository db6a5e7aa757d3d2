//! `calc`: every calculator by itself, one case or many.

use std::fmt::Write as _;
use std::path::Path;

use anyhow::Context as _;
use dw_core::Working;
use dw_engine::calc::{self, Calculator};
use serde_json::{Value as Json, json};

use crate::args::CalcArgs;
use crate::{Outcome, files, show};

/// Runs a calculator, or lists what there is.
pub fn run(args: &CalcArgs, as_json: bool) -> anyhow::Result<Outcome> {
    if let Some(path) = &args.cases {
        return cases(path, as_json);
    }
    let Some(name) = &args.name else {
        return list(as_json);
    };
    if args.inputs.is_empty() {
        let calculator = calc::find(name)?;
        if as_json {
            show::json(&described(calculator))?;
        } else {
            show::text(&usage(calculator))?;
        }
        return Ok(Outcome::Clear);
    }
    let working = calc::run(name, args.inputs.iter().map(String::as_str))?;
    if as_json {
        show::json(&answer(&working))?;
    } else {
        show::text(&show::working(&working))?;
    }
    Ok(Outcome::Clear)
}

fn answer(working: &Working) -> Json {
    json!({ "value": working.value, "unit": working.unit, "working": working })
}

fn list(as_json: bool) -> anyhow::Result<Outcome> {
    if as_json {
        show::json(&calc::CALCULATORS.iter().map(described).collect::<Vec<_>>())?;
    } else {
        let line = |calculator: &Calculator| format!("{:<34} {}\n", calculator.name, calculator.about);
        show::text(&calc::CALCULATORS.iter().map(line).collect::<String>())?;
    }
    Ok(Outcome::Clear)
}

fn described(calculator: &Calculator) -> Json {
    let input = |input: &calc::InputSpec| json!({ "keys": input.keys(), "meaning": input.meaning() });
    let inputs: Vec<Json> = calculator.inputs.iter().map(input).collect();
    json!({ "name": calculator.name, "about": calculator.about, "inputs": inputs })
}

fn usage(calculator: &Calculator) -> String {
    let mut out = format!("{}: {}\n\nInputs:\n", calculator.name, calculator.about);
    for input in calculator.inputs {
        let _ = writeln!(out, "  {}\n      {}", input.keys().join(" | "), input.meaning());
    }
    out
}

/// Runs every row; a row that fails says so and the others still run.
fn cases(path: &Path, as_json: bool) -> anyhow::Result<Outcome> {
    let text = files::text(path)?;
    let mut reader = csv::ReaderBuilder::new().trim(csv::Trim::All).comment(Some(b'#')).from_reader(text.as_bytes());
    let headers = reader.headers().with_context(|| format!("cannot read {}", path.display()))?.clone();
    let column = |title: &str| {
        let found = headers.iter().position(|header| header.eq_ignore_ascii_case(title));
        found.with_context(|| {
            format!("{}: there is no column \"{title}\" (wanted: id, calculator, inputs)", path.display())
        })
    };
    let (id, calculator, inputs) = (column("id")?, column("calculator")?, column("inputs")?);
    let mut answers = Vec::new();
    let mut failed = 0;
    for record in reader.records() {
        let record = record.with_context(|| format!("cannot read {}", path.display()))?;
        let cell = |column: usize| record.get(column).unwrap_or_default();
        let result = calc::run_line(cell(calculator), cell(inputs));
        failed += usize::from(result.is_err());
        answers.push((cell(id).to_owned(), cell(calculator).to_owned(), result));
    }
    if as_json {
        let rows: Vec<Json> = answers.iter().map(|(id, name, result)| case_json(id, name, result.as_ref())).collect();
        show::json(&rows)?;
    } else {
        let lines = answers.iter().map(|(id, name, result)| match result {
            Ok(working) => format!("{id:<14} {name:<30} {} {}\n", working.value, working.unit),
            Err(error) => format!("{id:<14} {name:<30} error: {error}\n"),
        });
        show::text(&lines.collect::<String>())?;
    }
    if failed > 0 && !as_json {
        show::text(&format!("{failed} of {} cases could not be computed\n", answers.len()))?;
    }
    Ok(if failed > 0 { Outcome::Failed } else { Outcome::Clear })
}

fn case_json(id: &str, calculator: &str, result: Result<&Working, &calc::CalcError>) -> Json {
    match result {
        Ok(working) => {
            json!({ "id": id, "calculator": calculator, "value": working.value, "unit": working.unit, "working": working })
        }
        Err(error) => json!({ "id": id, "calculator": calculator, "error": error.to_string() }),
    }
}
