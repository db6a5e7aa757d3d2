//! Quantities of the design, for the proposal and for programs.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Id, Metres, Money};
use dw_job::model::{OpeningKind, WorkKind};

use super::rows::{field, grouped, some, table, total};
use super::view::View;
use super::words::{self, capital};
use crate::model::{Cell, Column, Table};

/// The quantity tables.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    vec![openings(view), equipment(view)]
}

/// Openings of one kind.
struct OfKind {
    kind: OpeningKind,
    all: u32,
    work: BTreeMap<WorkKind, u32>,
    held: u32,
    net: Money,
}

/// Openings by kind, with the work they are and their price.
pub(super) fn openings(view: &View<'_>) -> Table {
    let mut kinds = BTreeMap::<OpeningKind, OfKind>::new();
    for opening in &view.design.survey.openings {
        let empty = OfKind { kind: opening.kind, all: 0, work: BTreeMap::new(), held: 0, net: Money::ZERO };
        let of_kind = kinds.entry(opening.kind).or_insert(empty);
        of_kind.all += 1;
        *of_kind.work.entry(opening.work).or_default() += 1;
        of_kind.held += u32::from(!opening.orderable);
        of_kind.net += view.price_of(&opening.mark).map_or(Money::ZERO, |price| price.net);
    }
    let kinds: Vec<OfKind> = kinds.into_values().collect();
    let work = |title: &str, work: WorkKind| {
        field(Column::number(title, "", 1.0), move |row: &OfKind| some(row.work.get(&work).copied().unwrap_or(0)))
    };
    let fields = [
        field(Column::text("Kind", 3.0), |row: &OfKind| Cell::text(capital(words::kind(row.kind).0))),
        field(Column::number("Openings", "", 1.0), |row: &OfKind| Cell::count(row.all)),
        work("New", WorkKind::New),
        work("Retrofit", WorkKind::Retrofit),
        work("Takeover", WorkKind::Takeover),
        field(Column::number("Not to be ordered yet", "", 1.2), |row: &OfKind| some(row.held)),
        field(Column::money("Net price", 1.6), |row: &OfKind| Cell::money(row.net.amount())),
    ];
    let mut table = table("openings-by-kind", "Openings", &fields, &kinds);
    let sum = |part: fn(&OfKind) -> u32| some(kinds.iter().map(part).sum());
    let net: Money = kinds.iter().map(|row| row.net).sum();
    let sums = [(1, sum(|row| row.all)), (5, sum(|row| row.held)), (6, Cell::money(net.amount()))];
    table.rows.push(total(fields.len(), "All openings", sums));
    table
}

/// How many of a device.
struct Quantity<'a> {
    what: &'a str,
    model: &'a str,
    new: f64,
    stays: f64,
    unit: &'static str,
}

/// Devices by part of the design.
pub(super) fn equipment(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("What", 6.0), |row: &Quantity<'_>| Cell::text(row.what)),
        field(Column::text("Model", 1.6), |row: &Quantity<'_>| Cell::text(row.model)),
        field(Column::number("New", "", 1.0), |row: &Quantity<'_>| quantity_cell(row.new)),
        field(Column::number("Stays", "", 1.0), |row: &Quantity<'_>| quantity_cell(row.stays)),
        field(Column::text("Unit", 0.8), |row: &Quantity<'_>| Cell::text(row.unit)),
    ];
    grouped("quantities", "Equipment", &fields, &parts(view))
}

fn quantity_cell(quantity: f64) -> Cell {
    if quantity == 0.0 { Cell::empty() } else { Cell::number(quantity, 0) }
}

/// Counts of devices, new and staying.
type Counts<'a> = BTreeMap<&'a DeviceId, (u32, u32)>;

fn parts<'a>(view: &View<'a>) -> Vec<(String, Vec<Quantity<'a>>)> {
    let design = view.design;
    let mut parts: Vec<(&'static str, Counts<'a>)> = Vec::new();
    let mut add = |part: &'static str, device: &'a DeviceId, count: u32, kept: bool| {
        let idx = parts.iter().position(|row| row.0 == part).unwrap_or_else(|| {
            parts.push((part, Counts::new()));
            parts.len() - 1
        });
        let counts = parts[idx].1.entry(device).or_default();
        let side = if kept { &mut counts.1 } else { &mut counts.0 };
        *side = side.saturating_add(count);
    };
    for controller in &design.placement.controllers {
        add("Controllers", &controller.device, 1, controller.kept);
    }
    let mut fitted: Vec<_> = design.equipment.openings.iter().flat_map(|equipped| &equipped.devices).collect();
    fitted.sort_by_key(|fitted| fitted.role);
    for fitted in fitted {
        add(words::role(fitted.role), &fitted.device, fitted.count, fitted.kept);
    }
    for enclosure in &design.power.enclosures {
        let devices = [
            (&enclosure.enclosure, 1),
            (&enclosure.supply, enclosure.supplies),
            (&enclosure.battery, enclosure.batteries),
        ];
        for (device, count) in devices {
            if let Some(device) = device {
                add("Enclosures, supplies and batteries", device, count, false);
            }
        }
    }
    for link in design.routes.links.iter().filter_map(|link| link.device.as_ref()) {
        add("Radio bridges", link, 1, false);
    }
    for (section, device, count) in bought_besides(view, &parts) {
        let idx = parts.iter().position(|row| row.0 == section).unwrap_or_else(|| {
            parts.push((section, Counts::new()));
            parts.len() - 1
        });
        parts[idx].1.entry(device).or_default().0 += count;
    }
    let devices = parts.into_iter().map(|(part, counts)| {
        let rows = counts.into_iter().map(|(device, (new, stays))| Quantity {
            what: view.describe(device),
            model: device.text(),
            new: f64::from(new),
            stays: f64::from(stays),
            unit: "each",
        });
        (part.to_owned(), rows.collect())
    });
    devices.chain(cable(view)).collect()
}

/// What the price buys beyond the parts: switches, surge protectors, head-end, licences, cards, and what the job buys by number.
fn bought_besides<'a>(view: &View<'a>, parts: &[(&'static str, Counts<'a>)]) -> Vec<(&'static str, &'a DeviceId, u32)> {
    let counted =
        |device: &DeviceId| parts.iter().filter_map(|part| part.1.get(device)).map(|count| count.0).sum::<u32>();
    let lines = view.design.price.materials.iter().filter(|line| line.unit == "each");
    let more = lines.map(|line| {
        let bought = line.quantity.ceil().clamp(0.0, f64::from(u32::MAX)) as u32;
        (words::section(line.section), &line.device, bought.saturating_sub(counted(&line.device)))
    });
    more.filter(|row| row.2 > 0).collect()
}

/// Cable by model: lengths cut new, and lengths in the walls that serve again.
fn cable<'a>(view: &View<'a>) -> Option<(String, Vec<Quantity<'a>>)> {
    let design = view.design;
    let row = |what, model, new: Metres, stays: Metres| Quantity {
        what,
        model,
        new: view.units.length_value(new),
        stays: view.units.length_value(stays),
        unit: view.units.length_unit(),
    };
    let bought = design.cables.purchases.iter();
    let mut rows: Vec<Quantity<'a>> =
        bought.map(|cable| row(view.describe(&cable.device), cable.device.text(), cable.cut_m, Metres::ZERO)).collect();
    let existing: Metres = design.cables.runs.iter().filter(|run| run.existing).map(|run| run.length_m).sum();
    if existing > Metres::ZERO {
        rows.push(row("Cable in the walls that serves again", "", Metres::ZERO, existing));
    }
    (!rows.is_empty()).then(|| ("Cable as cut".to_owned(), rows))
}
