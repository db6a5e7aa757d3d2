//! The design with what printing it needs at hand: names of devices, units and locale of the reader.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, Id, OpeningId, RoomId};
use dw_engine::Design;
use dw_engine::survey::Surveyed;

use super::words::Units;
use crate::locale::Locale;
use crate::model::{Block, Cell};

/// A design as the papers see it.
pub(super) struct View<'a> {
    pub(super) design: &'a Design,
    pub(super) units: Units,
    pub(super) locale: Locale,
    /// The job's locale, when it is no language tag and another one had to serve.
    pub(super) bad_locale: Option<&'a str>,
    descriptions: BTreeMap<&'a DeviceId, &'a str>,
}

impl<'a> View<'a> {
    pub(super) fn new(design: &'a Design) -> Self {
        let settings = &design.survey.settings;
        let named = Locale::new(&settings.locale);
        let bad_locale = named.is_err().then_some(settings.locale.as_str());
        let described = design.price.materials.iter().map(|line| (&line.device, line.description.as_str()));
        Self {
            design,
            units: Units::of(settings.units),
            locale: named.unwrap_or_default(),
            bad_locale,
            descriptions: described.filter(|(_, text)| !text.is_empty()).collect(),
        }
    }

    /// What a device is, in a line; its model where nothing better is known.
    pub(super) fn describe(&self, device: &'a DeviceId) -> &'a str {
        self.descriptions.get(device).copied().unwrap_or_else(|| device.text())
    }

    /// Name of a room, or its id where it has none.
    pub(super) fn room(&self, id: &'a RoomId) -> &'a str {
        let name = self.design.survey.room(id).map_or("", |room| room.name.as_str());
        if name.is_empty() { id.text() } else { name }
    }

    /// Id and name of a room, as a heading says it: "TR-1, comms room".
    pub(super) fn room_in_full(&self, id: &'a RoomId) -> String {
        let name = self.room(id);
        if name == id.text() { name.to_owned() } else { format!("{id}, {name}") }
    }

    pub(super) fn opening(&self, mark: &OpeningId) -> Option<&'a Surveyed> {
        self.design.survey.opening(mark)
    }

    /// Name of an opening; empty where it has none.
    pub(super) fn opening_name(&self, mark: &OpeningId) -> &'a str {
        self.opening(mark).map_or("", |opening| opening.name.as_str())
    }

    /// The words that stand wherever escape, fire, mains or biometrics are touched, as one block.
    pub(super) fn cautions(&self) -> Option<Block> {
        let cautions = &self.design.heading.caution;
        (!cautions.is_empty()).then(|| Block::Caution(cautions.join("\n")))
    }
}

/// A cell that links to the working of a figure.
pub(super) fn shown(cell: Cell, kind: &str, id: &str, name: &str) -> Cell {
    cell.explained_by(FigureId::new(kind, id, name).path())
}
