//! Estates, format `estate-1`: which room serves which opening, over which length of cable, at what cost.
//!
//! Cost of an opening from a room is its cable length times the price of a decimetre; a room in use costs its fixed
//! amount; controllers are bought whole. `length` has the rule of lengths, `form` the fields of the file.
//!
//! Resources of a room are controllers, enclosure units, network ports and watts. Those that no room limits are left out
//! of the problem.

mod form;
mod length;

use std::collections::BTreeSet;

use dw_solve::location::{
    Arc, Customer, Family, MAX_AMOUNT, MAX_PORTS, MAX_SPARE_PERCENT, Model, Problem, Site, Spare, Variant,
};

use crate::error::{Place, ReadError};
use crate::{Form, Instance, MAX_CUSTOMERS, MAX_SITES};
use form::{Controller, Estate, Room, Rules};

/// Most pairs of opening and room within reach. Own choice: a hundred times those of the largest estate we know of fit
/// no memory; twenty times do, in half a gigabyte.
const MAX_ARCS: usize = 5_000_000;

/// Largest coordinate, either sign, and longest drop, in decimetres: a thousand kilometres.
const MAX_DM: i64 = 10_000_000;

/// Highest level.
const MAX_LEVEL: i64 = 1_000;

/// Most ports of a controller.
const MAX_CONTROLLER_PORTS: i64 = 1_000;

/// Reads an estate from JSON.
pub fn read(text: &str) -> Result<Instance, ReadError> {
    let estate = form::parse(text)?;
    verify(&estate)?;
    let resources = limited(&estate);
    let models = estate.controllers.iter().map(|model| Model {
        ports: u32::try_from(model.ports).unwrap_or(0),
        price: model.price_cents,
        uses: resources.iter().map(|resource| (resource.uses)(model)).collect(),
    });
    let sites = estate.rooms.iter().map(|room| Site {
        fixed: room.fixed_cents.unwrap_or(estate.rules.room_fixed_cents),
        limits: resources.iter().map(|resource| (resource.limit)(&estate.rules, room).unwrap_or(i64::MAX)).collect(),
    });
    let spare = u32::try_from(estate.rules.spare_percent).unwrap_or(0);
    let problem = Problem {
        sites: sites.collect(),
        families: vec![Family { models: models.collect(), spare: Spare::percent_of_used(spare), already: Vec::new() }],
        customers: customers(&estate)?,
        apart: Vec::new(),
    };
    Ok(Instance {
        form: Form::Estate,
        problem,
        sites: estate.rooms.into_iter().map(|room| room.id).collect(),
        customers: estate.openings.into_iter().map(|opening| opening.id).collect(),
        decimals: 0,
    })
}

/// Openings with the rooms they reach within the longest cable.
fn customers(estate: &Estate) -> Result<Vec<Customer>, ReadError> {
    let rules = &estate.rules;
    let mut n_arcs = 0;
    let mut customers = Vec::with_capacity(estate.openings.len());
    for opening in &estate.openings {
        let lengths = estate.rooms.iter().map(|room| length::length(estate, opening, room)).enumerate();
        let arcs: Vec<Arc> = lengths
            .filter(|&(_, length)| length <= rules.max_dm)
            .map(|(site, length)| Arc { site, cost: length * rules.cable_cents_per_dm })
            .collect();
        n_arcs += arcs.len();
        if n_arcs > MAX_ARCS {
            let what = format!("{} lets openings reach rooms in more than {MAX_ARCS} pairs", rules.max_dm);
            return Err(field("rules.max_dm", what, "shorten the longest cable or divide the estate"));
        }
        let ports = u32::try_from(opening.ports).unwrap_or(0);
        customers.push(Customer::single(Variant { ports, arcs, ..Variant::default() }));
    }
    Ok(customers)
}

/// A resource of a room: what a controller takes of it, and how much there is; `None` is no limit.
struct Resource {
    uses: fn(&Controller) -> i64,
    limit: fn(&Rules, &Room) -> Option<i64>,
}

const RESOURCES: [Resource; 4] = [
    Resource { uses: |_| 1, limit: |rules, room| room.controller_limit.or(rules.room_controller_limit) },
    Resource {
        uses: |model| model.enclosure_units,
        limit: |rules, room| room.enclosure_unit_limit.or(rules.room_enclosure_unit_limit),
    },
    Resource {
        uses: |model| model.network_ports,
        limit: |rules, room| room.network_port_limit.or(rules.room_network_port_limit),
    },
    Resource { uses: |model| model.watts, limit: |rules, room| room.watt_limit.or(rules.room_watt_limit) },
];

/// The resources that at least one room limits.
fn limited(estate: &Estate) -> Vec<&'static Resource> {
    let is_limited =
        |resource: &&Resource| estate.rooms.iter().any(|room| (resource.limit)(&estate.rules, room).is_some());
    RESOURCES.iter().filter(is_limited).collect()
}

fn field(path: impl Into<String>, what: impl Into<String>, remedy: impl Into<String>) -> ReadError {
    ReadError::new(Place::Field(path.into()), what, remedy)
}

fn twice(path: String, id: &str, what: &str) -> ReadError {
    field(path, format!("\"{id}\" is there twice"), format!("give each {what} its own id"))
}

/// Refuses a value outside a range.
fn within(path: impl FnOnce() -> String, value: i64, least: i64, most: i64) -> Result<(), ReadError> {
    if (least..=most).contains(&value) {
        return Ok(());
    }
    Err(field(path(), format!("{value} is outside {least} to {most}"), "correct the value"))
}

/// Refuses values that make no sense or with which the arithmetic would leave its range.
fn verify(estate: &Estate) -> Result<(), ReadError> {
    verify_rules(estate)?;
    for (list, count, most) in [
        ("buildings", estate.buildings.len(), MAX_SITES),
        ("rooms", estate.rooms.len(), MAX_SITES),
        ("openings", estate.openings.len(), MAX_CUSTOMERS),
        ("controllers", estate.controllers.len(), 1_000),
    ] {
        if count > most {
            return Err(field(list, format!("there are {count}, at most {most} can be planned"), "divide the estate"));
        }
    }
    for (at, building) in estate.buildings.iter().enumerate() {
        for (axis, value) in building.riser.iter().enumerate() {
            within(|| format!("buildings[{at}].riser[{axis}]"), *value, -MAX_DM, MAX_DM)?;
        }
    }
    for (at, model) in estate.controllers.iter().enumerate() {
        let path = |name| move || format!("controllers[{at}].{name}");
        within(path("ports"), model.ports, 1, MAX_CONTROLLER_PORTS)?;
        within(path("price_cents"), model.price_cents, 0, MAX_AMOUNT)?;
        within(path("enclosure_units"), model.enclosure_units, 0, MAX_AMOUNT)?;
        within(path("network_ports"), model.network_ports, 0, MAX_AMOUNT)?;
        within(path("watts"), model.watts, 0, MAX_AMOUNT)?;
    }
    verify_rooms(estate)?;
    let last_building = i64::try_from(estate.buildings.len()).unwrap_or(i64::MAX) - 1;
    let mut ids = BTreeSet::new();
    for (at, opening) in estate.openings.iter().enumerate() {
        let path = |name| move || format!("openings[{at}].{name}");
        if !ids.insert(opening.id.as_str()) {
            return Err(twice(path("id")(), &opening.id, "opening"));
        }
        within(path("b"), opening.b, -1, last_building)?;
        within(path("l"), opening.l, 0, if opening.b == -1 { 0 } else { MAX_LEVEL })?;
        within(path("x"), opening.x, -MAX_DM, MAX_DM)?;
        within(path("y"), opening.y, -MAX_DM, MAX_DM)?;
        within(path("ports"), opening.ports, 1, i64::from(MAX_PORTS))?;
    }
    Ok(())
}

fn verify_rooms(estate: &Estate) -> Result<(), ReadError> {
    let last_building = i64::try_from(estate.buildings.len()).unwrap_or(i64::MAX) - 1;
    let mut ids = BTreeSet::new();
    for (at, room) in estate.rooms.iter().enumerate() {
        let path = |name| move || format!("rooms[{at}].{name}");
        within(path("b"), room.b, 0, last_building)?;
        within(path("l"), room.l, 0, MAX_LEVEL)?;
        within(path("x"), room.x, -MAX_DM, MAX_DM)?;
        within(path("y"), room.y, -MAX_DM, MAX_DM)?;
        for (name, value) in [
            ("fixed_cents", room.fixed_cents),
            ("controller_limit", room.controller_limit),
            ("enclosure_unit_limit", room.enclosure_unit_limit),
            ("network_port_limit", room.network_port_limit),
            ("watt_limit", room.watt_limit),
        ] {
            within(path(name), value.unwrap_or(0), 0, MAX_AMOUNT)?;
        }
        if !ids.insert(room.id.as_str()) {
            return Err(twice(path("id")(), &room.id, "room"));
        }
    }
    Ok(())
}

fn verify_rules(estate: &Estate) -> Result<(), ReadError> {
    let rules = &estate.rules;
    for (name, value, most) in [
        ("cable_cents_per_dm", rules.cable_cents_per_dm, MAX_AMOUNT),
        ("drop_door_dm", rules.drop_door_dm, MAX_DM),
        ("drop_room_dm", rules.drop_room_dm, MAX_DM),
        ("level_dm", rules.level_dm, MAX_DM),
        ("max_dm", rules.max_dm, 10 * MAX_DM),
        ("room_fixed_cents", rules.room_fixed_cents, MAX_AMOUNT),
        ("spare_percent", rules.spare_percent, i64::from(MAX_SPARE_PERCENT)),
        ("room_controller_limit", rules.room_controller_limit.unwrap_or(0), MAX_AMOUNT),
        ("room_enclosure_unit_limit", rules.room_enclosure_unit_limit.unwrap_or(0), MAX_AMOUNT),
        ("room_network_port_limit", rules.room_network_port_limit.unwrap_or(0), MAX_AMOUNT),
        ("room_watt_limit", rules.room_watt_limit.unwrap_or(0), MAX_AMOUNT),
    ] {
        within(|| format!("rules.{name}"), value, 0, most)?;
    }
    let dearest = rules.cable_cents_per_dm.saturating_mul(rules.max_dm);
    if dearest > MAX_AMOUNT {
        let what = format!("a cable of {} dm would cost {dearest} cents, beyond {MAX_AMOUNT}", rules.max_dm);
        return Err(field("rules.cable_cents_per_dm", what, "correct the price or rules.max_dm"));
    }
    Ok(())
}
