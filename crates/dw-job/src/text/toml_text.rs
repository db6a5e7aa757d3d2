//! TOML text into the tree. A broken line costs its own value, not the document.

use dw_core::Sink;
use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::node::{Document, Files, Node, Pos, ScalarNode, Table};
use super::rules::{BadEncoding, BadSyntax, FileTooLarge};

/// Largest document or sheet read, in bytes: far above a survey of 100,000 openings, far below memory.
pub(super) const MAX_FILE_BYTES: usize = 64 * 1024 * 1024;

/// Reads a document into a table; what cannot be read becomes findings.
pub fn read_toml(document: &Document, files: &mut Files, sink: &mut Sink) -> Table {
    let file = files.add(&document.name);
    let start = Pos { file, line: 1, column: 1 };
    let Some(text) = decode(document, files, start, sink) else {
        return Table { entries: Vec::new(), pos: start };
    };
    let lines = LineIndex::new(&text, file);
    let (root, errors) = DeTable::parse_recoverable(&text);
    for error in errors {
        let pos = lines.pos(error.span().map_or(0, |span| span.start));
        sink.report(&BadSyntax { source: files.source(pos, None), message: error.message().to_owned() });
    }
    table(root.get_ref(), start, &lines)
}

/// The text of a document without its byte order mark. Bytes that are not UTF-8 are replaced and told.
pub(super) fn decode(document: &Document, files: &Files, start: Pos, sink: &mut Sink) -> Option<String> {
    if document.bytes.len() > MAX_FILE_BYTES {
        sink.report(&FileTooLarge {
            source: files.source(start, None),
            bytes: document.bytes.len(),
            most: MAX_FILE_BYTES,
        });
        return None;
    }
    let bytes = document.bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(&document.bytes);
    if let Some(text) = decode_utf16(bytes) {
        sink.report(&BadEncoding { source: files.source(start, None) });
        return Some(text);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => Some(text.to_owned()),
        Err(error) => {
            let line = String::from_utf8_lossy(&bytes[..error.valid_up_to()]).split('\n').count();
            let pos = Pos { line: u32::try_from(line).unwrap_or(u32::MAX), ..start };
            sink.report(&BadEncoding { source: files.source(pos, None) });
            Some(String::from_utf8_lossy(bytes).into_owned())
        }
    }
}

/// The text of a file that starts with a UTF-16 byte order mark, as spreadsheets save "Unicode text".
fn decode_utf16(bytes: &[u8]) -> Option<String> {
    let (unit, rest): (fn([u8; 2]) -> u16, _) = match bytes {
        [0xFF, 0xFE, rest @ ..] => (u16::from_le_bytes, rest),
        [0xFE, 0xFF, rest @ ..] => (u16::from_be_bytes, rest),
        _ => return None,
    };
    let units = rest.as_chunks().0.iter().map(|pair| unit(*pair));
    Some(char::decode_utf16(units).map(|letter| letter.unwrap_or(char::REPLACEMENT_CHARACTER)).collect())
}

fn table(source: &DeTable<'_>, pos: Pos, lines: &LineIndex) -> Table {
    let entry = |(key, value): (&Spanned<_>, &Spanned<DeValue<'_>>)| {
        let key: &Spanned<std::borrow::Cow<'_, str>> = key;
        let key_pos = lines.pos(key.span().start);
        (key.get_ref().to_string(), key_pos, node(value, lines))
    };
    Table { entries: source.iter().map(entry).collect(), pos }
}

fn node(value: &Spanned<DeValue<'_>>, lines: &LineIndex) -> Node {
    let pos = lines.pos(value.span().start);
    match value.get_ref() {
        DeValue::String(text) => Node::Scalar(ScalarNode::Text(text.to_string()), pos),
        DeValue::Integer(number) => {
            let digits = match number.radix() {
                10 => number.as_str().to_owned(),
                radix => {
                    i64::from_str_radix(number.as_str(), radix).map_or_else(|_| number.to_string(), |n| n.to_string())
                }
            };
            Node::Scalar(ScalarNode::Number(digits), pos)
        }
        DeValue::Float(number) => Node::Scalar(ScalarNode::Number(number.as_str().to_owned()), pos),
        DeValue::Boolean(flag) => Node::Scalar(ScalarNode::Flag(*flag), pos),
        DeValue::Datetime(date) => Node::Scalar(ScalarNode::Date(date.to_string()), pos),
        DeValue::Array(items) => Node::List(items.iter().map(|item| node(item, lines)).collect(), pos),
        DeValue::Table(inner) => Node::Table(table(inner, pos, lines)),
    }
}

/// Finds line and column of a byte offset.
struct LineIndex {
    starts: Vec<usize>,
    file: u16,
}

impl LineIndex {
    fn new(text: &str, file: u16) -> Self {
        let starts = std::iter::once(0).chain(text.match_indices('\n').map(|(at, _)| at + 1)).collect();
        Self { starts, file }
    }

    fn pos(&self, offset: usize) -> Pos {
        let line = self.starts.partition_point(|&start| start <= offset);
        let column = offset - self.starts[line - 1] + 1;
        Pos {
            file: self.file,
            line: u32::try_from(line).unwrap_or(u32::MAX),
            column: u32::try_from(column).unwrap_or(u32::MAX),
        }
    }
}
