//! The job document: read leniently from a document and its sheets, written back, described by a schema.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use dw_core::{Place, Rule, Sink, Source};
use serde_json::{Value as Json, json};

use crate::model::{
    Acceptance, Apart, BlockedArea, Building, CableWay, CardRange, Existing, Extra, Group, Heading, Issued, Network,
    Opening, PathObstacle, Pin, Policy, Question, Right, Room, Schedule, Space, Storey, Zone,
};
use crate::text::{
    BadSyntax, DanglingReference, Document, DuplicateId, Field, Fields, Files, MissingId, Node, Pos, Record, Section,
    Sheet, Table, Told, UnknownKey, UnknownSheet, WrongValue, at_place, is_sheet, nearest, read_sheet, read_toml,
};

/// Format number this version writes; every lower one is read.
pub const FORMAT: u32 = 1;

/// Name of the main document in a job's folder.
pub const JOB_FILE: &str = "job.toml";

macro_rules! tables {
    ($($field:ident: $record:ty, $sheet:literal;)*) => {
        /// One customer undertaking: its site, people, policy, pins and revisions.
        #[derive(Clone, Debug, Default)]
        pub struct Job {
            /// Customer, site, papers.
            pub heading: Heading,
            /// Policy.
            pub policy: Policy,
            /// The customer's network.
            pub network: Network,
            $(#[doc = concat!("The records of the table `", stringify!($record), "`.")] pub $field: Vec<$record>,)*
            /// Where everything was written.
            pub places: Places,
        }

        impl Job {
            /// Sheets that may stand beside the document, each with the table it holds.
            pub const SHEETS: &'static [(&'static str, &'static str)] = &[$(($sheet, <$record>::TABLE)),*];

            fn read_tables(reading: &mut Intake<'_>) -> Self {
                Self {
                    heading: reading.single("job"),
                    policy: reading.single("policy"),
                    network: reading.single("network"),
                    $($field: reading.rows::<$record>(),)*
                    places: Places::default(),
                }
            }

            fn write_tables(&self, out: &mut toml_edit::DocumentMut) {
                self.heading.write("job", out);
                self.policy.write("policy", out);
                self.network.write("network", out);
                $(write_rows(&self.$field, out);)*
            }

            fn visit_references(&self, visit: &mut dyn FnMut(&'static str, &str, &str, &'static str, &str)) {
                $(for (row, record) in self.$field.iter().enumerate() {
                    let id = record.id().map_or_else(|| (row + 1).to_string(), str::to_owned);
                    record.visit_references("", &mut |field, kind, target| {
                        if Some(field) != <$record>::ID_KEY {
                            visit(<$record>::KIND, &id, field, kind, target);
                        }
                    });
                })*
            }

            fn ids(&self) -> BTreeMap<&'static str, BTreeSet<String>> {
                let mut ids = BTreeMap::<_, BTreeSet<String>>::new();
                $(ids.entry(<$record>::KIND).or_default().extend(self.$field.iter().filter_map(|record| record.id().map(str::to_owned)));)*
                ids
            }

            /// The JSON Schema (2020-12) of a job document.
            pub fn json_schema() -> Json {
                let mut properties = serde_json::Map::new();
                properties.insert("format".to_owned(), json!({ "const": FORMAT, "description": "Format number of the document" }));
                Heading::schema("job", "Customer, site and papers", &mut properties);
                Policy::schema("policy", "Policy of the job", &mut properties);
                Network::schema("network", "The customer's network", &mut properties);
                $(properties.insert(<$record>::TABLE.to_owned(), json!({
                    "type": "array",
                    "items": <$record as Section>::json_schema(<$record>::ABOUT),
                }));)*
                json!({
                    "$schema": "https://json-schema.org/draft/2020-12/schema",
                    "title": "Doorwright job document",
                    "type": "object",
                    "properties": properties,
                    "additionalProperties": false,
                })
            }
        }
    };
}

tables! {
    buildings: Building, "buildings.csv";
    storeys: Storey, "storeys.csv";
    zones: Zone, "zones.csv";
    spaces: Space, "spaces.csv";
    rooms: Room, "rooms.csv";
    cable_ways: CableWay, "cable_ways.csv";
    blocked_areas: BlockedArea, "blocked_areas.csv";
    path_obstacles: PathObstacle, "path_obstacles.csv";
    groups: Group, "people.csv";
    schedules: Schedule, "schedules.csv";
    rights: Right, "rights.csv";
    card_ranges: CardRange, "card_ranges.csv";
    openings: Opening, "openings.csv";
    existing: Existing, "existing.csv";
    pins: Pin, "pins.csv";
    apart: Apart, "apart.csv";
    extras: Extra, "extras.csv";
    questions: Question, "questions.csv";
    acceptances: Acceptance, "acceptances.csv";
    issued: Issued, "issued.csv";
}

impl Job {
    /// Reads a job from its document and sheets; whatever is wrong becomes findings, whatever can be read is kept.
    ///
    /// # Errors
    /// None: a job without a document is an empty job with a finding.
    pub fn read(documents: &[Document]) -> (Self, Sink) {
        let mut sink = Sink::default();
        let mut files = Files::new("job");
        let mut root = Table::default();
        if let Some(document) = documents.iter().find(|document| document.name == JOB_FILE) {
            root = read_toml(document, &mut files, &mut sink);
        } else {
            let source = Source { file: JOB_FILE.to_owned(), line: 1, column: 1, title: None };
            sink.report(&BadSyntax { source, message: "there is no job document".to_owned() });
        }
        let mut sheets = BTreeMap::new();
        for document in documents.iter().filter(|document| document.name != JOB_FILE) {
            if let Some((_, table)) = Self::SHEETS.iter().find(|row| row.0 == document.name) {
                sheets.insert(*table, read_sheet(document, &mut files, &mut sink));
            } else if is_sheet(&document.name) {
                let source = Source { file: document.name.clone(), line: 1, column: 1, title: None };
                let known: Vec<&str> = Self::SHEETS.iter().map(|row| row.0).collect();
                let meant = nearest(&document.name, known.iter().copied()).map(str::to_owned);
                sink.report(&UnknownSheet { source, meant, known });
            }
        }
        let mut reading =
            Intake { root, sheets, files, told: Told::new(), sink, places: BTreeMap::new(), taken: BTreeSet::new() };
        reading.check_format();
        let mut job = Self::read_tables(&mut reading);
        reading.finish();
        let mut sink = reading.into_places(&mut job.places);
        job.check_references(&mut sink);
        (job, sink)
    }

    /// Writes the whole job as one document; reading it again gives the same job.
    pub fn to_document(&self) -> String {
        let mut out = toml_edit::DocumentMut::new();
        out.insert("format", toml_edit::value(i64::from(FORMAT)));
        self.write_tables(&mut out);
        out.to_string()
    }

    fn check_references(&self, sink: &mut Sink) {
        let ids = self.ids();
        self.visit_references(&mut |kind, id, field, target_kind, target| {
            // An issued revision may name what the job has no longer; the survey tells of it.
            let Some(known) = ids.get(target_kind).filter(|_| kind != Issued::KIND) else { return };
            if !known.contains(target) {
                let place = self.places.resolve(Place::named(kind, id).field(field));
                let meant = nearest(target, known.iter().map(String::as_str)).map(str::to_owned);
                sink.report(&DanglingReference { place, kind: target_kind, id: target.to_owned(), meant });
            }
        });
    }
}

fn write_rows<R: Record>(records: &[R], out: &mut toml_edit::DocumentMut) {
    let mut rows = toml_edit::ArrayOfTables::new();
    for record in records {
        let mut table = toml_edit::Table::new();
        record.write_fields(&mut table);
        rows.push(table);
    }
    if !rows.is_empty() {
        out.insert(R::TABLE, toml_edit::Item::ArrayOfTables(rows));
    }
}

/// Where the records of a job were written.
#[derive(Clone, Debug, Default)]
pub struct Places {
    /// By kind, then id.
    records: BTreeMap<&'static str, BTreeMap<String, Written>>,
}

/// A record as written, with the files its places refer to.
#[derive(Clone, Debug)]
struct Written {
    table: Table,
    files: Arc<Files>,
}

impl Places {
    /// The place with the source of its field, or of its record when the field was not written.
    #[must_use]
    pub fn resolve(&self, mut place: Place) -> Place {
        if place.source.is_some() {
            return place;
        }
        if let Some(written) = self.records.get(place.kind.as_str()).and_then(|records| records.get(&place.id)) {
            let pos = place.field.as_deref().and_then(|field| written.table.find(field)).unwrap_or(written.table.pos);
            place.source = Some(written.files.source(pos, place.field.as_deref()));
        }
        place
    }

    /// Takes over what a reading found; records of the same id are replaced.
    pub(crate) fn absorb(&mut self, files: Files, tables: BTreeMap<&'static str, BTreeMap<String, Table>>) {
        let files = Arc::new(files);
        for (kind, records) in tables {
            let written = records.into_iter().map(|(id, table)| (id, Written { table, files: Arc::clone(&files) }));
            self.records.entry(kind).or_default().extend(written);
        }
    }
}

/// A job or catalogue while it is read.
pub(crate) struct Intake<'a> {
    pub(crate) root: Table,
    pub(crate) sheets: BTreeMap<&'a str, Sheet>,
    pub(crate) files: Files,
    pub(crate) told: Told,
    pub(crate) sink: Sink,
    pub(crate) places: BTreeMap<&'static str, BTreeMap<String, Table>>,
    pub(crate) taken: BTreeSet<&'static str>,
}

impl Intake<'_> {
    /// Tells when a document was written by a later version; what is known of it is still read.
    fn check_format(&mut self) {
        self.taken.insert("format");
        let Some(node) = self.root.get("format") else { return };
        let written = match node {
            Node::Scalar(scalar, _) => scalar.shown(),
            other => format!("{other:?}"),
        };
        if !written.parse().is_ok_and(|format: u32| (1..=FORMAT).contains(&format)) {
            let source = self.files.source(node.pos(), Some("format"));
            let place = at_place("job", "", "format", &source);
            let expected =
                format!("a format number this version knows, 1 to {FORMAT}; all that is known is still read");
            self.sink.report(&WrongValue { place, source, written, expected });
        }
    }

    /// Reads a table that stands once.
    pub(crate) fn single<T: Section + Default>(&mut self, key: &'static str) -> T {
        self.taken.insert(key);
        let Some(node) = self.root.get(key).cloned() else { return T::default() };
        let Node::Table(table) = node else {
            self.wrong_shape(key, node.pos(), "a table");
            return T::default();
        };
        let mut fields = Fields::new(&table, (key, String::new()), &self.files, &mut self.told, &mut self.sink);
        let value = T::read_fields(&mut fields).unwrap_or_default();
        fields.finish();
        self.places.entry(key).or_default().insert(String::new(), table);
        value
    }

    /// Reads all records of a table, those of the document first, then those of its sheet.
    pub(crate) fn rows<R: Record>(&mut self) -> Vec<R> {
        self.taken.insert(R::TABLE);
        let mut tables = Vec::new();
        match self.root.get(R::TABLE).cloned() {
            None => {}
            Some(Node::List(items, _)) => {
                for item in items {
                    match item {
                        Node::Table(table) => tables.push(table),
                        other => self.wrong_shape(R::TABLE, other.pos(), "a table of fields"),
                    }
                }
            }
            Some(Node::Table(table)) => tables.push(table),
            Some(other) => self.wrong_shape(R::TABLE, other.pos(), "a list of tables"),
        }
        let sheet = self.sheets.remove(R::TABLE).unwrap_or_default();
        tables.extend(sheet.rows);
        let mut records = Vec::new();
        for (row, table) in tables.into_iter().enumerate() {
            records.extend(self.record::<R>(row, table));
        }
        self.check_titles::<R>(&sheet.titles);
        records
    }

    /// Tells of titles nobody knows that no row has used.
    fn check_titles<R: Record>(&mut self, titles: &Table) {
        let mut said = Sink::default();
        let mut fields = Fields::new(titles, (R::KIND, String::new()), &self.files, &mut self.told, &mut said);
        // Only the keys count here; that the empty values cannot be read is nobody's fault.
        let _ = R::read_fields(&mut fields);
        fields.finish();
        said.findings.retain(|finding| finding.code == UnknownKey::INFO.code);
        self.sink.append(said);
    }

    fn record<R: Record>(&mut self, row: usize, table: Table) -> Option<R> {
        let written_id = R::ID_KEY.and_then(|key| match table.get(key) {
            Some(Node::Scalar(scalar, _)) => Some(scalar.shown().trim().to_owned()),
            _ => None,
        });
        let id = written_id.clone().unwrap_or_else(|| (row + 1).to_string());
        let mut fields = Fields::new(&table, (R::KIND, id.clone()), &self.files, &mut self.told, &mut self.sink);
        let record = R::read_fields(&mut fields);
        fields.finish();
        if let (None, Some(key)) = (&record, R::ID_KEY) {
            let source = self.files.source(table.pos, Some(key));
            self.sink.report(&MissingId { source, kind: R::KIND, key });
        }
        let record = record?;
        if let Some(first) = self.places.get(R::KIND).and_then(|records| records.get(&id)) {
            let (first, source) = (self.files.source(first.pos, R::ID_KEY), self.files.source(table.pos, R::ID_KEY));
            let place = Place::named(R::KIND, &id).at(Some(source.clone()));
            self.sink.report(&DuplicateId { place, source, first });
            return None;
        }
        self.places.entry(R::KIND).or_default().insert(id, table);
        Some(record)
    }

    fn wrong_shape(&mut self, key: &str, pos: Pos, expected: &str) {
        let source = self.files.source(pos, Some(key));
        let place = at_place("job", "", key, &source);
        self.sink.report(&WrongValue {
            place,
            source,
            written: key.to_owned(),
            expected: format!("{expected}; write [[{key}]] before each record"),
        });
    }

    /// Tells of every table nobody asked for.
    pub(crate) fn finish(&mut self) {
        for (key, pos, _) in &self.root.entries {
            if !self.taken.contains(key.as_str()) {
                let source = self.files.source(*pos, Some(key));
                let place = at_place("job", "", key, &source);
                let meant = nearest(key, self.taken.iter().copied()).map(str::to_owned);
                let schema = self.files.schema;
                self.sink.report(&UnknownKey { place, source, key: key.clone(), meant, schema });
            }
        }
    }
}
