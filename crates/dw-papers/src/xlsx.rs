//! Tables as a workbook: one sheet per table behind a first sheet that identifies the issue.
//!
//! Numbers, money and dates are real values with number formats, so they sort and sum; the program that opens the
//! workbook shows them in its user's locale. Text is written as text and marked so that editing a cell cannot turn it
//! into a formula. A spreadsheet holds numbers as binary doubles: amounts are exact to the cent up to about 10^13.

use crate::Error;
use crate::locale::{currency_digits, plain_amount};
use crate::model::{Binder, Block, Cell, Column, Date, RowKind, Table, TitleBlock, Value};
use rust_xlsxwriter::{DocProperties, ExcelDateTime, Format, FormatAlign, FormatBorder, Url, Workbook, Worksheet};
use std::collections::BTreeSet;

/// Most UTF-16 units of a sheet name and of a cell (limits of the programs that read the format, *from memory*).
const NAME_CHARS: usize = 31;
const CELL_CHARS: usize = 32_767;

/// Widths in characters that a column is held between.
const MIN_WIDTH: usize = 6;
const MAX_WIDTH: usize = 48;

/// Name of the first sheet.
const FIRST_SHEET: &str = "Issue";

/// Every table of the binder as one workbook, the same bytes for the same binder.
pub fn write_xlsx(binder: &Binder) -> Result<Vec<u8>, Error> {
    let tables = named_tables(binder);
    let mut workbook = Workbook::new();
    workbook.set_properties(&properties(&binder.title_block)?);
    first_sheet(workbook.add_worksheet(), binder, &tables)?;
    for (name, table) in &tables {
        let sheet = workbook.add_worksheet();
        sheet.set_name(name)?;
        table_sheet(sheet, table, &binder.title_block)?;
    }
    Ok(workbook.save_to_buffer()?)
}

fn properties(block: &TitleBlock) -> Result<DocProperties, Error> {
    // Without a date the library would write the time of day, and no two files would be alike.
    let midnight =
        block.issue_date.map_or_else(|| ExcelDateTime::from_timestamp(0).map_err(Error::from), date_value)?;
    Ok(DocProperties::new()
        .set_title(shortened(&block.job_title, 255))
        .set_author(shortened(&block.prepared_by, 255))
        .set_creation_datetime(&midnight))
}

/// The tables in order, each with a sheet name that no other has.
fn named_tables(binder: &Binder) -> Vec<(String, &Table)> {
    let mut taken = BTreeSet::from([FIRST_SHEET.to_lowercase()]);
    let blocks = binder.papers.iter().flat_map(|paper| &paper.blocks);
    let tables = blocks.filter_map(|block| if let Block::Table(table) = block { Some(table) } else { None });
    tables.map(|table| (sheet_name(&table.title, &mut taken), table)).collect()
}

/// A name the format allows: up to 31 characters, none of `[]:*?/\`, no apostrophe at the ends, case ignored.
fn sheet_name(title: &str, taken: &mut BTreeSet<String>) -> String {
    let clean: String =
        title.chars().map(|c| if c.is_control() || "[]:*?/\\'".contains(c) { ' ' } else { c }).collect();
    let clean = clean.split_whitespace().collect::<Vec<_>>().join(" ");
    // "History" is kept by the format for itself.
    let clean = if clean.is_empty() || clean.eq_ignore_ascii_case("history") { "Table".to_owned() } else { clean };
    let mut number = 1_u32;
    loop {
        let suffix = if number == 1 { String::new() } else { format!(" {number}") };
        let name = format!("{}{suffix}", utf16_prefix(&clean, NAME_CHARS - suffix.len()).trim_end());
        if taken.insert(name.to_lowercase()) {
            return name;
        }
        number = number.saturating_add(1);
    }
}

/// The longest beginning of a text within so many UTF-16 units, which is how the format counts.
fn utf16_prefix(text: &str, units: usize) -> &str {
    let mut used = 0;
    for (at, c) in text.char_indices() {
        used += c.len_utf16();
        if used > units {
            return &text[..at];
        }
    }
    text
}

fn first_sheet(sheet: &mut Worksheet, binder: &Binder, tables: &[(String, &Table)]) -> Result<(), Error> {
    let title = &binder.title_block.job_title;
    sheet.set_name(FIRST_SHEET)?;
    sheet.set_column_width(0, 18)?.set_column_width(1, 80)?;
    write_text(sheet, 0, 0, title, &text_format(title).set_bold().set_font_size(14))?;
    let row = identity(sheet, 2, &binder.title_block)?;
    let row = list_of_sheets(sheet, row + 1, tables)?;
    cautions(sheet, row + 1, binder)
}

/// Writes the title block; gives the row after it.
fn identity(sheet: &mut Worksheet, mut row: u32, block: &TitleBlock) -> Result<u32, Error> {
    let facts = [
        ("Customer", &block.customer),
        ("Site", &block.site),
        ("Job number", &block.job_number),
        ("Revision", &block.revision),
        ("Status", &block.status),
        ("Prepared by", &block.prepared_by),
        ("Checked by", &block.checked_by),
        ("Units", &block.units),
        ("Currency", &block.currency),
    ];
    for (label, value) in facts {
        sheet.write_string(row, 0, label)?;
        write_text(sheet, row, 1, value, &text_format(value))?;
        row += 1;
    }
    let left = date_format().set_align(FormatAlign::Left);
    sheet.write_string(row, 0, "Issue date")?;
    match block.issue_date {
        Some(date) => sheet.write_datetime_with_format(row, 1, date_value(date)?, &left)?,
        None => sheet.write_string(row, 1, "–")?,
    };
    Ok(row + 1)
}

/// Writes a link to each sheet; gives the row after them.
fn list_of_sheets(sheet: &mut Worksheet, mut row: u32, tables: &[(String, &Table)]) -> Result<u32, Error> {
    sheet.write_string_with_format(row, 0, "Sheets", &Format::new().set_bold())?;
    for (name, _) in tables {
        sheet.write_url(row, 1, Url::new(format!("internal:'{name}'!A1")).set_text(name))?;
        row += 1;
    }
    Ok(row)
}

fn cautions(sheet: &mut Worksheet, mut row: u32, binder: &Binder) -> Result<(), Error> {
    let label = Format::new().set_bold().set_align(FormatAlign::Top);
    for block in binder.papers.iter().flat_map(|paper| &paper.blocks) {
        if let Block::Caution(text) = block {
            sheet.write_string_with_format(row, 0, "Caution", &label)?;
            write_text(sheet, row, 1, text, &text_format(text).set_text_wrap())?;
            row += 1;
        }
    }
    Ok(())
}

/// A frozen header with filters, then the rows; trailing totals stay outside the filter, so sorting leaves them below.
fn table_sheet(sheet: &mut Worksheet, table: &Table, block: &TitleBlock) -> Result<(), Error> {
    table.check()?;
    let head =
        Format::new().set_bold().set_text_wrap().set_align(FormatAlign::Top).set_border_bottom(FormatBorder::Medium);
    for (at, column) in (0_u16..).zip(&table.columns) {
        let heading = column.heading(&block.currency);
        let format = if column.is_right() { head.clone().set_align(FormatAlign::Right) } else { head.clone() };
        write_text(sheet, 0, at, &heading, &guarded(format, &heading))?;
        sheet.set_column_width(at, column_width(table, usize::from(at), column) as f64)?;
    }
    sheet.set_freeze_panes(1, 0)?;
    for (at, row) in (1_u32..).zip(&table.rows) {
        for (column, cell) in (0_u16..).zip(&row.cells) {
            write_cell(sheet, at, column, cell, row.kind, &block.currency)?;
        }
    }
    let totals = table.rows.iter().rev().take_while(|row| row.kind == RowKind::Total).count();
    let last_row = u32::try_from(table.rows.len() - totals).unwrap_or(u32::MAX);
    let last_column = u16::try_from(table.columns.len() - 1).unwrap_or(u16::MAX);
    sheet.autofilter(0, 0, last_row, last_column)?;
    sheet.set_landscape().set_repeat_rows(0, 0)?.set_print_fit_to_pages(1, 0);
    Ok(())
}

fn write_cell(
    sheet: &mut Worksheet,
    row: u32,
    column: u16,
    cell: &Cell,
    kind: RowKind,
    currency: &str,
) -> Result<(), Error> {
    let weigh = |format: Format| match kind {
        RowKind::Normal => format,
        RowKind::Group => format.set_bold(),
        RowKind::Total => format.set_bold().set_border_top(FormatBorder::Thin),
    };
    match &cell.value {
        Value::Empty if kind == RowKind::Total => {
            sheet.write_blank(row, column, &weigh(Format::new()))?;
        }
        Value::Empty => {}
        Value::Number { value, digits } if value.is_finite() => {
            sheet.write_number_with_format(
                row,
                column,
                *value,
                &weigh(Format::new().set_num_format(number_format(*digits))),
            )?;
        }
        Value::Number { .. } => {
            sheet.write_string_with_format(
                row,
                column,
                "unknown",
                &weigh(Format::new().set_align(FormatAlign::Right)),
            )?;
        }
        Value::Money(amount) => {
            let rounded: f64 = plain_amount(*amount, currency).parse().unwrap_or(f64::NAN);
            let format = Format::new().set_num_format(number_format(currency_digits(currency)));
            sheet.write_number_with_format(row, column, rounded, &weigh(format))?;
        }
        Value::Date(date) => {
            sheet.write_datetime_with_format(row, column, date_value(*date)?, &weigh(date_format()))?;
        }
        // Only rows of data wrap: the title of a group may run across its empty neighbours.
        Value::Text(text) => {
            let format = text_format(text).set_align(FormatAlign::Top);
            let format = if kind == RowKind::Normal { format.set_text_wrap() } else { format };
            write_text(sheet, row, column, text, &weigh(format))?;
        }
    }
    Ok(())
}

fn write_text(sheet: &mut Worksheet, row: u32, column: u16, text: &str, format: &Format) -> Result<(), Error> {
    sheet.write_string_with_format(row, column, shortened(text, CELL_CHARS), format)?;
    Ok(())
}

fn text_format(text: &str) -> Format {
    guarded(Format::new(), text)
}

/// Marks text that could be taken for a formula once somebody edits the cell.
fn guarded(format: Format, text: &str) -> Format {
    if text.starts_with(['=', '+', '-', '@']) { format.set_quote_prefix() } else { format }
}

/// The text within the limit of the format, saying so when it was cut.
fn shortened(text: &str, units: usize) -> String {
    const CUT: &str = "… (cut)";
    let whole = utf16_prefix(text, units);
    if whole.len() == text.len() { text.to_owned() } else { format!("{}{CUT}", utf16_prefix(text, units - CUT.len())) }
}

/// Grouped digits with so many decimals, such as `#,##0.00`.
fn number_format(digits: u8) -> String {
    if digits == 0 { "#,##0".to_owned() } else { format!("#,##0.{}", "0".repeat(usize::from(digits.min(12)))) }
}

/// Format 14 of the file format: the short date of whoever opens the workbook.
fn date_format() -> Format {
    Format::new().set_num_format_index(14)
}

fn date_value(date: Date) -> Result<ExcelDateTime, Error> {
    Ok(ExcelDateTime::from_ymd(date.year(), date.month(), date.day())?)
}

/// Characters of the longest text in the column, within bounds; long texts wrap instead.
fn column_width(table: &Table, at: usize, column: &Column) -> usize {
    let cells = table.rows.iter().filter(|row| row.kind != RowKind::Group).filter_map(|row| row.cells.get(at));
    let longest = cells.map(printed_chars).max().unwrap_or(0);
    let head = column.title.split_whitespace().map(|word| word.chars().count()).max().unwrap_or(0);
    (longest.max(head) + 3).clamp(MIN_WIDTH, MAX_WIDTH)
}

fn printed_chars(cell: &Cell) -> usize {
    match &cell.value {
        Value::Empty => 0,
        Value::Text(text) => text.chars().take(MAX_WIDTH).count(),
        Value::Number { value, digits } => with_groups(&format!("{value:.*}", usize::from(*digits))),
        Value::Money(amount) => with_groups(&amount.round_dp(2).to_string()) + 3,
        Value::Date(_) => 10,
    }
}

fn with_groups(number: &str) -> usize {
    number.len() + number.len() / 3
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheet_names_are_allowed_and_unique_whatever_the_titles() {
        let mut taken = BTreeSet::new();
        let long = "Openings of the passenger hall and the pontoon";
        assert_eq!(sheet_name(long, &mut taken), "Openings of the passenger hall");
        assert_eq!(sheet_name(&long.to_uppercase(), &mut taken), "OPENINGS OF THE PASSENGER HAL 2");
        assert_eq!(sheet_name("[a]:*?/\\'b'", &mut taken), "a b");
        assert_eq!(sheet_name("", &mut taken), "Table");
        assert_eq!(sheet_name("history", &mut taken), "Table 2");
        assert!(sheet_name(&"\u{1f6aa}".repeat(40), &mut taken).encode_utf16().count() <= NAME_CHARS);
    }
}
