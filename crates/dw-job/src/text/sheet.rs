//! CSV sheets into the tree: a row is a table, a title such as `door.fire_rating_min` is a path into it.

use std::collections::BTreeSet;

use csv::{Position, StringRecord};
use dw_core::Sink;

use super::node::{Document, Files, Node, Pos, ScalarNode, Table};
use super::rules::{BadSyntax, DuplicateKey, EmptySheet};
use super::toml_text::decode;

/// Most columns read of a sheet: several times the fields of the longest record, so that no sheet costs more than
/// its rows.
const MAX_COLUMNS: usize = 500;

/// Most parts of a title that is a path; a longer one is no path but an unknown title.
const MAX_PARTS: usize = 8;

/// What a sheet says.
#[derive(Clone, Debug, Default)]
pub struct Sheet {
    /// Its titles, each at its place with an empty text.
    pub titles: Table,
    /// Its rows, without empty ones.
    pub rows: Vec<Table>,
}

/// Reads a sheet into its rows. Comma, semicolon or tab separate; the title row decides. Empty cells are absent
/// values; a short row keeps what it has.
pub fn read_sheet(document: &Document, files: &mut Files, sink: &mut Sink) -> Sheet {
    let file = files.add(&document.name);
    let start = Pos { file, line: 1, column: 1 };
    let Some(text) = decode(document, files, start, sink) else {
        return Sheet::default();
    };
    let delimiter = delimiter(&text);
    let mut reader = csv::ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .comment(Some(b'#'))
        .from_reader(text.as_bytes());
    let has_decimal_comma = delimiter == b';';
    let mut reading = Reading { files, sink, has_decimal_comma, titles: None, untitled: None, sheet: Sheet::default() };
    let mut record = StringRecord::new();
    let (mut pos, mut from) = (start, 0);
    // The text is valid UTF-8 and rows may differ in length, so no row can fail.
    while reader.read_record(&mut record).unwrap_or(false) {
        (pos.line, from) = record_start(&text, record.position());
        reading.take(&record, pos);
    }
    if ends_in_quotes(&text[from..], delimiter) {
        let message = "a quotation mark is never closed; everything after it counts as one cell".to_owned();
        reading.sink.report(&BadSyntax { source: reading.files.source(pos, None), message });
    }
    reading.finish(start)
}

/// Line and byte at which a record itself starts: the reader's position lies before the comments and blank lines that
/// lead to it.
fn record_start(text: &str, position: Option<&Position>) -> (u32, usize) {
    let Some(position) = position else { return (1, 0) };
    let mut line = position.line();
    let mut byte = usize::try_from(position.byte()).unwrap_or(usize::MAX);
    for skipped in text.get(byte..).unwrap_or_default().split_inclusive('\n') {
        if !skipped.starts_with('#') && !skipped.trim_end_matches(['\r', '\n']).is_empty() {
            break;
        }
        line += 1;
        byte += skipped.len();
    }
    (u32::try_from(line).unwrap_or(u32::MAX), byte.min(text.len()))
}

/// Whether a text that starts with a record ends inside a quoted cell, as a truncated sheet does.
fn ends_in_quotes(text: &str, delimiter: u8) -> bool {
    let (mut quoted, mut cell_starts) = (false, true);
    let mut bytes = text.bytes().peekable();
    while let Some(byte) = bytes.next() {
        if quoted {
            quoted = byte != b'"' || bytes.next_if_eq(&b'"').is_some();
        } else {
            quoted = cell_starts && byte == b'"';
        }
        cell_starts = byte == delimiter || byte == b'\n' || byte == b'\r';
    }
    quoted
}

/// The separator that splits the title row (the first line that is not a comment) into most titles.
fn delimiter(text: &str) -> u8 {
    let titles = text.lines().find(|line| !line.starts_with('#') && !line.trim().is_empty()).unwrap_or_default();
    let count = |separator: u8| titles.bytes().filter(|&byte| byte == separator).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(|&separator| count(separator)).unwrap_or(b',')
}

/// What stands over a column.
enum Title {
    /// Nothing.
    None,
    /// The path of a field.
    Path(String),
    /// A title that stands over an earlier column already; that one counts.
    Repeated,
}

/// A sheet while it is read.
struct Reading<'a> {
    files: &'a Files,
    sink: &'a mut Sink,
    /// Whether a comma between digits is the decimal mark, as where semicolons separate.
    has_decimal_comma: bool,
    titles: Option<Vec<Title>>,
    /// Place and text of the first cell under no title, and how many such cells there are.
    untitled: Option<(Pos, String, usize)>,
    sheet: Sheet,
}

impl Reading<'_> {
    fn take(&mut self, record: &StringRecord, pos: Pos) {
        if let Some(titles) = self.titles.take() {
            self.row(record, &titles, pos);
            self.titles = Some(titles);
        } else {
            self.titles = Some(self.title_row(record, pos));
        }
    }

    fn title_row(&mut self, record: &StringRecord, pos: Pos) -> Vec<Title> {
        let mut titles = Vec::new();
        self.sheet.titles.pos = pos;
        let mut seen = BTreeSet::new();
        for (column, title) in record.iter().enumerate().take(MAX_COLUMNS) {
            let title = title.trim();
            titles.push(if title.is_empty() {
                Title::None
            } else if seen.insert(title) {
                let empty = Node::Scalar(ScalarNode::Text(String::new()), at_column(pos, column));
                // A title that is a value and a path at once is told at the row that uses it.
                put(&mut self.sheet.titles, title, at_column(pos, column), empty);
                Title::Path(title.to_owned())
            } else {
                let source = self.files.source(at_column(pos, column), Some(title));
                self.sink.report(&DuplicateKey { source, key: title.to_owned() });
                Title::Repeated
            });
        }
        if record.len() > MAX_COLUMNS {
            let message = format!("{} columns are more than the {MAX_COLUMNS} that are read", record.len());
            self.sink.report(&BadSyntax { source: self.files.source(at_column(pos, MAX_COLUMNS), None), message });
        }
        titles
    }

    fn row(&mut self, record: &StringRecord, titles: &[Title], row_pos: Pos) {
        let mut table = Table { entries: Vec::new(), pos: row_pos };
        for (column, cell) in record.iter().enumerate().take(MAX_COLUMNS) {
            let (pos, cell) = (at_column(row_pos, column), cell.trim());
            match titles.get(column).unwrap_or(&Title::None) {
                _ if cell.is_empty() => {}
                Title::Path(title) => {
                    let node = Node::Scalar(self.cell(cell), pos);
                    if !put(&mut table, title, pos, node) {
                        let source = self.files.source(pos, Some(title));
                        self.sink.report(&DuplicateKey { source, key: title.clone() });
                    }
                }
                Title::Repeated => {}
                Title::None => self.untitled.get_or_insert_with(|| (pos, cell.to_owned(), 0)).2 += 1,
            }
        }
        if !table.entries.is_empty() {
            self.sheet.rows.push(table);
        }
    }

    fn cell(&self, text: &str) -> ScalarNode {
        let is_decimal = self.has_decimal_comma && has_decimal_comma(text);
        if is_decimal { ScalarNode::DecimalComma(text.to_owned()) } else { ScalarNode::Text(text.to_owned()) }
    }

    fn finish(self, start: Pos) -> Sheet {
        if let Some((pos, cell, count)) = self.untitled {
            let more = if count > 1 { format!(" and {} more", count - 1) } else { String::new() };
            let message = format!("no title stands above the cell \"{}\"{more}", shorten(&cell));
            self.sink.report(&BadSyntax { source: self.files.source(pos, None), message });
        }
        if self.sheet.rows.is_empty() {
            self.sink.report(&EmptySheet { source: self.files.source(start, None) });
        }
        self.sheet
    }
}

/// Whether a text is digits, one comma, digits, with a sign or without.
fn has_decimal_comma(text: &str) -> bool {
    let is_digits = |part: &str| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit());
    let halves = text.strip_prefix(['-', '+']).unwrap_or(text).split_once(',');
    halves.is_some_and(|(whole, part)| is_digits(whole) && is_digits(part))
}

fn put(table: &mut Table, title: &str, pos: Pos, node: Node) -> bool {
    if title.split('.').count() <= MAX_PARTS {
        return table.insert(title, pos, node);
    }
    table.entries.push((title.to_owned(), pos, node));
    true
}

fn at_column(row: Pos, column: usize) -> Pos {
    Pos { column: u32::try_from(column + 1).unwrap_or(u32::MAX), ..row }
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
