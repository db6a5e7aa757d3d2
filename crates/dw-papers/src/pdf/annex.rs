//! The workings annex: figures found by one formula stand in one table, a row for each, so that an engineer can read
//! down a column and see what is odd.

use super::data::{BlockData, Setter, TABLE_PT, anchor};
use super::table;
use crate::Error;
use crate::model::{Cell, Column, ColumnKind, Fact, Row, Table, Value, Working};

/// Widest and narrowest share of the page that a column of words asks for, in characters.
const WORDS: (usize, usize) = (6, 40);

/// Share of the page that a column of numbers asks for, in characters.
const DIGITS: f64 = 8.0;

/// Most lines of a formula and of its source.
const LINES: u32 = 12;

/// The annex, group by group in the order in which formulas first appear.
pub(super) fn annex(setter: &Setter<'_>, workings: &[Working], width: f64) -> Result<Vec<BlockData>, Error> {
    let mut blocks = Vec::new();
    for group in groups(workings) {
        let first = group[0].1;
        let fit = |text: &str| setter.text(text, width, TABLE_PT, Some(LINES));
        let rows = table_of(&group);
        let mut data = table::table(setter, &rows, width, setter.currency())?;
        data.anchor_rows(group.iter().map(|(idx, _)| anchor(*idx)));
        blocks.push(BlockData::Formula {
            title: setter.bold(&first.title, width, TABLE_PT + 1.0, 2),
            formula: fit(&first.formula),
            source: fit(&format!("Source: {}", first.source)),
        });
        blocks.push(BlockData::Table(data));
    }
    Ok(blocks)
}

/// A working with its place in the binder.
type Numbered<'a> = (usize, &'a Working);

/// Workings by formula.
fn groups(workings: &[Working]) -> Vec<Vec<Numbered<'_>>> {
    let mut groups: Vec<Vec<Numbered<'_>>> = Vec::new();
    let mut known = std::collections::BTreeMap::new();
    for (idx, working) in workings.iter().enumerate() {
        let place = *known.entry(kind(working)).or_insert(groups.len());
        match groups.get_mut(place) {
            Some(group) => group.push((idx, working)),
            None => groups.push(vec![(idx, working)]),
        }
    }
    groups
}

/// What workings share that may stand in one table.
fn kind(working: &Working) -> (Vec<&str>, Vec<(&str, Option<&str>)>) {
    let columns = working.inputs.iter().chain([&working.result]);
    let words = vec![working.title.as_str(), &working.formula, &working.source];
    (words, columns.map(|fact| (fact.label.as_str(), fact.unit.as_deref())).collect())
}

/// One row a working: what it is about, the inputs, the result.
fn table_of(group: &[Numbered<'_>]) -> Table {
    let first = group[0].1;
    let about: Vec<usize> = group.iter().map(|(_, working)| working.about.chars().count()).collect();
    let mut columns = Vec::new();
    if about.iter().any(|length| *length > 0) {
        columns.push(Column::text("For", weight(about.into_iter().max().unwrap_or(0))));
    }
    let has_about = !columns.is_empty();
    for idx in 0..=first.inputs.len() {
        let facts: Vec<&Fact> = group.iter().filter_map(|(_, working)| fact(working, idx)).collect();
        let title = first.inputs.get(idx).map_or("Result", |input| input.label.as_str());
        columns.extend(facts.first().map(|fact| column(title, fact, &facts)));
    }
    let digits: Vec<u8> = (0..=first.inputs.len()).map(|idx| digits(group, idx)).collect();
    let row = |(_, working): &Numbered<'_>| {
        let about = has_about.then(|| Cell::text(&working.about));
        let facts = working.inputs.iter().chain([&working.result]).zip(&digits);
        Row::new(about.into_iter().chain(facts.map(|(fact, digits)| with_digits(&fact.cell, *digits))).collect())
    };
    Table { id: "workings".to_owned(), title: String::new(), columns, rows: group.iter().map(row).collect() }
}

/// The input of this number, or the result after the last of them.
fn fact(working: &Working, idx: usize) -> Option<&Fact> {
    working.inputs.get(idx).or_else(|| (idx == working.inputs.len()).then_some(&working.result))
}

/// Decimal places of a column: as many as any of its numbers has, but no more than five significant digits of the
/// largest and three of the smallest need.
fn digits(group: &[Numbered<'_>], idx: usize) -> u8 {
    let (mut most, mut largest, mut smallest) = (0, 0.0_f64, f64::INFINITY);
    for cell in group.iter().filter_map(|(_, working)| fact(working, idx)).map(|fact| &fact.cell) {
        if let Value::Number { value, digits } = cell.value {
            most = most.max(digits);
            largest = largest.max(value.abs());
            smallest = if value == 0.0 { smallest } else { smallest.min(value.abs()) };
        }
    }
    let small = if smallest.is_finite() { decimals(3, smallest) } else { 0 };
    most.min(decimals(5, largest).max(small))
}

/// Decimal places that show so many significant digits of a number.
fn decimals(significant: i32, value: f64) -> u8 {
    let scientific = format!("{value:e}");
    let exponent = scientific.split_once('e').and_then(|(_, exponent)| exponent.parse().ok()).unwrap_or(0);
    u8::try_from(significant.saturating_sub(1).saturating_sub(exponent).max(0)).unwrap_or(u8::MAX)
}

fn with_digits(cell: &Cell, digits: u8) -> Cell {
    match cell.value {
        Value::Number { value, .. } => Cell { value: Value::Number { value, digits }, figure: cell.figure.clone() },
        _ => cell.clone(),
    }
}

fn column(title: &str, first: &Fact, facts: &[&Fact]) -> Column {
    let longest = |fact: &&Fact| if let Value::Text(text) = &fact.cell.value { text.chars().count() } else { 0 };
    let words = facts.iter().map(longest).max().unwrap_or(0);
    let (kind, weight) = if words > 0 { (ColumnKind::Text, weight(words)) } else { (ColumnKind::Number, DIGITS) };
    Column { title: title.to_owned(), unit: first.unit.clone(), kind, weight }
}

fn weight(characters: usize) -> f64 {
    characters.clamp(WORDS.0, WORDS.1) as f64
}

#[cfg(test)]
mod tests {
    use super::*;

    fn working(about: &str, title: &str, result: f64) -> Working {
        Working {
            id: format!("{about}/{title}"),
            about: about.to_owned(),
            title: title.to_owned(),
            formula: "a + b".to_owned(),
            inputs: vec![Fact::new("a", Cell::text("table 8")), Fact::new("b", Cell::number(1.0, 1)).in_unit("V")],
            result: Fact::new("sum", Cell::number(result, 1)).in_unit("V"),
            source: "arithmetic".to_owned(),
        }
    }

    #[test]
    fn figures_of_one_formula_share_a_table_and_keep_their_places() {
        let all = [working("D-1", "Drop", 1.0), working("E-1", "Load", 2.0), working("D-2", "Drop", 3.0)];
        let groups = groups(&all);
        let places: Vec<Vec<usize>> = groups.iter().map(|group| group.iter().map(|(idx, _)| *idx).collect()).collect();
        assert_eq!(places, [vec![0, 2], vec![1]]);
        let table = table_of(&groups[0]);
        let heads: Vec<String> = table.columns.iter().map(|column| column.heading("EUR")).collect();
        assert_eq!(heads, ["For", "a", "b (V)", "Result (V)"]);
        assert_eq!(table.columns[1].kind, ColumnKind::Text);
        assert_eq!(table.rows[1].cells[3], Cell::number(3.0, 1));
    }

    #[test]
    fn a_column_shows_five_digits_of_its_largest_and_three_of_its_smallest_number() {
        let column = |values: &[f64]| {
            let workings: Vec<Working> = values
                .iter()
                .map(|value| Working {
                    result: Fact::new("sum", Cell::number(*value, 9)),
                    ..working("D-1", "Drop", 0.0)
                })
                .collect();
            let group: Vec<Numbered<'_>> = workings.iter().enumerate().collect();
            digits(&group, 2)
        };
        assert_eq!(column(&[20.066_8, 83.187_6]), 3);
        assert_eq!(column(&[1_459.52, 17.349_4]), 1);
        assert_eq!(column(&[0.205_383, 0.052_836_9, 0.0]), 5);
        assert_eq!(column(&[1_000.0, 0.001_234]), 5);
        assert_eq!(column(&[0.0]), 4);
    }
}
