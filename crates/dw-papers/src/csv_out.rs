//! Tables as CSV (RFC 4180): one file per table, units in the header, for other programs to read.
//!
//! Numbers keep a decimal point and no grouping, dates are ISO 8601, whatever the locale of the papers. Spreadsheet
//! programs run text that looks like a formula when they open a CSV file, so such text gets an apostrophe in front, as
//! the OWASP page "CSV Injection" advises.

use crate::Error;
use crate::locale::{plain_amount, plain_number};
use crate::model::{Binder, Block, Cell, Table, Value};
use std::collections::BTreeSet;

/// One table as a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CsvFile {
    /// File name, made of the ids of the paper and the table: "opening-schedule-openings.csv".
    pub name: String,
    /// Contents in UTF-8.
    pub bytes: Vec<u8>,
}

/// Every table of the binder in order. No two files have one name.
pub fn write_csv(binder: &Binder) -> Result<Vec<CsvFile>, Error> {
    let mut taken = BTreeSet::new();
    let mut files = Vec::new();
    for paper in &binder.papers {
        for block in &paper.blocks {
            if let Block::Table(table) = block {
                let name = file_name(&paper.id, &table.id, &mut taken);
                files.push(CsvFile { name, bytes: one_table(table, &binder.title_block.currency)? });
            }
        }
    }
    Ok(files)
}

/// One table as the bytes of a file.
pub(crate) fn one_table(table: &Table, currency: &str) -> Result<Vec<u8>, Error> {
    table.check()?;
    let mut writer = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    writer.write_record(table.columns.iter().map(|column| defused(&column.heading(currency))))?;
    for row in &table.rows {
        let mut record: Vec<String> = row.cells.iter().map(|cell| field(cell, currency)).collect();
        record.resize(table.columns.len(), String::new());
        writer.write_record(record)?;
    }
    writer.into_inner().map_err(|error| Error::Csv(error.into_error().into()))
}

fn field(cell: &Cell, currency: &str) -> String {
    match &cell.value {
        Value::Empty => String::new(),
        Value::Text(text) => defused(text),
        Value::Number { value, digits } => plain_number(*value, *digits).unwrap_or_default(),
        Value::Money(amount) => plain_amount(*amount, currency),
        Value::Date(date) => date.to_string(),
    }
}

/// Text that no spreadsheet takes for a formula.
fn defused(text: &str) -> String {
    if text.starts_with(['=', '+', '-', '@', '\t', '\r', '\n']) { format!("'{text}") } else { text.to_owned() }
}

/// A file name of plain characters; a number is added when it is taken.
fn file_name(paper: &str, table: &str, taken: &mut BTreeSet<String>) -> String {
    let plain = |text: &str| -> String {
        let lower = text.chars().take(60).map(|c| if c.is_ascii_alphanumeric() { c.to_ascii_lowercase() } else { '-' });
        lower.collect()
    };
    let stem = format!("{}-{}", plain(paper), plain(table));
    let names = std::iter::once(format!("{stem}.csv")).chain((2_u32..).map(|number| format!("{stem}-{number}.csv")));
    let mut free = names.skip_while(|name| taken.contains(name));
    let name = free.next().unwrap_or(stem);
    taken.insert(name.clone());
    name
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_that_looks_like_a_formula_is_defused_and_numbers_are_not() {
        assert_eq!(field(&Cell::text("=1+1"), "EUR"), "'=1+1");
        assert_eq!(field(&Cell::text("D-014"), "EUR"), "D-014");
        assert_eq!(field(&Cell::number(-1.5, 1), "EUR"), "-1.5");
        assert_eq!(field(&Cell::number(f64::NAN, 1), "EUR"), "");
    }

    #[test]
    fn file_names_are_plain_and_never_meet() {
        let mut taken = BTreeSet::new();
        assert_eq!(file_name("a", "../B c", &mut taken), "a----b-c.csv");
        assert_eq!(file_name("a", "---b-c", &mut taken), "a----b-c-2.csv");
        assert_eq!(file_name("a", "../b c", &mut taken), "a----b-c-3.csv");
    }
}
