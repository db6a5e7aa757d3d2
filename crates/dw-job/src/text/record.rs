//! Records: one definition gives the struct, its lenient reader, its writer and its schema.

use std::collections::BTreeSet;

use dw_core::{Place, Sink, Source};
use serde_json::{Value as Json, json};

use super::field::{FieldSchema, described};
use super::node::{Files, Node, Pos, Table};
use super::rules::UnknownKey;
use super::words::nearest;

/// A table of named fields: a whole record or a part of one.
pub trait Section: Sized {
    /// Reads the fields; `None` when the id is missing.
    fn read_fields(fields: &mut Fields<'_, '_>) -> Option<Self>;
    /// Writes the fields that hold something.
    fn write_fields(&self, out: &mut toml_edit::Table);
    /// Adds the properties and gives the required keys.
    fn schema_fields(out: &mut FieldSchema) -> Vec<&'static str>;
    /// Visits each reference to another object: path of the field, kind, id.
    fn visit_references(&self, prefix: &str, visit: &mut dyn FnMut(&str, &'static str, &str));

    /// The JSON Schema of the table.
    fn json_schema(about: &str) -> Json {
        let mut properties = FieldSchema::new();
        let required = Self::schema_fields(&mut properties);
        let schema =
            json!({ "type": "object", "properties": properties, "required": required, "additionalProperties": false });
        described(schema, about)
    }
}

/// A record of a job or catalogue: one row of a table.
pub trait Record: Section {
    /// The table's key in a document: `opening`.
    const TABLE: &'static str;
    /// The object's kind as a person says it.
    const KIND: &'static str;
    /// What one record is, in a sentence.
    const ABOUT: &'static str;
    /// The key of the id, when the record has one of its own.
    const ID_KEY: Option<&'static str>;
    /// The id, or `None` for records known by their row.
    fn id(&self) -> Option<&str>;
}

/// The place of a field of a named object, with its source.
pub fn at_place(kind: &str, id: &str, field: &str, source: &Source) -> Place {
    let place = Place::named(kind, id).at(Some(source.clone()));
    if field.is_empty() { place } else { place.field(field) }
}

/// The fields of one table while it is read: what was taken, what is known, whose they are.
pub struct Fields<'t, 's> {
    table: &'t Table,
    /// Keys asked for, each with its unit or with none.
    known: Vec<(&'static str, &'static str)>,
    /// Whether each entry of the table was asked for.
    taken: Vec<bool>,
    kind: &'static str,
    id: String,
    prefix: String,
    files: &'s Files,
    told: &'s mut Told,
    sink: &'s mut Sink,
}

/// Unknown titles that were told of, by file and column: once each, not again for every row of the sheet.
pub type Told = BTreeSet<(u16, u32)>;

impl<'t, 's> Fields<'t, 's> {
    /// The fields of an object's table.
    pub fn new(
        table: &'t Table,
        (kind, id): (&'static str, String),
        files: &'s Files,
        told: &'s mut Told,
        sink: &'s mut Sink,
    ) -> Self {
        let taken = vec![false; table.entries.len()];
        Self { table, known: Vec::new(), taken, kind, id, prefix: String::new(), files, told, sink }
    }

    /// Takes the value under `key`, if any; `key` counts as known from now on.
    pub fn take(&mut self, key: &'static str) -> Option<&'t Node> {
        self.take_measured(key, "")
    }

    /// Takes the value under `key` with this unit behind it: `length` in `ft` stands under `length_ft`.
    pub fn take_measured(&mut self, key: &'static str, unit: &'static str) -> Option<&'t Node> {
        self.known.push((key, unit));
        let position = self.table.entries.iter().position(|entry| is_spelled(&entry.0, key, unit))?;
        self.taken[position] = true;
        Some(&self.table.entries[position].2)
    }

    /// Reads a part under `key` with `read`; an absent part is read as empty, so that its keys are not guessed at.
    pub fn part<T: Section>(&mut self, key: &'static str) -> Option<T> {
        let empty = Table { entries: Vec::new(), pos: self.table.pos };
        let table = match self.take(key) {
            Some(Node::Table(table)) => table,
            Some(other) => {
                let (place, source) = self.locate(key, other.pos());
                let expected = "a table of fields".to_owned();
                self.sink.report(&super::rules::WrongValue {
                    place,
                    source,
                    written: "a single value".to_owned(),
                    expected,
                });
                &empty
            }
            None => &empty,
        };
        let mut inner = Fields {
            table,
            known: Vec::new(),
            taken: vec![false; table.entries.len()],
            kind: self.kind,
            id: self.id.clone(),
            prefix: format!("{}{key}.", self.prefix),
            files: self.files,
            told: self.told,
            sink: self.sink,
        };
        let part = T::read_fields(&mut inner);
        inner.finish();
        part
    }

    /// Tells of every key nobody asked for.
    pub fn finish(self) {
        for (position, (key, pos, _)) in self.table.entries.iter().enumerate() {
            if self.taken[position] {
                continue;
            }
            let path = format!("{}{key}", self.prefix);
            let source = self.files.source(*pos, Some(&path));
            if source.title.is_some() && !self.told.insert((pos.file, pos.column)) {
                continue;
            }
            let known: Vec<String> = self.known.iter().map(|(key, unit)| spelling(key, unit)).collect();
            let meant = nearest(key, known.iter().map(String::as_str)).map(str::to_owned);
            let place = at_place(self.kind, &self.id, &path, &source);
            let schema = self.files.schema;
            self.sink.report(&UnknownKey { place, source, key: key.clone(), meant, schema });
        }
    }

    /// Place and source of a field of this table.
    pub fn locate(&self, key: &str, pos: Pos) -> (Place, Source) {
        let path = format!("{}{key}", self.prefix);
        let source = self.files.source(pos, Some(&path));
        (at_place(self.kind, &self.id, &path, &source), source)
    }

    /// Where the table starts.
    pub fn pos(&self) -> Pos {
        self.table.pos
    }

    /// Where findings go.
    pub fn sink(&mut self) -> &mut Sink {
        self.sink
    }
}

/// How a key with a unit is written: `length_ft`.
pub(super) fn spelling(key: &str, unit: &str) -> String {
    if unit.is_empty() { key.to_owned() } else { format!("{key}_{unit}") }
}

/// Whether `written` is that spelling.
fn is_spelled(written: &str, key: &str, unit: &str) -> bool {
    let rest = written.strip_prefix(key);
    if unit.is_empty() { rest == Some("") } else { rest.and_then(|rest| rest.strip_prefix('_')) == Some(unit) }
}

/// Defines a part of a record: every field is optional, lists may be empty.
macro_rules! section {
    (
        $(#[doc = $about:literal])+
        pub struct $name:ident { $($(#[doc = $doc:literal])+ $field:ident: $ty:ty),* $(,)? }
    ) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, Default, PartialEq)]
        pub struct $name { $($(#[doc = $doc])+ pub $field: $ty),* }

        impl $crate::text::Section for $name {
            fn read_fields(fields: &mut $crate::text::Fields<'_, '_>) -> Option<Self> {
                Some(Self { $($field: <$ty as $crate::text::Field>::read(fields, stringify!($field)).unwrap_or_default()),* })
            }
            fn write_fields(&self, out: &mut toml_edit::Table) {
                $($crate::text::Field::write(&self.$field, stringify!($field), out);)*
            }
            fn schema_fields(out: &mut $crate::text::FieldSchema) -> Vec<&'static str> {
                $(<$ty as $crate::text::Field>::schema(stringify!($field), concat!($($doc),+), out);)*
                Vec::new()
            }
            fn visit_references(&self, prefix: &str, visit: &mut dyn FnMut(&str, &'static str, &str)) {
                $($crate::text::Field::references(&self.$field, &format!("{prefix}{}", stringify!($field)), visit);)*
            }
        }

        impl $crate::text::Field for $name {
            fn read(fields: &mut $crate::text::Fields<'_, '_>, key: &'static str) -> Option<Self> {
                fields.part(key)
            }
            fn write(&self, key: &str, out: &mut toml_edit::Table) {
                let mut table = toml_edit::Table::new();
                $crate::text::Section::write_fields(self, &mut table);
                if !table.is_empty() {
                    out.insert(key, toml_edit::Item::Table(table));
                }
            }
            fn schema(key: &str, about: &str, out: &mut $crate::text::FieldSchema) {
                out.insert(key.to_owned(), <Self as $crate::text::Section>::json_schema(about));
            }
            fn references(&self, path: &str, visit: &mut dyn FnMut(&str, &'static str, &str)) {
                $crate::text::Section::visit_references(self, &format!("{path}."), visit);
            }
        }
    };
}
pub(crate) use section;

/// Defines a record with an id (`by id: IdType`) or one known by its row (`by row`).
macro_rules! record {
    (
        $(#[doc = $about:literal])+
        pub struct $name:ident: $table:literal by $idfield:ident: $idty:ty {
            $(#[doc = $iddoc:literal])+ id,
            $($(#[doc = $doc:literal])+ $field:ident: $ty:ty),* $(,)?
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            $(#[doc = $iddoc])+
            pub $idfield: $idty,
            $($(#[doc = $doc])+ pub $field: $ty),*
        }

        impl $name {
            /// A record of which only the id is known.
            pub fn new(id: &str) -> Self {
                Self { $idfield: <$idty>::new(id), $($field: Default::default()),* }
            }
        }

        impl $crate::text::Section for $name {
            fn read_fields(fields: &mut $crate::text::Fields<'_, '_>) -> Option<Self> {
                let id = <$idty as $crate::text::Field>::read(fields, stringify!($idfield));
                $(let $field = <$ty as $crate::text::Field>::read(fields, stringify!($field)).unwrap_or_default();)*
                Some(Self { $idfield: id?, $($field),* })
            }
            fn write_fields(&self, out: &mut toml_edit::Table) {
                $crate::text::Field::write(&self.$idfield, stringify!($idfield), out);
                $($crate::text::Field::write(&self.$field, stringify!($field), out);)*
            }
            fn schema_fields(out: &mut $crate::text::FieldSchema) -> Vec<&'static str> {
                <$idty as $crate::text::Field>::schema(stringify!($idfield), concat!($($iddoc),+), out);
                $(<$ty as $crate::text::Field>::schema(stringify!($field), concat!($($doc),+), out);)*
                vec![stringify!($idfield)]
            }
            fn visit_references(&self, prefix: &str, visit: &mut dyn FnMut(&str, &'static str, &str)) {
                $($crate::text::Field::references(&self.$field, &format!("{prefix}{}", stringify!($field)), visit);)*
            }
        }

        impl $crate::text::Record for $name {
            const TABLE: &'static str = $table;
            const KIND: &'static str = <$idty as dw_core::Id>::KIND;
            const ABOUT: &'static str = concat!($($about),+);
            const ID_KEY: Option<&'static str> = Some(stringify!($idfield));
            fn id(&self) -> Option<&str> {
                Some(dw_core::Id::text(&self.$idfield))
            }
        }
    };
    (
        $(#[doc = $about:literal])+
        pub struct $name:ident: $table:literal by row {
            $($(#[doc = $doc:literal])+ $field:ident: $ty:ty),* $(,)?
        }
    ) => {
        $crate::text::section! {
            $(#[doc = $about])+
            pub struct $name { $($(#[doc = $doc])+ $field: $ty),* }
        }

        impl $crate::text::Record for $name {
            const TABLE: &'static str = $table;
            const KIND: &'static str = $table;
            const ABOUT: &'static str = concat!($($about),+);
            const ID_KEY: Option<&'static str> = None;
            fn id(&self) -> Option<&str> {
                None
            }
        }
    };
}
pub(crate) use record;
