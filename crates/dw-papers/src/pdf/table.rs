//! Tables for the template: widths of the columns, cells cut to them.

use super::data::{BODY_PT, CellData, INSET_PT, Setter, TABLE_PT};
use super::fit::{Fitted, Place, share_width};
use crate::Error;
use crate::model::{Cell, Column, Row, RowKind, Table, Value};
use serde::Serialize;

/// Most lines of a cell, of a head and of a group title. A row never breaks across pages: all three together must fit
/// the lowest sheet, Letter lying across with some 480 points of height for 9.5 points a line.
const CELL_LINES: u32 = 30;
const HEAD_LINES: u32 = 5;
const TITLE_LINES: u32 = 2;

/// The longest word that a column of words is widened for; a longer one is divided instead.
const WORD_PT: f64 = 60.0;

/// Room for two or three characters, which even an empty column gets.
const MIN_TEXT_PT: f64 = 2.0 * TABLE_PT;

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
    /// Where a link to this row leads.
    #[serde(skip_serializing_if = "Option::is_none")]
    anchor: Option<String>,
}

impl TableData {
    /// Gives each row in turn an anchor to link to.
    pub(super) fn anchor_rows(&mut self, anchors: impl Iterator<Item = String>) {
        for (row, anchor) in self.rows.iter_mut().zip(anchors) {
            row.anchor = Some(anchor);
        }
    }
}

/// The table, printed and cut for a page of this width.
pub(super) fn table(setter: &Setter<'_>, table: &Table, width: f64, currency: &str) -> Result<TableData, Error> {
    table.check()?;
    let heads: Vec<String> = table.columns.iter().map(|column| column.heading(currency)).collect();
    let widths = column_widths(setter, table, &heads, width);
    let place = |width_pt: f64, bold: bool, lines: u32| Place {
        width_pt: width_pt - 2.0 * INSET_PT,
        size_pt: TABLE_PT,
        bold,
        max_lines: Some(lines),
    };
    let row = |row: &Row| {
        let bold = row.kind != RowKind::Normal;
        let cell = |(cell, column_pt): (&Cell, &f64)| {
            let group = row.kind == RowKind::Group;
            let (width_pt, lines) = if group { (width, TITLE_LINES) } else { (*column_pt, CELL_LINES) };
            let text = setter.ruler.fit(&setter.printer.bare(&cell.value), place(width_pt, bold, lines));
            CellData { text, link: setter.link(cell) }
        };
        let empty = Cell::empty();
        let filled = row.cells.iter().chain(std::iter::repeat(&empty));
        let n_cells = if row.kind == RowKind::Group { 1 } else { widths.len() };
        RowData { kind: kind(row.kind), cells: filled.zip(&widths).take(n_cells).map(cell).collect(), anchor: None }
    };
    Ok(TableData {
        title: setter.bold(&table.title, width, BODY_PT, TITLE_LINES),
        right: table.columns.iter().map(Column::is_right).collect(),
        head: heads
            .iter()
            .zip(&widths)
            .map(|(head, width_pt)| setter.ruler.fit_label(head, place(*width_pt, true, HEAD_LINES)))
            .collect(),
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
    let need = |text_pt: f64| f64::max(text_pt, MIN_TEXT_PT) * 1.06 + 2.0 * INSET_PT;
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
