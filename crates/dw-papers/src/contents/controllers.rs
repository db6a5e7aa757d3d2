//! Controller sheets: every controller with its ports, the devices and conductors on them; units at openings.

use dw_core::{Id, OpeningId};
use dw_engine::capacity::{Holder, Store};
use dw_engine::equip::{ControlNeed, Equipped, Role};
use dw_engine::place::PlacedController;
use dw_engine::route::CableRun;
use dw_engine::survey::SurveyedRoom;

use super::cables::{cable, cores};
use super::rows::{Field, field, known, table};
use super::view::{View, shown};
use super::words;
use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Table};

/// One port of one controller.
struct Port<'a> {
    controller: &'a PlacedController,
    number: usize,
    mark: Option<&'a OpeningId>,
    equipped: Option<&'a Equipped>,
}

/// The controller sheets.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let mut blocks = vec![Block::Table(rooms(view))];
    for (idx, controller) in view.design.placement.controllers.iter().enumerate() {
        blocks.extend(sheet(view, idx, controller));
    }
    let units = units(view);
    if !units.rows.is_empty() {
        blocks.push(Block::Heading("Units that decide by themselves".to_owned()));
        blocks.push(Block::Table(units));
    }
    blocks.extend(view.cautions());
    Paper {
        id: "controller-sheets".to_owned(),
        title: "Controller sheets".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

/// Rooms, ports, units and what is stored where.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    let ports: Vec<Port<'_>> =
        view.design.placement.controllers.iter().flat_map(|controller| ports(view, controller)).collect();
    let mut fields = controller_fields(view);
    fields.extend(port_fields(view));
    vec![rooms(view), table("controllers", "Controllers and ports", &fields, &ports), units(view), stores(view)]
}

fn rooms(view: &View<'_>) -> Table {
    let controllers = |room: &SurveyedRoom| {
        let id = room.id.clone();
        view.design.placement.controllers.iter().filter(move |controller| controller.room == id)
    };
    let used =
        move |room: &SurveyedRoom| controllers(room).flat_map(|c| &c.ports).filter(|port| port.is_some()).count();
    let all = move |room: &SurveyedRoom| controllers(room).map(|controller| controller.ports.len()).sum::<usize>();
    let count = |count: usize| Cell::number(count as f64, 0);
    let fields = [
        field(Column::text("Room", 1.0), |room: &&SurveyedRoom| Cell::text(room.id.text())),
        field(Column::text("Name", 3.0), |room: &&SurveyedRoom| Cell::text(&room.name)),
        field(Column::number("Controllers", "", 1.0), move |room: &&SurveyedRoom| count(controllers(room).count())),
        field(Column::number("Ports", "", 1.0), move |room: &&SurveyedRoom| count(all(room))),
        field(Column::number("Used", "", 1.0), move |room: &&SurveyedRoom| count(used(room))),
        field(Column::number("Spare", "", 1.0), move |room: &&SurveyedRoom| count(all(room) - used(room))),
        field(Column::number("Enclosures", "", 1.0), |room: &&SurveyedRoom| {
            count(view.design.power.enclosures.iter().filter(|enclosure| enclosure.room == room.id).count())
        }),
        field(Column::text("Network from", 1.4), |room: &&SurveyedRoom| {
            let radio = |bridge: &dw_engine::survey::Bridge| {
                Cell::text(format!("radio from {}, {}", bridge.from, view.units.length_text(bridge.length_m)))
            };
            room.bridge.as_ref().map_or_else(|| Cell::text("cable"), radio)
        }),
    ];
    table("rooms", "Telecom rooms", &fields, &view.design.survey.rooms.iter().collect::<Vec<_>>())
}

/// Heading, facts, ports and conductors of one controller.
fn sheet(view: &View<'_>, idx: usize, controller: &PlacedController) -> Vec<Block> {
    let ports = ports(view, controller);
    let conductors = conductors(view, controller);
    let mut blocks = vec![
        Block::Heading(format!("{}: {}", controller.label, view.describe(&controller.device))),
        Block::Facts(facts(view, idx, controller)),
        Block::Table(table("ports", "Ports", &port_fields(view), &ports)),
    ];
    if !conductors.rows.is_empty() {
        blocks.push(Block::Table(conductors));
    }
    blocks
}

fn facts(view: &View<'_>, idx: usize, controller: &PlacedController) -> Vec<Fact> {
    let used = controller.ports.iter().filter(|port| port.is_some()).count();
    let enclosure = view.design.power.enclosures.iter().find(|enclosure| enclosure.controllers.contains(&idx));
    let mut facts = vec![
        Fact::new(
            "Model",
            Cell::text(format!("{}{}", controller.device, if controller.kept { ", stays" } else { "" })),
        ),
        Fact::new("Room", Cell::text(view.room_in_full(&controller.room))),
        Fact::new("Enclosure", known(enclosure, |enclosure| Cell::text(enclosure.id.text()))),
        Fact::new("Ports used", Cell::text(format!("{used} of {}", controller.ports.len()))),
    ];
    if let Some(holder) = view.design.capacity.holders.iter().find(|holder| holder.label == controller.label) {
        facts.extend(holder.stores.iter().map(|store| stored(holder, store)));
        facts.extend(holder.offline_days.map(|days| {
            Fact::new(
                "Events kept without network",
                shown(Cell::number(days, 0), "controller", &holder.label, "offline_days"),
            )
            .in_unit("days")
        }));
    }
    facts
}

/// What is stored, against the limit: "412 of 50,000".
fn stored(holder: &Holder, store: &Store) -> Fact {
    let limit = store.limit.map_or_else(|| words::UNKNOWN.to_owned(), |limit| limit.to_string());
    let cell = Cell::text(format!("{} of {limit}", store.needed));
    Fact::new(format!("{} needed", words::capital(store.what)), shown(cell, "controller", &holder.label, store.what))
}

fn ports<'a>(view: &View<'a>, controller: &'a PlacedController) -> Vec<Port<'a>> {
    let numbered = controller.ports.iter().enumerate();
    numbered
        .map(|(idx, mark)| Port {
            controller,
            number: idx + 1,
            mark: mark.as_ref(),
            equipped: mark.as_ref().and_then(|mark| view.design.equipment.opening(mark)),
        })
        .collect()
}

fn controller_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Port<'a>>> {
    vec![
        field(Column::text("Controller", 1.2), |port: &Port<'_>| Cell::text(&port.controller.label)),
        field(Column::text("Model", 1.2), |port: &Port<'_>| Cell::text(port.controller.device.text())),
        field(Column::text("Room", 1.2), |port: &Port<'_>| Cell::text(port.controller.room.text())),
        field(Column::text("Enclosure", 1.2), |port: &Port<'_>| {
            let holds = |idx: &usize| {
                view.design.placement.controllers.get(*idx).is_some_and(|c| c.label == port.controller.label)
            };
            let enclosure =
                view.design.power.enclosures.iter().find(|enclosure| enclosure.controllers.iter().any(holds));
            known(enclosure, |enclosure| Cell::text(enclosure.id.text()))
        }),
    ]
}

fn port_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Port<'a>>> {
    let role = |title: &str, roles: &'static [Role]| {
        field(Column::text(title, 1.2), move |port: &Port<'_>| {
            port.equipped.map_or_else(Cell::empty, |equipped| devices(equipped, roles))
        })
    };
    vec![
        field(Column::number("Port", "", 0.5), |port: &Port<'_>| Cell::number(port.number as f64, 0)),
        field(Column::text("Mark", 0.8), |port: &Port<'_>| Cell::text(port.mark.map_or("spare", Id::text))),
        field(Column::text("Opening", 2.2), |port: &Port<'_>| {
            Cell::text(port.mark.map_or("", |mark| view.opening_name(mark)))
        }),
        role("Readers", &[Role::ReaderIn, Role::ReaderOut]),
        role("Lock or drive", &[Role::Lock]),
        field(Column::text("Power lost", 0.9), |port: &Port<'_>| {
            let mode = port.equipped.and_then(|equipped| equipped.fail_mode);
            mode.map_or_else(Cell::empty, |mode| Cell::text(words::fail_mode(mode)))
        }),
        role("Request to exit", &[Role::ExitRequest, Role::EmergencyRelease]),
        role("Door contact", &[Role::DoorContact]),
        role("Other devices", &[Role::PowerTransfer, Role::Sounder, Role::Splitter, Role::Other]),
    ]
}

fn devices(equipped: &Equipped, roles: &[Role]) -> Cell {
    let fitted = equipped.devices.iter().filter(|fitted| roles.contains(&fitted.role));
    let texts: Vec<String> = fitted
        .map(|fitted| {
            if fitted.count == 1 { fitted.device.to_string() } else { format!("{} × {}", fitted.count, fitted.device) }
        })
        .collect();
    if texts.is_empty() { Cell::empty() } else { Cell::text(texts.join(", ")) }
}

/// Every core that arrives at a controller, by cable.
fn conductors(view: &View<'_>, controller: &PlacedController) -> Table {
    let arrives = |run: &&CableRun| controller.ports.iter().flatten().any(|mark| *mark == run.mark);
    let mut runs: Vec<(String, &CableRun)> = view
        .design
        .cables
        .runs
        .iter()
        .filter(arrives)
        .map(|run| (super::openings::ports_of(&controller.ports, &run.mark).join(", "), run))
        .collect();
    runs.sort_by(|a, b| dw_core::natural_cmp(&a.0, &b.0));
    let fields = [
        field(Column::text("Port", 0.5), |row: &(String, &CableRun)| Cell::text(&row.0)),
        field(Column::text("Cable label", 1.0), |row: &(String, &CableRun)| Cell::text(&row.1.label)),
        field(Column::text("For", 1.0), |row: &(String, &CableRun)| Cell::text(words::cable_use(row.1.purpose))),
        field(Column::text("Cable", 1.2), |row: &(String, &CableRun)| cable(row.1)),
        field(Column::text("What each core does", 6.0), |row: &(String, &CableRun)| Cell::text(cores(&row.1.cores))),
    ];
    table("conductors", "Conductors", &fields, &runs)
}

fn units(view: &View<'_>) -> Table {
    let own = |equipped: &&Equipped| matches!(equipped.control, ControlNeed::OwnUnit { .. });
    let openings: Vec<&Equipped> = view.design.equipment.openings.iter().filter(own).collect();
    let fields = [
        field(Column::text("Mark", 1.0), |e: &&Equipped| Cell::text(e.mark.text())),
        field(Column::text("Opening", 2.4), |e: &&Equipped| Cell::text(view.opening_name(&e.mark))),
        field(Column::text("Unit", 1.2), |e: &&Equipped| match &e.control {
            ControlNeed::OwnUnit { unit } => Cell::text(unit.text()),
            ControlNeed::Ports { .. } | ControlNeed::None => Cell::empty(),
        }),
        field(Column::text("What it is", 4.0), |e: &&Equipped| match &e.control {
            ControlNeed::OwnUnit { unit } => Cell::text(view.describe(unit)),
            ControlNeed::Ports { .. } | ControlNeed::None => Cell::empty(),
        }),
        field(Column::text("Room", 1.0), |e: &&Equipped| {
            known(view.design.placement.of(&e.mark), |served| Cell::text(served.room.text()))
        }),
        field(Column::text("Lock or drive", 1.2), |e: &&Equipped| devices(e, &[Role::Lock])),
        field(Column::text("Fed by", 1.2), |e: &&Equipped| devices(e, &[Role::Splitter])),
    ];
    table("own-units", "Units at openings", &fields, &openings)
}

/// What every controller and unit has to hold.
fn stores(view: &View<'_>) -> Table {
    let rows: Vec<(&Holder, &Store)> = view
        .design
        .capacity
        .holders
        .iter()
        .flat_map(|holder| holder.stores.iter().map(move |store| (holder, store)))
        .collect();
    let fields = [
        field(Column::text("Held by", 1.5), |row: &(&Holder, &Store)| Cell::text(&row.0.label)),
        field(Column::text("Model", 1.2), |row: &(&Holder, &Store)| Cell::text(row.0.device.text())),
        field(Column::text("What", 1.5), |row: &(&Holder, &Store)| Cell::text(row.1.what)),
        field(Column::number("Needed", "", 1.0), |row: &(&Holder, &Store)| Cell::count(row.1.needed)),
        field(Column::number("Limit", "", 1.0), |row: &(&Holder, &Store)| known(row.1.limit, Cell::count)),
        field(Column::number("Events kept without network", "days", 1.2), |row: &(&Holder, &Store)| {
            known(row.0.offline_days, |days| Cell::number(days, 1))
        }),
    ];
    table("capacities", "What is stored where", &fields, &rows)
}
