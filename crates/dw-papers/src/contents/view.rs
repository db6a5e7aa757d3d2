//! The design with what printing it needs at hand: names of devices, units and locale of the reader.

use std::collections::BTreeSet;

use dw_core::{DeviceId, FigureId, Finding, Id, Money, OpeningId, RoomId, Severity, StoreyId};
use dw_engine::Design;
use dw_engine::power::EnclosurePlan;
use dw_engine::price::OpeningPrice;
use dw_engine::route::CableRun;
use dw_engine::survey::Surveyed;

use super::words::Units;
use crate::locale::{Locale, Printer};
use crate::model::{Block, Cell, Value};

/// A design as the papers see it.
pub(super) struct View<'a> {
    pub(super) design: &'a Design,
    pub(super) units: Units,
    pub(super) locale: Locale,
    /// The job's locale, when it is no language tag and another one had to serve.
    pub(super) bad_locale: Option<&'a str>,
    stopped: BTreeSet<&'a str>,
}

impl<'a> View<'a> {
    pub(super) fn new(design: &'a Design) -> Self {
        let settings = &design.survey.settings;
        let named = Locale::new(&settings.locale);
        let bad_locale = named.is_err().then_some(settings.locale.as_str());
        let is_stop = |finding: &&Finding| finding.severity == Severity::Stop && finding.place.kind == OpeningId::KIND;
        let stops = design.findings.iter().filter(is_stop);
        Self {
            design,
            units: Units::of(settings.units),
            locale: named.unwrap_or_default(),
            bad_locale,
            stopped: stops.map(|finding| finding.place.id.as_str()).collect(),
        }
    }

    /// An amount within a sentence, as the reader's locale writes it.
    pub(super) fn money_text(&self, amount: Money) -> String {
        let currency = self.design.price.currency.code();
        let plain = || format!("{currency} {amount}");
        let printer = Printer::new(&self.locale, currency);
        printer.map_or_else(|_| plain(), |printer| printer.full(&Value::Money(amount.amount()), None))
    }

    /// What a device is, in a line; its model where nothing better is known.
    pub(super) fn describe(&self, device: &'a DeviceId) -> &'a str {
        self.design.legend.devices.get(device).map_or_else(|| device.text(), String::as_str)
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

    /// Id and name of a storey, as a heading says it: "Storey T0, quay level".
    pub(super) fn storey_in_full(&self, id: &StoreyId) -> String {
        let name = self.design.legend.storeys.get(id);
        name.map_or_else(|| format!("Storey {id}"), |name| format!("Storey {id}, {name}"))
    }

    pub(super) fn opening(&self, mark: &OpeningId) -> Option<&'a Surveyed> {
        self.design.survey.opening(mark)
    }

    /// Name of an opening; empty where it has none.
    pub(super) fn opening_name(&self, mark: &OpeningId) -> &'a str {
        self.opening(mark).map_or("", |opening| opening.name.as_str())
    }

    /// Whether an opening must not be built as it stands.
    pub(super) fn is_stopped(&self, mark: &OpeningId) -> bool {
        self.stopped.contains(mark.text())
    }

    /// Cables of an opening.
    pub(super) fn runs(&self, mark: &OpeningId) -> &'a [CableRun] {
        let runs = self.design.cables.runs.as_slice();
        let first = runs.partition_point(|run| run.mark < *mark);
        let count = runs[first..].partition_point(|run| run.mark == *mark);
        &runs[first..first + count]
    }

    /// Price of an opening.
    pub(super) fn price_of(&self, mark: &OpeningId) -> Option<&'a OpeningPrice> {
        let prices = self.design.price.openings.as_slice();
        prices.binary_search_by(|price| price.mark.cmp(mark)).ok().map(|idx| &prices[idx])
    }

    /// Enclosure that a controller stands in, by its index in the placement.
    pub(super) fn enclosure_of(&self, controller: usize) -> Option<&'a EnclosurePlan> {
        self.design.power.enclosures.iter().find(|enclosure| enclosure.controllers.contains(&controller))
    }

    /// The words that stand wherever escape, fire, mains or biometrics are touched, as one block.
    pub(super) fn cautions(&self) -> Option<Block> {
        let cautions = &self.design.heading.caution;
        (!cautions.is_empty()).then(|| Block::Caution(format!("• {}", cautions.join("\n• "))))
    }
}

/// A cell that links to the working of a figure.
pub(super) fn shown(cell: Cell, kind: &str, id: &str, name: &str) -> Cell {
    cell.explained_by(FigureId::new(kind, id, name).path())
}
