//! Opening schedule: hardware, action, service and works of every opening, landscape.
//!
//! A row of everything would be too wide to read, so paper has three tables with the mark in each; programs get one.

use dw_core::{DeviceId, Id, Minutes, OpeningId};
use dw_engine::design::DoorFacts;
use dw_engine::equip::{ControlNeed, Equipped, Fitted, Role};
use dw_engine::place::Served;
use dw_engine::survey::Surveyed;
use dw_job::model::{EscapeDuty, Material};

use super::rows::{Field, by_key, field, grouped, known, some, table};
use super::split::{self, ITEMS, Parties, in_full};
use super::view::{View, shown};
use super::words::{self, UNKNOWN, capital};
use crate::model::{Block, Cell, Column, Orientation, Paper, Table};

/// One opening with what each pass gave it.
struct Opening<'a> {
    surveyed: &'a Surveyed,
    equipped: Option<&'a Equipped>,
    served: Option<&'a Served>,
}

/// The opening schedule.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let parties = Parties::of(view);
    let works: Vec<Field<'_, Opening<'_>>> =
        letter_fields(view, &parties).into_iter().chain(cable_fields(view)).collect();
    let mut blocks = vec![
        Block::Text(
            "Devices are named by model; the list of models stands at the end. An empty cell means none, a dash means not known. \
             Hands are seen from outside the room a door secures. \"Stays\": is there already and is used again. \"Hold\": not to \
             be ordered yet. \"Stop\": must not be built so, the findings say why."
                .to_owned(),
        ),
        Block::Table(grouped("hardware", "Hardware", &hardware_fields(view), &by_storey(view))),
        Block::Table(grouped("action", "Action", &action_fields(view), &by_storey(view))),
        Block::Heading("Works and cables".to_owned()),
        Block::Text(parties.legend()),
        Block::Table(grouped("works", "Who supplies, fits, wires and tests; cables", &works, &by_storey(view))),
    ];
    blocks.extend(provisional(view).map(Block::Table));
    blocks.push(Block::Table(models(view)));
    blocks.extend(view.cautions());
    Paper {
        id: "opening-schedule".to_owned(),
        title: "Opening schedule".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

/// One row an opening, and the models.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    let mut fields = hardware_fields(view);
    fields.extend(survey_fields(view));
    fields.extend(action_fields(view).into_iter().skip(2));
    fields.extend(cable_fields(view));
    fields.extend(works_fields(view));
    vec![table("opening-schedule", "Opening schedule", &fields, &openings(view)), models(view)]
}

fn openings<'a>(view: &View<'a>) -> Vec<Opening<'a>> {
    let design = view.design;
    let opening = |surveyed: &'a Surveyed| Opening {
        surveyed,
        equipped: design.equipment.opening(&surveyed.mark),
        served: design.placement.of(&surveyed.mark),
    };
    design.survey.openings.iter().map(opening).collect()
}

fn by_storey<'a>(view: &View<'a>) -> Vec<(String, Vec<Opening<'a>>)> {
    let groups = by_key(openings(view), |opening| opening.surveyed.storey.clone());
    groups.into_iter().map(|(storey, items)| (view.storey_in_full(&storey), items)).collect()
}

/// Mark and name, which begin each of the tables.
fn who<'a>() -> Vec<Field<'a, Opening<'a>>> {
    vec![
        field(Column::text("Mark", 1.0), |o: &Opening<'_>| Cell::text(o.surveyed.mark.text())),
        field(Column::text("Opening", 2.0), |o: &Opening<'_>| Cell::text(&o.surveyed.name)),
    ]
}

fn hardware_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Opening<'a>>> {
    let role = |title: &str, weight: f64, roles: &'static [Role]| {
        field(Column::text(title, weight), move |o: &Opening<'_>| {
            o.equipped.map_or_else(Cell::empty, |e| devices(e, roles))
        })
    };
    let mut fields = who();
    fields.extend([
        field(Column::text("Kind", 1.2), |o: &Opening<'_>| Cell::text(capital(words::kind(o.surveyed.kind).0))),
        field(Column::text("Hand", 0.9), |o: &Opening<'_>| match o.surveyed.handing {
            Some(hand) => Cell::text(words::hand(hand)),
            None if words::is_hinged(o.surveyed.kind) => Cell::text(UNKNOWN),
            None => Cell::empty(),
        }),
        role("Lock or drive", 1.3, &[Role::Lock]),
        field(Column::text("Power lost", 1.0), |o: &Opening<'_>| {
            o.equipped.and_then(|e| e.fail_mode).map_or_else(Cell::empty, |mode| Cell::text(words::fail_mode(mode)))
        }),
        role("Power transfer", 1.1, &[Role::PowerTransfer]),
        role("Reader in", 1.2, &[Role::ReaderIn]),
        role("Reader out", 1.2, &[Role::ReaderOut]),
        role("Request to exit", 1.1, &[Role::ExitRequest]),
        role("Emergency release", 1.1, &[Role::EmergencyRelease]),
        role("Door contact", 1.1, &[Role::DoorContact]),
        role("Other devices", 1.3, &[Role::Sounder, Role::Splitter, Role::Other]),
        field(Column::text("State", 1.2), move |o: &Opening<'_>| Cell::text(state(view, o))),
    ]);
    fields
}

/// Models in some roles: "2 × DW-M6-24, stays".
pub(super) fn devices(equipped: &Equipped, roles: &[Role]) -> Cell {
    let text = |fitted: &Fitted| {
        let count = match fitted.count {
            0 => "shares ".to_owned(),
            1 => String::new(),
            count => format!("{count} × "),
        };
        format!("{count}{}{}", fitted.device, if fitted.kept { ", stays" } else { "" })
    };
    let fitted = equipped.devices.iter().filter(|fitted| roles.contains(&fitted.role));
    let texts: Vec<String> = fitted.map(text).collect();
    if texts.is_empty() { Cell::empty() } else { Cell::text(texts.join("; ")) }
}

/// How far along an opening is, and what keeps it from being ordered.
fn state(view: &View<'_>, opening: &Opening<'_>) -> String {
    let surveyed = opening.surveyed;
    let mut parts = vec![words::status(surveyed.status)];
    if opening.equipped.is_some_and(|e| e.provisional.is_some()) {
        parts.push("provisional".to_owned());
    }
    if !surveyed.orderable {
        parts.push("hold".to_owned());
    }
    if view.is_stopped(&surveyed.mark) {
        parts.push("stop".to_owned());
    }
    parts.join(", ")
}

/// Facts that paper leaves out for want of width, or says elsewhere.
fn survey_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Opening<'a>>> {
    let door = |title: &str, part: fn(&DoorFacts) -> Option<Material>| {
        field(Column::text(title, 1.0), move |o: &Opening<'_>| {
            let facts = view.design.legend.doors.get(&o.surveyed.mark);
            known(facts.and_then(part), |material| Cell::text(material.word().replace('-', " ")))
        })
    };
    vec![
        field(Column::text("Storey", 1.0), |o: &Opening<'_>| Cell::text(o.surveyed.storey.text())),
        field(Column::text("Work", 1.0), |o: &Opening<'_>| Cell::text(words::work(o.surveyed.work))),
        door("Leaf", |facts| facts.leaf),
        door("Frame", |facts| facts.frame),
        field(Column::text("Room", 1.0), |o: &Opening<'_>| known(o.served, |served| Cell::text(served.room.text()))),
        field(Column::text("Provisional because", 2.0), |o: &Opening<'_>| {
            let why = o.equipped.and_then(|e| e.provisional.as_deref());
            why.map_or_else(Cell::empty, Cell::text)
        }),
    ]
}

fn action_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Opening<'a>>> {
    let mut fields = who();
    fields.extend([
        field(Column::text("Escape and fire", 1.4), |o: &Opening<'_>| Cell::text(duty(o.surveyed))),
        field(Column::text("In normal use", 2.8), |o: &Opening<'_>| action(o, |e| &e.action.normal)),
        field(Column::text("On fire", 2.4), |o: &Opening<'_>| action(o, |e| &e.action.fire)),
        field(Column::text("On loss of power", 2.4), |o: &Opening<'_>| action(o, |e| &e.action.power_loss)),
        field(Column::text("Served by", 1.5), move |o: &Opening<'_>| Cell::text(control(view, o))),
    ]);
    fields
}

fn action<'a>(opening: &Opening<'a>, part: impl Fn(&'a Equipped) -> &'a String) -> Cell {
    opening.equipped.map_or_else(|| Cell::text(UNKNOWN), |equipped| Cell::text(part(equipped)))
}

/// Part in escape, and fire resistance: "exit for 210 people, fire 60 min".
fn duty(surveyed: &Surveyed) -> String {
    let escape = match (surveyed.escape, surveyed.occupant_load) {
        (EscapeDuty::None, _) => None,
        (EscapeDuty::Route, _) => Some("escape route".to_owned()),
        (EscapeDuty::Exit, 0) => Some("exit".to_owned()),
        (EscapeDuty::Exit, people) => Some(format!("exit for {people} people")),
    };
    let rating = surveyed.fire_rating_min;
    let fire = (rating > Minutes::ZERO).then(|| format!("fire {} min", words::plain_number(rating.get())));
    capital(&escape.into_iter().chain(fire).collect::<Vec<_>>().join(", "))
}

/// Label of the controller with the ports taken, or what decides instead.
fn control(view: &View<'_>, opening: &Opening<'_>) -> String {
    let placed = opening.served.and_then(|served| view.design.placement.controllers.get(served.controller?));
    if let Some(controller) = placed {
        let ports = ports_of(&controller.ports, &opening.surveyed.mark);
        return format!("{} port {}", controller.label, ports.join(", "));
    }
    match opening.equipped.map(|equipped| &equipped.control) {
        Some(ControlNeed::OwnUnit { .. }) => {
            let room = opening.served.map_or(UNKNOWN, |served| served.room.text());
            format!("own unit, network from {room}")
        }
        Some(ControlNeed::None) => "none".to_owned(),
        _ => UNKNOWN.to_owned(),
    }
}

/// Numbers of the ports that an opening holds, counted from 1 as they are printed on a controller.
pub(super) fn ports_of(ports: &[Option<OpeningId>], mark: &OpeningId) -> Vec<String> {
    let held = ports.iter().enumerate().filter(|(_, holder)| holder.as_ref() == Some(mark));
    held.map(|(idx, _)| (idx + 1).to_string()).collect()
}

/// Models of the cables pulled to an opening.
fn cables(view: &View<'_>, mark: &OpeningId) -> String {
    let model = |run: &dw_engine::route::CableRun| match &run.device {
        _ if run.existing => "existing cable".to_owned(),
        Some(device) => device.to_string(),
        None => UNKNOWN.to_owned(),
    };
    let counted = by_key(view.runs(mark).iter().map(model), Clone::clone);
    let texts = counted
        .into_iter()
        .map(|(model, all)| if all.len() == 1 { model } else { format!("{}\u{a0}×\u{a0}{model}", all.len()) });
    texts.collect::<Vec<_>>().join(", ")
}

/// Length of the route, and the cables on it.
fn cable_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Opening<'a>>> {
    vec![
        field(view.units.length_column("Route", 0.9), move |o: &Opening<'_>| {
            known(o.served, |served| {
                let length = view.design.routes.of(&served.mark).map_or(served.length_m, |route| route.length_m);
                shown(view.units.length(length, 1), "opening", served.mark.text(), "route_m")
            })
        }),
        field(Column::text("Cables", 4.4), move |o: &Opening<'_>| Cell::text(cables(view, &o.surveyed.mark))),
    ]
}

/// Letters of who supplies, fits, wires and tests each item.
fn letter_fields<'a>(view: &'a View<'a>, parties: &'a Parties<'a>) -> Vec<Field<'a, Opening<'a>>> {
    let mut fields = who();
    fields.extend(ITEMS.map(|item| {
        field(Column::text(capital(item), 0.9), move |o: &Opening<'_>| {
            split::at(view, o.surveyed, item).map_or_else(Cell::empty, |split| Cell::text(parties.letters(split)))
        })
    }));
    fields
}

/// The same in full.
fn works_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Opening<'a>>> {
    let item = |item: &'static str| {
        field(Column::text(capital(item), 1.4), move |o: &Opening<'_>| {
            split::at(view, o.surveyed, item).map_or_else(Cell::empty, |split| Cell::text(in_full(split)))
        })
    };
    ITEMS.map(item).into()
}

/// Choices that stand only until the door is looked at again.
fn provisional(view: &View<'_>) -> Option<Table> {
    let open: Vec<Opening<'_>> =
        openings(view).into_iter().filter(|o| o.equipped.is_some_and(|e| e.provisional.is_some())).collect();
    let mut fields = who();
    fields.push(field(Column::text("Provisional because", 8.0), |o: &Opening<'_>| {
        o.equipped.and_then(|e| e.provisional.as_deref()).map_or_else(Cell::empty, Cell::text)
    }));
    (!open.is_empty()).then(|| table("provisional", "Provisional choices", &fields, &open))
}

/// Every model named on the schedule, with what it is and how many there are.
fn models(view: &View<'_>) -> Table {
    let fitted = view.design.equipment.openings.iter().flat_map(|equipped| &equipped.devices);
    let counted: Vec<(&DeviceId, u32, u32)> = by_key(fitted, |fitted| &fitted.device)
        .into_iter()
        .map(|(device, all)| {
            let sum =
                |kept: bool| all.iter().filter(|f| f.kept == kept).fold(0_u32, |sum, f| sum.saturating_add(f.count));
            (device, sum(false), sum(true))
        })
        .collect();
    let fields = [
        field(Column::text("Model", 1.5), |row: &(&DeviceId, u32, u32)| Cell::text(row.0.text())),
        field(Column::text("What it is", 6.0), |row: &(&DeviceId, u32, u32)| Cell::text(view.describe(row.0))),
        field(Column::number("New", "", 0.8), |row: &(&DeviceId, u32, u32)| some(row.1)),
        field(Column::number("Stays", "", 0.8), |row: &(&DeviceId, u32, u32)| some(row.2)),
    ];
    table("models", "Models at openings", &fields, &counted)
}
