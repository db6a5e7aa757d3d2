//! The tree of values that documents and sheets are read into; every value knows where it was written.

use dw_core::Source;

/// The names of the files read, by index.
#[derive(Clone, Debug)]
pub struct Files {
    names: Vec<String>,
    /// Which schema describes them: job, catalogue, profile.
    pub schema: &'static str,
}

impl Files {
    /// No files yet, of those this schema describes.
    pub fn new(schema: &'static str) -> Self {
        Self { names: Vec::new(), schema }
    }

    /// Adds a file and gives its index.
    pub fn add(&mut self, name: &str) -> u16 {
        self.names.push(name.to_owned());
        u16::try_from(self.names.len() - 1).unwrap_or(u16::MAX)
    }

    /// The place in words a person can go to; `title` is the key, shown as column title when the file is a sheet.
    pub fn source(&self, pos: Pos, title: Option<&str>) -> Source {
        let file = self.names.get(usize::from(pos.file)).cloned().unwrap_or_default();
        let title = title.filter(|_| is_sheet(&file)).map(super::sheet::shorten);
        Source { file, line: pos.line, column: pos.column, title }
    }
}

/// Whether a file of this name is a sheet.
pub(crate) fn is_sheet(name: &str) -> bool {
    std::path::Path::new(name).extension().is_some_and(|extension| extension.eq_ignore_ascii_case("csv"))
}

/// Where a value was written: file by index, line (or row) and column from 1.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pos {
    /// Index into [`Files`].
    pub file: u16,
    /// Line of a text or row of a sheet.
    pub line: u32,
    /// Column.
    pub column: u32,
}

/// A file as handed in by the outside.
#[derive(Clone, Debug)]
pub struct Document {
    /// Name relative to the job's folder.
    pub name: String,
    /// Contents as found.
    pub bytes: Vec<u8>,
}

/// A value as written: text of a number is kept as typed, so that money stays exact.
#[derive(Clone, Debug, PartialEq)]
pub enum ScalarNode {
    /// A text, or a cell of a sheet, whose kind is decided by who reads it.
    Text(String),
    /// A cell such as `72,5` of a sheet separated by semicolons, where a comma is the decimal mark.
    DecimalComma(String),
    /// A number, as typed.
    Number(String),
    /// True or false.
    Flag(bool),
    /// A date, as typed.
    Date(String),
}

impl ScalarNode {
    /// The value as a person wrote it.
    pub fn shown(&self) -> String {
        match self {
            Self::Text(text) | Self::DecimalComma(text) | Self::Number(text) | Self::Date(text) => text.clone(),
            Self::Flag(flag) => flag.to_string(),
        }
    }
}

/// A value with its place.
#[derive(Clone, Debug, PartialEq)]
pub enum Node {
    /// A single value.
    Scalar(ScalarNode, Pos),
    /// A list of values.
    List(Vec<Node>, Pos),
    /// Named values.
    Table(Table),
}

impl Node {
    /// Where it was written.
    pub fn pos(&self) -> Pos {
        match self {
            Self::Scalar(_, pos) | Self::List(_, pos) => *pos,
            Self::Table(table) => table.pos,
        }
    }
}

/// Named values in the order written.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Table {
    /// Key, place of the key, value.
    pub entries: Vec<(String, Pos, Node)>,
    /// Where the table starts.
    pub pos: Pos,
}

impl Table {
    /// The value under `key`.
    pub fn get(&self, key: &str) -> Option<&Node> {
        self.entries.iter().find(|entry| entry.0 == key).map(|entry| &entry.2)
    }

    /// The place of the value at a dotted path, with any unit suffix: `door.leaf_thickness` finds
    /// `leaf_thickness_mm` in `door`.
    pub fn find(&self, path: &str) -> Option<Pos> {
        let (head, rest) = path.split_once('.').map_or((path, None), |(head, rest)| (head, Some(rest)));
        let entry = self.entries.iter().find(|entry| entry.0 == head).or_else(|| {
            let with_unit = |key: &str| {
                key.strip_prefix(head).and_then(|rest| rest.strip_prefix('_')).is_some_and(dw_core::is_unit_spelling)
            };
            self.entries.iter().find(|entry| rest.is_none() && with_unit(&entry.0))
        })?;
        match (&entry.2, rest) {
            (Node::Table(table), Some(rest)) => table.find(rest),
            (_, Some(_)) => None,
            (node, None) => Some(node.pos()),
        }
    }

    /// Puts a value at a dotted path, making tables on the way; `false` when something is there already.
    pub fn insert(&mut self, path: &str, pos: Pos, node: Node) -> bool {
        let Some((head, rest)) = path.split_once('.') else {
            let free = self.get(path).is_none();
            if free {
                self.entries.push((path.to_owned(), pos, node));
            }
            return free;
        };
        if self.get(head).is_none() {
            self.entries.push((head.to_owned(), pos, Node::Table(Self { entries: Vec::new(), pos })));
        }
        match self.entries.iter_mut().find(|entry| entry.0 == head) {
            Some((_, _, Node::Table(inner))) => inner.insert(rest, pos, node),
            _ => false,
        }
    }
}
