//! CSV sheets into the tree: a row is a table, a title such as `door.fire_rating_min` is a path into it.

use dw_core::Sink;

use super::node::{Document, Files, Node, Pos, ScalarNode, Table};
use super::rules::{BadSyntax, DuplicateKey};
use super::toml_text::decode;

/// Reads a sheet into its rows. Comma, semicolon or tab separate; the title row decides. Empty cells are absent
/// values; a short row keeps what it has.
pub fn read_sheet(document: &Document, files: &mut Files, sink: &mut Sink) -> Vec<Table> {
    let file = files.add(&document.name);
    let start = Pos { file, line: 1, column: 1 };
    let Some(text) = decode(document, files, start, sink) else {
        return Vec::new();
    };
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter(&text))
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let mut titles: Option<Vec<String>> = None;
    let mut rows = Vec::new();
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map_or(1, csv::Position::line);
                let pos = Pos { line: u32::try_from(line).unwrap_or(u32::MAX), ..start };
                sink.report(&BadSyntax { source: files.source(pos, None), message: error.to_string() });
                continue;
            }
        };
        let line = u32::try_from(record.position().map_or(1, csv::Position::line)).unwrap_or(u32::MAX);
        let row_pos = Pos { line, ..start };
        match &titles {
            None => titles = Some(title_row(&record, files, row_pos, sink)),
            Some(titles) => rows.extend(row(&record, titles, row_pos, files, sink)),
        }
    }
    rows
}

/// The separator that splits the title row (the first line that is not a comment) into most titles.
fn delimiter(text: &str) -> u8 {
    let titles = text.lines().find(|line| !line.starts_with('#') && !line.trim().is_empty()).unwrap_or_default();
    let count = |separator: u8| titles.bytes().filter(|&byte| byte == separator).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|&separator| count(separator)).unwrap_or(b',')
}

fn title_row(record: &csv::StringRecord, files: &Files, pos: Pos, sink: &mut Sink) -> Vec<String> {
    let mut titles: Vec<String> = Vec::new();
    for (column, title) in record.iter().enumerate() {
        let title = title.trim().to_owned();
        if !title.is_empty() && titles.contains(&title) {
            let pos = Pos { column: u32::try_from(column + 1).unwrap_or(u32::MAX), ..pos };
            sink.report(&DuplicateKey { source: files.source(pos, Some(&title)), key: title.clone() });
            titles.push(String::new());
        } else {
            titles.push(title);
        }
    }
    titles
}

fn row(record: &csv::StringRecord, titles: &[String], pos: Pos, files: &Files, sink: &mut Sink) -> Option<Table> {
    let mut table = Table { entries: Vec::new(), pos };
    for (column, cell) in record.iter().enumerate() {
        let cell_pos = Pos { column: u32::try_from(column + 1).unwrap_or(u32::MAX), ..pos };
        let cell = cell.trim();
        match titles.get(column).filter(|title| !title.is_empty()) {
            _ if cell.is_empty() => {}
            Some(title) => {
                if !table.insert(title, cell_pos, Node::Scalar(ScalarNode::Text(cell.to_owned()), cell_pos)) {
                    sink.report(&DuplicateKey { source: files.source(cell_pos, Some(title)), key: title.clone() });
                }
            }
            None => sink.report(&BadSyntax {
                source: files.source(cell_pos, None),
                message: format!("the cell \"{}\" stands under no title", shorten(cell)),
            }),
        }
    }
    (!table.entries.is_empty()).then_some(table)
}

/// A value short enough for a headline.
pub(super) fn shorten(text: &str) -> String {
    const MOST: usize = 60;
    if text.chars().count() <= MOST {
        text.to_owned()
    } else {
        text.chars().take(MOST).chain(std::iter::once('…')).collect()
    }
}
