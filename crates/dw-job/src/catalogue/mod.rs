//! The catalogue: devices, labour and prices, as data files a firm can replace or overlay.

mod device;
mod labour;

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{Currency, DeviceId, Id, Sink};
use serde_json::{Value as Json, json};

pub use device::*;
pub use labour::*;

use crate::job::{Intake, Places};
use crate::text::{Document, Record, Section, read_toml, section};

section! {
    /// The heading of a catalogue file.
    pub struct CatalogueHeading {
        /// Name of the catalogue.
        name: Option<String>,
        /// Edition or date of the prices.
        edition: Option<String>,
        /// Currency of all its prices.
        currency: Option<Currency>,
        /// Where the figures come from.
        source: Option<String>,
    }
}

/// Devices and labour by id.
#[derive(Clone, Debug, Default)]
pub struct Catalogue {
    /// Name, edition, currency: of the last file that says.
    pub heading: CatalogueHeading,
    /// Devices.
    pub devices: BTreeMap<DeviceId, Device>,
    /// Grades of labour and their rates.
    pub grades: Vec<Grade>,
    /// Labour tasks.
    pub tasks: Vec<Task>,
    /// Devices that are known, and may be there already, but are not to be bought.
    pub refused: BTreeSet<DeviceId>,
    /// Where everything was written.
    pub places: Places,
}

impl Catalogue {
    /// Reads catalogue files in order; a record of a later file replaces the record of the same id in an earlier one.
    pub fn read(documents: &[Document]) -> (Self, Sink) {
        let mut catalogue = Self::default();
        let mut sink = Sink::default();
        for document in documents {
            let mut reading = Intake::new("catalogue", document, sink);
            let heading: CatalogueHeading = reading.single("catalogue");
            catalogue.heading = CatalogueHeading {
                name: heading.name.or(catalogue.heading.name),
                edition: heading.edition.or(catalogue.heading.edition),
                currency: heading.currency.or(catalogue.heading.currency),
                source: heading.source.or(catalogue.heading.source),
            };
            catalogue.devices.extend(reading.rows::<Device>().into_iter().map(|device| (device.id.clone(), device)));
            replace(&mut catalogue.grades, reading.rows());
            replace(&mut catalogue.tasks, reading.rows());
            reading.finish();
            sink = reading.into_places(&mut catalogue.places);
        }
        (catalogue, sink)
    }

    /// The devices of a kind, in the order of their ids.
    pub fn of_kind(&self, kind: DeviceKind) -> impl Iterator<Item = &Device> {
        self.devices.values().filter(move |device| device.kind == Some(kind))
    }

    /// The devices of a kind that may be bought, in the order of their ids.
    pub fn offered(&self, kind: DeviceKind) -> impl Iterator<Item = &Device> {
        self.of_kind(kind).filter(|device| !self.refused.contains(&device.id))
    }

    /// The grade that fits devices, pulls cable and adapts what stays: the one called `installer`, else the first.
    pub fn fitter(&self) -> Option<&Grade> {
        self.called(FITTER).or(self.grades.first())
    }

    /// The grade that sets devices to work: the one called `engineer`, else the one that fits.
    pub fn engineer(&self) -> Option<&Grade> {
        self.called(ENGINEER).or_else(|| self.fitter())
    }

    fn called(&self, name: &str) -> Option<&Grade> {
        self.grades.iter().find(|grade| grade.id.text() == name)
    }

    /// The same catalogue, of which these devices are not to be bought.
    #[must_use]
    pub fn refusing(&self, refused: &[DeviceId]) -> Self {
        Self { refused: refused.iter().cloned().collect(), ..self.clone() }
    }

    /// The JSON Schema (2020-12) of a catalogue file.
    pub fn json_schema() -> Json {
        let rows = |schema: Json| json!({ "type": "array", "items": schema });
        json!({
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            "title": "Doorwright catalogue file",
            "type": "object",
            "properties": {
                "catalogue": CatalogueHeading::json_schema("Heading of the file"),
                Device::TABLE: rows(Device::json_schema(Device::ABOUT)),
                Grade::TABLE: rows(Grade::json_schema(Grade::ABOUT)),
                Task::TABLE: rows(Task::json_schema(Task::ABOUT)),
            },
            "additionalProperties": false,
        })
    }
}

fn replace<R: Record>(records: &mut Vec<R>, newer: Vec<R>) {
    records.retain(|record| newer.iter().all(|new| new.id() != record.id()));
    records.extend(newer);
}

/// Reads one document into a table, for a catalogue or profile.
impl Intake<'_> {
    pub(crate) fn new(schema: &'static str, document: &Document, mut sink: Sink) -> Self {
        let mut files = crate::text::Files::new(schema);
        let root = read_toml(document, &mut files, &mut sink);
        Self {
            root,
            files,
            told: crate::text::Told::new(),
            sink,
            sheets: BTreeMap::new(),
            places: BTreeMap::new(),
            taken: BTreeSet::new(),
        }
    }

    pub(crate) fn into_places(self, places: &mut Places) -> Sink {
        places.absorb(self.files, self.places);
        self.sink
    }
}
