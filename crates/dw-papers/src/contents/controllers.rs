//! Controller sheets: every controller with its ports, the devices and conductors on them; units at openings.

use dw_core::{Id, OpeningId};
use dw_engine::capacity::{Holder, Store};
use dw_engine::equip::{ControlNeed, Equipped, Role};
use dw_engine::place::{PlacedController, SharesNone};
use dw_engine::power::EnclosurePlan;
use dw_engine::route::CableRun;
use dw_engine::survey::SurveyedRoom;

use super::cables::{cable, cores};
use super::openings::{devices, ports_of};
use super::rows::{Field, field, known, table};
use super::view::{View, shown};
use super::words;
use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Table};

/// Beyond a year without its network nobody counts the days of a log any more.
const DAYS_SHOWN: f64 = 365.0;

/// One port of one controller.
struct Port<'a> {
    controller: &'a PlacedController,
    enclosure: Option<&'a EnclosurePlan>,
    number: usize,
    mark: Option<&'a OpeningId>,
    equipped: Option<&'a Equipped>,
}

/// The controller sheets.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let mut blocks = vec![Block::Table(rooms(view))];
    let units = units(view);
    if !units.rows.is_empty() {
        blocks.push(Block::Table(units));
    }
    blocks.extend(apart(view));
    blocks.extend(unused(view));
    blocks.extend(view.cautions());
    let controllers = view.design.placement.controllers.iter().enumerate();
    for (idx, controller) in controllers.filter(|(_, controller)| is_used(controller)) {
        blocks.push(Block::NewPage);
        blocks.extend(sheet(view, idx, controller));
    }
    blocks.push(Block::NewPage);
    blocks.push(Block::Table(stores(view)));
    Paper {
        id: "controller-sheets".to_owned(),
        title: "Controller sheets".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

fn is_used(controller: &PlacedController) -> bool {
    controller.ports.iter().any(Option::is_some)
}

/// Controllers on which no opening hangs: they have no sheet.
fn unused(view: &View<'_>) -> Option<Block> {
    let unused = view.design.placement.controllers.iter().filter(|controller| !is_used(controller));
    let (kept, new): (Vec<_>, Vec<_>) = unused.partition(|controller| controller.kept);
    let labels = |these: &[&PlacedController]| {
        these.iter().map(|controller| controller.label.clone()).collect::<Vec<_>>().join(", ")
    };
    let percent = view.design.survey.settings.spare_percent;
    let for_spare = format!("Bought for spare ports only ({percent} % of all ports stay free): {}.", labels(&new));
    let staying = format!("On site already, with no opening on them: {}.", labels(&kept));
    let told = [(!new.is_empty()).then_some(for_spare), (!kept.is_empty()).then_some(staying)];
    let told: Vec<String> = told.into_iter().flatten().collect();
    (!told.is_empty()).then(|| Block::Text(told.join(" ")))
}

/// Rooms, ports, units and what is stored where.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    let controllers = view.design.placement.controllers.iter().enumerate();
    let ports: Vec<Port<'_>> = controllers.flat_map(|(idx, controller)| ports(view, idx, controller)).collect();
    let mut fields = controller_fields();
    fields.extend(port_fields(view));
    vec![
        rooms(view),
        table("controllers", "Controllers and ports", &fields, &ports),
        units(view),
        apart_table(view),
        stores(view),
    ]
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
        field(Column::number("Used", "", 1.0), move |room: &&SurveyedRoom| {
            shown(count(used(room)), "room", room.id.text(), "ports_used")
        }),
        field(Column::number("Spare", "", 1.0), move |room: &&SurveyedRoom| {
            shown(count(all(room) - used(room)), "room", room.id.text(), "ports_spare")
        }),
        field(Column::number("Enclosures", "", 1.0), |room: &&SurveyedRoom| {
            count(view.design.power.enclosures.iter().filter(|enclosure| enclosure.room == room.id).count())
        }),
        field(Column::text("Network from", 1.4), |room: &&SurveyedRoom| {
            let chosen = view.design.routes.links.iter().find(|link| link.to == room.id);
            let of_link = |link: &dw_engine::route::RoomLink| {
                let by = if link.trench.is_some() { "trench" } else { "radio" };
                Cell::text(format!("{by} from {}, {}", link.from, view.units.length_text(link.length_m)))
            };
            // A room that is not in use has no link chosen.
            let surveyed = || room.uplink.as_ref().map_or("cable".to_owned(), |it| format!("{}, not in use", it.from));
            chosen.map_or_else(|| Cell::text(surveyed()), of_link)
        }),
    ];
    table("rooms", "Telecom rooms", &fields, &view.design.survey.rooms.iter().collect::<Vec<_>>())
}

/// Openings that must not share a controller, and what that costs; nothing where nobody must stay apart.
fn apart(view: &View<'_>) -> Vec<Block> {
    let placement = &view.design.placement;
    if placement.apart.is_empty() {
        return Vec::new();
    }
    let mut blocks = vec![Block::Table(apart_table(view))];
    blocks.extend(placement.apart_costs.map(|more| {
        let more = shown(Cell::money(more.amount()), "job", "", "apart_costs");
        Block::Facts(vec![Fact::new("Cost beyond the best plan found without these demands", more)])
    }));
    blocks
}

/// One opening of a demand, by the number of the demand and its place in it.
struct Apart<'a> {
    number: usize,
    demand: &'a SharesNone,
    place: usize,
}

fn apart_table(view: &View<'_>) -> Table {
    let demands = view.design.placement.apart.iter().enumerate();
    let rows: Vec<Apart<'_>> = demands
        .flat_map(|(idx, demand)| (0..demand.openings.len()).map(move |place| Apart { number: idx + 1, demand, place }))
        .collect();
    let mark = |row: &Apart<'_>| row.demand.openings[row.place].clone();
    let fields = [
        field(Column::number("Demand", "", 0.8), |row: &Apart<'_>| Cell::number(row.number as f64, 0)),
        field(Column::text("Mark", 1.0), move |row: &Apart<'_>| Cell::text(mark(row).text())),
        field(Column::text("Opening", 2.4), move |row: &Apart<'_>| Cell::text(view.opening_name(&mark(row)))),
        field(Column::text("Controller", 1.2), |row: &Apart<'_>| {
            known(row.demand.controllers.get(row.place).and_then(Option::as_ref), Cell::text)
        }),
        field(Column::text("Why", 3.0), |row: &Apart<'_>| known(row.demand.because.as_ref(), Cell::text)),
    ];
    table("apart", "Openings that share no controller", &fields, &rows)
}

/// Heading, facts, ports and conductors of one controller.
fn sheet(view: &View<'_>, idx: usize, controller: &PlacedController) -> Vec<Block> {
    let ports = ports(view, idx, controller);
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
    let enclosure = view.enclosure_of(idx);
    vec![
        Fact::new(
            "Model",
            Cell::text(format!("{}{}", controller.device, if controller.kept { ", stays" } else { "" })),
        ),
        Fact::new("Room", Cell::text(view.room_in_full(&controller.room))),
        Fact::new("Enclosure", known(enclosure, |enclosure| Cell::text(enclosure.id.text()))),
        Fact::new("Ports used", Cell::text(format!("{used} of {}", controller.ports.len()))),
    ]
}

fn ports<'a>(view: &View<'a>, idx: usize, controller: &'a PlacedController) -> Vec<Port<'a>> {
    let enclosure = view.enclosure_of(idx);
    let numbered = controller.ports.iter().enumerate();
    numbered
        .map(|(idx, mark)| Port {
            controller,
            enclosure,
            number: idx + 1,
            mark: mark.as_ref(),
            equipped: mark.as_ref().and_then(|mark| view.design.equipment.opening(mark)),
        })
        .collect()
}

fn controller_fields<'a>() -> Vec<Field<'a, Port<'a>>> {
    vec![
        field(Column::text("Controller", 1.2), |port: &Port<'_>| Cell::text(&port.controller.label)),
        field(Column::text("Model", 1.2), |port: &Port<'_>| Cell::text(port.controller.device.text())),
        field(Column::text("Room", 1.2), |port: &Port<'_>| Cell::text(port.controller.room.text())),
        field(Column::text("Enclosure", 1.2), |port: &Port<'_>| {
            known(port.enclosure, |enclosure| Cell::text(enclosure.id.text()))
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

/// Every core that arrives at a controller, by cable.
fn conductors(view: &View<'_>, controller: &PlacedController) -> Table {
    let marks: std::collections::BTreeSet<&OpeningId> = controller.ports.iter().flatten().collect();
    let on_ports = |mark: &OpeningId| ports_of(&controller.ports, mark).join(", ");
    let runs = marks.into_iter().flat_map(|mark| view.runs(mark).iter().map(move |run| (on_ports(mark), run)));
    let mut runs: Vec<(String, &CableRun)> = runs.collect();
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
    table("own-units", "Units that decide by themselves", &fields, &openings)
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
        field(Column::number("Needed, growth included", "", 1.2), |row: &(&Holder, &Store)| {
            figure(row.0, Cell::count(row.1.needed), &figure_name(row.1.what))
        }),
        field(Column::number("Limit", "", 1.0), |row: &(&Holder, &Store)| known(row.1.limit, Cell::count)),
        field(Column::number("Events kept without network", "days", 1.2), |row: &(&Holder, &Store)| {
            figure(row.0, known(row.0.offline_days, days), "offline_days")
        }),
    ];
    table("capacities", "What is stored where", &fields, &rows)
}

/// Days, as far as they mean anything.
fn days(days: f64) -> Cell {
    if days > DAYS_SHOWN { Cell::text(format!("over {DAYS_SHOWN}")) } else { Cell::number(days, 0) }
}

/// A figure of a controller, or of the unit at an opening.
fn figure(holder: &Holder, cell: Cell, name: &str) -> Cell {
    let is_unit = holder.openings.first().is_some_and(|mark| mark.text() == holder.label);
    shown(cell, if is_unit { "opening" } else { "controller" }, &holder.label, name)
}

/// The name of a store's figure: "cards", and "fingers" for finger templates.
fn figure_name(what: &str) -> String {
    what.strip_suffix(" templates").map_or_else(|| what.to_owned(), |modality| format!("{modality}s"))
}
