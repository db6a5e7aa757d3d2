//! The workings that figures on the papers link to.

use std::collections::BTreeSet;

use dw_core::{Input, InputValue, Working, natural_cmp};

use super::view::View;
use crate::model::{self, Block, Cell, Fact, Paper};

/// Workings of the figures on the papers; those of other figures stay with the design.
pub(super) fn linked(view: &View<'_>, papers: &[Paper]) -> Vec<model::Working> {
    let figures: BTreeSet<&str> = papers.iter().flat_map(|paper| &paper.blocks).flat_map(figures).collect();
    let named = view.design.workings.iter().filter(|working| figures.contains(working.figure.path()));
    let mut named: Vec<&Working> = named.collect();
    named.sort_by(|a, b| natural_cmp(a.figure.path(), b.figure.path()));
    named.into_iter().map(entry).collect()
}

fn figures(block: &Block) -> Vec<&str> {
    let cells: Vec<&Cell> = match block {
        Block::Facts(facts) => facts.iter().map(|fact| &fact.cell).collect(),
        Block::Table(table) => table.rows.iter().flat_map(|row| &row.cells).collect(),
        Block::Heading(_) | Block::Text(_) | Block::List(_) | Block::Caution(_) | Block::NewPage => Vec::new(),
    };
    cells.into_iter().filter_map(|cell| cell.figure.as_deref()).collect()
}

fn entry(working: &Working) -> model::Working {
    model::Working {
        id: working.figure.path().to_owned(),
        about: object(working),
        title: working.title.to_owned(),
        formula: working.formula.to_owned(),
        inputs: working.inputs.iter().map(input).collect(),
        result: fact(working.title, &working.value, working.unit),
        source: working.source.to_owned(),
    }
}

/// The object of a figure's path: "opening D-014"; empty for the job as a whole.
fn object(working: &Working) -> String {
    let mut parts = working.figure.path().splitn(2, '/');
    let (kind, rest) = (parts.next().unwrap_or(""), parts.next().unwrap_or(""));
    rest.rsplit_once('/').map_or_else(String::new, |(id, _)| format!("{kind} {id}"))
}

fn input(input: &Input) -> Fact {
    fact(input.name, &input.value, input.unit)
}

fn fact(label: &str, value: &InputValue, unit: &str) -> Fact {
    let cell = match value {
        InputValue::Text(text) => Cell::text(text),
        InputValue::Number(number) => Cell::number(*number, decimals(value)),
    };
    let fact = Fact::new(label, cell);
    if unit.is_empty() { fact } else { fact.in_unit(unit) }
}

/// Decimal places that a number is printed with: as many as its plain spelling has.
fn decimals(value: &InputValue) -> u8 {
    let plain = value.to_string();
    let fraction = plain.split_once('.').map_or(0, |(_, fraction)| fraction.len());
    u8::try_from(fraction).unwrap_or(u8::MAX)
}
