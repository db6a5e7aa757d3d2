//! Tables for the template: widths of the columns, cells cut to them.

use super::data::{CellData, INSET_PT, Setter, TABLE_PT};
use super::fit::{Fitted, Place, share_width};
use crate::Error;
use crate::model::{Cell, Column, ColumnKind, Row, RowKind, Table, Value};
use serde::Serialize;

/// Most lines of a cell: a row never breaks across pages, so the tallest must fit one with its table head.
const CELL_LINES: u32 = 30;

/// The longest word that a column of words is widened for; a longer one is divided instead.
const WORD_PT: f64 = 60.0;

#[derive(Debug, Serialize)]
pub(super) struct TableData {
    title: Fitted,
    widths: Vec<f64>,
    right: Vec<bool>,
    head: Vec<Fitted>,
    rows: Vec<RowData>,
}

#[derive(Debug, Serialize)]
struct RowData {
    kind: &'static str,
    cells: Vec<CellData>,
}

/// The table, printed and cut for a page of this width.
pub(super) fn table(setter: &Setter<'_>, table: &Table, width: f64, currency: &str) -> Result<TableData, Error> {
    table.check()?;
    let heads: Vec<String> = table.columns.iter().map(|column| column.heading(currency)).collect();
    let widths = column_widths(setter, table, &heads, width);
    let fit = |text: &str, width_pt: f64, bold: bool| {
        let place = Place { width_pt: width_pt - 2.0 * INSET_PT, size_pt: TABLE_PT, bold, max_lines: Some(CELL_LINES) };
        setter.ruler.fit(text, place)
    };
    let row = |row: &Row| {
        let bold = row.kind != RowKind::Normal;
        let cell = |(cell, column_pt): (&Cell, &f64)| {
            let width_pt = if row.kind == RowKind::Group { width } else { *column_pt };
            CellData { text: fit(&setter.printer.bare(&cell.value), width_pt, bold), link: setter.link(cell) }
        };
        let empty = Cell::empty();
        let filled = row.cells.iter().chain(std::iter::repeat(&empty));
        let n_cells = if row.kind == RowKind::Group { 1 } else { widths.len() };
        RowData { kind: kind(row.kind), cells: filled.zip(&widths).take(n_cells).map(cell).collect() }
    };
    Ok(TableData {
        title: fit(&table.title, width, true),
        right: table.columns.iter().map(|column| is_right(column)).collect(),
        head: heads.iter().zip(&widths).map(|(head, width_pt)| fit(head, *width_pt, true)).collect(),
        rows: table.rows.iter().map(row).collect(),
        widths,
    })
}

fn kind(kind: RowKind) -> &'static str {
    match kind {
        RowKind::Normal => "normal",
        RowKind::Group => "group",
        RowKind::Total => "total",
    }
}

fn is_right(column: &Column) -> bool {
    matches!(column.kind, ColumnKind::Number | ColumnKind::Money)
}

/// Widths by weight, but wide enough for every figure, because a figure cut in two misleads; and wide enough for usual
/// words as long as the page has room for that.
fn column_widths(setter: &Setter<'_>, table: &Table, heads: &[String], width: f64) -> Vec<f64> {
    let mut figures = vec![0.0; table.columns.len()];
    let mut words: Vec<f64> = heads.iter().map(|head| longest_word(setter, head, true)).collect();
    for row in table.rows.iter().filter(|row| row.kind != RowKind::Group) {
        let bold = row.kind == RowKind::Total;
        for (cell, (figure, word)) in row.cells.iter().zip(figures.iter_mut().zip(&mut words)) {
            let printed = setter.printer.bare(&cell.value);
            match cell.value {
                Value::Empty => {}
                Value::Text(_) => *word = f64::max(*word, longest_word(setter, &printed, bold)),
                _ => *figure = f64::max(*figure, setter.ruler.width_pt(&printed, TABLE_PT, bold)),
            }
        }
    }
    // The cut leaves a little of each line free, so the need is a little more than the text.
    let need = |text_pt: f64| if text_pt > 0.0 { text_pt * 1.06 + 2.0 * INSET_PT } else { 0.0 };
    let weights: Vec<f64> = table.columns.iter().map(|column| column.weight).collect();
    let hard: Vec<f64> = figures.iter().map(|figure| need(*figure).min(width * 0.4)).collect();
    let soft: Vec<f64> = hard.iter().zip(&words).map(|(hard, word)| f64::max(*hard, need(*word))).collect();
    let needs = if soft.iter().sum::<f64>() < width { soft } else { hard };
    share_width(width, &weights, &needs)
}

fn longest_word(setter: &Setter<'_>, text: &str, bold: bool) -> f64 {
    let widths = text.split_whitespace().map(|word| setter.ruler.width_pt(word, TABLE_PT, bold));
    widths.filter(|width| *width <= WORD_PT).fold(0.0, f64::max)
}
