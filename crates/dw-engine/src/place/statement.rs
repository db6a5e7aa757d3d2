//! The placement as a problem for the solver, and which opening, room and model each of its numbers stands for.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, OpeningId, RoomId};
use dw_job::Job;
use dw_job::catalogue::{CableUse, Device, DeviceKind};
use dw_job::model::Keep;
use dw_solve::location::{Arc, Choice, Customer, Family, Model, Problem, Site, Spare, Stock, Variant};

use super::Ask;
use super::estimate::Estimate;
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Equipped};
use crate::route::Reach;
use crate::survey::{Survey, SurveyedRoom};

/// Resources of a room, by their number in the problem.
pub(super) const RESOURCES: [Resource; 3] = [Resource::Controllers, Resource::EnclosureUnits, Resource::NetworkPorts];

/// Number of the network ports among them.
pub(super) const NETWORK: usize = 2;

/// What a room has only so much of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Resource {
    Controllers,
    EnclosureUnits,
    NetworkPorts,
}

/// The problem and its key.
#[derive(Debug)]
pub(super) struct Statement {
    pub(super) problem: Problem,
    /// Opening of each customer, by its index in the survey; in the order of marks.
    pub(super) openings: Vec<usize>,
    /// Mark of each customer.
    pub(super) marks: Vec<OpeningId>,
    /// Room of each site.
    pub(super) rooms: Vec<RoomId>,
    /// Models of each family.
    pub(super) models: Vec<Vec<DeviceId>>,
    /// Room each customer is pinned to.
    pub(super) pins: BTreeMap<usize, usize>,
    /// Rooms a customer must not be served from; never the one it is pinned to.
    pub(super) forbidden: BTreeMap<usize, BTreeSet<usize>>,
    /// Each customer that pins keep out of some rooms, as it would be without them.
    pub(super) unpinned: BTreeMap<usize, Customer>,
    /// Openings that cannot be stated, and why.
    pub(super) lost: Vec<Lost>,
    /// Figures the catalogue lacks.
    pub(super) lacking: BTreeSet<(DeviceId, &'static str)>,
}

/// An opening under control that the solver is not asked about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Lost {
    /// Index in the survey.
    pub(super) opening: usize,
    pub(super) why: Why,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Why {
    /// No room within its limit; told of by reach.
    OutOfReach,
    /// The room it is pinned to is not within its limit.
    PinOutOfReach(usize),
    /// No controller has ports enough.
    Ports { wanted: u32, largest: u32 },
    /// Nothing suits it; told of by equip or as a missing figure.
    NoModel,
}

impl Statement {
    pub(super) fn new(
        cx: &Cx<'_>,
        job: &Job,
        survey: &Survey,
        equipment: &Equipment,
        reach: &Reach,
        estimate: &Estimate,
    ) -> Self {
        let place_units = cx.catalogue.of_kind(DeviceKind::Enclosure).filter_map(|it| it.enclosure_units).max();
        let has_switch = estimate.network_port.is_some();
        let site = |room: &SurveyedRoom| Site {
            fixed: fixed(cx, job, room, estimate),
            limits: limits(room, place_units, has_switch),
        };
        let short = short_of_ports(survey, reach);
        let mut statement = Self {
            problem: Problem { sites: survey.rooms.iter().map(site).collect(), ..Problem::default() },
            openings: Vec::new(),
            marks: Vec::new(),
            rooms: survey.rooms.iter().map(|room| room.id.clone()).collect(),
            models: Vec::new(),
            pins: BTreeMap::new(),
            forbidden: BTreeMap::new(),
            unpinned: BTreeMap::new(),
            lost: Vec::new(),
            lacking: BTreeSet::new(),
        };
        let (pinned, forbidden) = (pinned_rooms(job), forbidden_rooms(job));
        let mut families: BTreeMap<Vec<DeviceId>, usize> = BTreeMap::new();
        for (idx, opening) in survey.openings.iter().enumerate() {
            let Some(equipped) = equipment.opening(&opening.mark) else { continue };
            let stated = statement.variant(cx, equipped, &mut families, estimate, place_units, survey);
            let mut variant = match stated {
                None => continue,
                Some(Ok(variant)) => variant,
                Some(Err(why)) => {
                    statement.lost.push(Lost { opening: idx, why });
                    continue;
                }
            };
            variant.arcs = arcs(reach, idx);
            let share = estimate.port_share(cx, &equipped.control);
            variant.arcs.iter_mut().filter(|arc| short[arc.site]).for_each(|arc| arc.cost += share);
            let pin = pinned.get(&opening.mark).copied();
            statement.add(idx, &opening.mark, Customer::single(variant), pin, forbidden.get(&opening.mark));
        }
        statement.stock(job);
        statement
    }

    /// Adds a customer unless it can be served from nowhere.
    fn add(
        &mut self,
        opening: usize,
        mark: &OpeningId,
        mut customer: Customer,
        pin: Option<&RoomId>,
        forbidden: Option<&BTreeSet<&RoomId>>,
    ) {
        if customer.sites().next().is_none() {
            self.lost.push(Lost { opening, why: Why::OutOfReach });
            return;
        }
        // A pin to a room nobody knows decides nothing; reading the job or the survey has told of it.
        if let Some(site) = pin.and_then(|pin| self.rooms.binary_search(pin).ok()) {
            if customer.sites().all(|other| other != site) {
                self.lost.push(Lost { opening, why: Why::PinOutOfReach(site) });
                return;
            }
            let idx = self.openings.len();
            self.pins.insert(idx, site);
            self.unpinned.insert(idx, customer.clone());
            customer.variants.iter_mut().for_each(|variant| variant.arcs.retain(|arc| arc.site == site));
        } else if let Some(forbidden) = forbidden {
            let sites: BTreeSet<usize> =
                forbidden.iter().filter_map(|room| self.rooms.binary_search(room).ok()).collect();
            let idx = self.openings.len();
            self.unpinned.insert(idx, customer.clone());
            // Where no room is left, the solver leaves the opening out and the clash says why.
            customer.variants.iter_mut().for_each(|variant| variant.arcs.retain(|arc| !sites.contains(&arc.site)));
            self.forbidden.insert(idx, sites);
        }
        self.openings.push(opening);
        self.marks.push(mark.clone());
        self.problem.customers.push(customer);
    }

    /// What an opening asks for, without its arcs; `None` when it asks for nothing.
    fn variant(
        &mut self,
        cx: &Cx<'_>,
        equipped: &Equipped,
        families: &mut BTreeMap<Vec<DeviceId>, usize>,
        estimate: &Estimate,
        place_units: Option<u32>,
        survey: &Survey,
    ) -> Option<Result<Variant, Why>> {
        let (wanted, models) = match &equipped.control {
            ControlNeed::None => return None,
            // A unit of its own takes a network port and no controller.
            ControlNeed::OwnUnit { .. } => {
                return Some(Ok(Variant { uses: vec![0, 0, 1], ..Variant::default() }));
            }
            ControlNeed::Ports { ports, models } => (*ports, models),
        };
        let mut usable: Vec<DeviceId> = Vec::new();
        for device in models.iter().filter_map(|model| cx.device(model)) {
            let missing = [("control.ports", device.control.ports.is_none()), ("price", device.price.is_none())];
            self.lacking.extend(missing.into_iter().filter(|it| it.1).map(|(figure, _)| (device.id.clone(), figure)));
            if missing.iter().all(|it| !it.1) {
                usable.push(device.id.clone());
            }
        }
        usable.sort();
        usable.dedup();
        let ports = |model: &DeviceId| cx.device(model).and_then(|device| device.control.ports).unwrap_or(0);
        let largest = usable.iter().map(ports).max().unwrap_or(0);
        if usable.is_empty() {
            return Some(Err(Why::NoModel));
        }
        if wanted > largest || wanted > dw_solve::location::MAX_PORTS {
            return Some(Err(Why::Ports { wanted, largest }));
        }
        let family = *families.entry(usable).or_insert_with_key(|usable| {
            let models = usable.iter().filter_map(|id| model(cx.device(id)?, estimate, place_units));
            // Lift cars do not grow in number: their controllers need no spare ports (common practice).
            let are_lifts =
                usable.iter().filter_map(|id| cx.device(id)).all(|it| it.kind == Some(DeviceKind::LiftController));
            let spare =
                if are_lifts { Spare::NONE } else { Spare::percent_of_installed(survey.settings.spare_percent) };
            self.problem.families.push(Family { models: models.collect(), spare, already: Vec::new() });
            self.models.push(usable.clone());
            self.models.len() - 1
        });
        Some(Ok(Variant { family, ports: wanted, uses: network_uses(equipped), ..Variant::default() }))
    }

    /// Controllers that are there already and stay. A model of two families serves the first.
    fn stock(&mut self, job: &Job) {
        for existing in &job.existing {
            let stays = matches!(existing.decision, Some(Keep::Kept | Keep::Adapted));
            let (Some(device), Some(room)) = (&existing.device, &existing.room) else { continue };
            let Ok(site) = self.rooms.binary_search(room) else { continue };
            let at = |models: &Vec<DeviceId>| models.binary_search(device).ok();
            let found = self.models.iter().enumerate().find_map(|(family, models)| Some((family, at(models)?)));
            if let Some((family, model)) = found.filter(|_| stays) {
                let count = existing.count.unwrap_or(1);
                self.problem.families[family].already.push(Stock { site, model, count });
            }
        }
    }

    /// Controllers the policy refuses that would suit each customer.
    pub(super) fn refused(
        &self,
        cx: &Cx<'_>,
        ask: Ask<'_>,
        estimate: &Estimate,
    ) -> BTreeMap<usize, Vec<(DeviceId, Model)>> {
        if cx.catalogue.refused.is_empty() {
            return BTreeMap::new();
        }
        let place_units = cx.catalogue.of_kind(DeviceKind::Enclosure).filter_map(|it| it.enclosure_units).max();
        let equipment = (ask.unrefused)();
        let of_customer = |(customer, mark)| {
            let Some(ControlNeed::Ports { models, .. }) = equipment.opening(mark).map(|it| &it.control) else {
                return None;
            };
            let refused = models.iter().filter(|id| cx.catalogue.refused.contains(id));
            let stated = refused.filter_map(|id| Some((id.clone(), model(cx.device(id)?, estimate, place_units)?)));
            Some((customer, stated.collect()))
        };
        self.marks.iter().enumerate().filter_map(of_customer).collect()
    }

    /// The variant a customer is served in.
    pub(super) fn chosen(&self, customer: usize, choice: Choice) -> &Variant {
        &self.problem.customers[customer].variants[choice.variant]
    }

    /// How a customer would be served from the room of an earlier plan.
    pub(super) fn choice_at(&self, customer: usize, previous: &BTreeMap<OpeningId, RoomId>) -> Option<Choice> {
        let site = self.rooms.binary_search(previous.get(&self.marks[customer])?).ok()?;
        let variants = &self.problem.customers[customer].variants;
        let variant = variants.iter().position(|variant| variant.arcs.iter().any(|arc| arc.site == site))?;
        Some(Choice { variant, site })
    }

    /// How many of a model are there already.
    pub(super) fn already(&self, site: usize, family: usize, model: usize) -> u32 {
        let stock = self.problem.families[family].already.iter();
        stock.filter(|stock| stock.site == site && stock.model == model).map(|stock| stock.count).sum()
    }
}

/// What an opening served by a controller takes itself: a network port for a camera or a splitter that a network cable feeds.
fn network_uses(equipped: &Equipped) -> Vec<i64> {
    let on_network = equipped.cables.iter().any(|need| need.purpose == CableUse::Network);
    if on_network { vec![0, 0, 1] } else { Vec::new() }
}

/// The rooms openings are pinned to; the first pin of an opening counts.
fn pinned_rooms(job: &Job) -> BTreeMap<&OpeningId, &RoomId> {
    let mut pinned = BTreeMap::new();
    for pin in &job.pins {
        if let (Some(opening), Some(room)) = (&pin.opening, &pin.room) {
            pinned.entry(opening).or_insert(room);
        }
    }
    pinned
}

/// The rooms openings must not be served from.
fn forbidden_rooms(job: &Job) -> BTreeMap<&OpeningId, BTreeSet<&RoomId>> {
    let mut forbidden: BTreeMap<&OpeningId, BTreeSet<&RoomId>> = BTreeMap::new();
    for pin in job.pins.iter().filter(|pin| !pin.not_room.is_empty()) {
        if let Some(opening) = &pin.opening {
            forbidden.entry(opening).or_default().extend(&pin.not_room);
        }
    }
    forbidden
}

fn arcs(reach: &Reach, opening: usize) -> Vec<Arc> {
    let lengths = reach.lengths.get(opening).into_iter().flatten();
    let costs = reach.cable_costs.get(opening).and_then(|ways| ways.first()).into_iter().flatten();
    lengths.zip(costs).filter_map(|(&(site, _), cost)| Some(Arc { site, cost: cost.as_ref()?.cents() })).collect()
}

/// Cost of using a room: nothing where an enclosure or supply stays.
fn fixed(cx: &Cx<'_>, job: &Job, room: &SurveyedRoom, estimate: &Estimate) -> i64 {
    let fits_out = |device: &Device| {
        matches!(device.kind, Some(DeviceKind::Enclosure | DeviceKind::PowerSupply | DeviceKind::Kit))
    };
    let is_fitted_out = job.existing.iter().any(|existing| {
        existing.room.as_ref() == Some(&room.id)
            && matches!(existing.decision, Some(Keep::Kept | Keep::Adapted))
            && existing.device.as_ref().and_then(|id| cx.device(id)).is_some_and(fits_out)
    });
    if is_fitted_out { 0 } else { estimate.room.cents() }
}

/// Rooms with fewer free network ports than openings within reach: there a port is likely to be bought.
fn short_of_ports(survey: &Survey, reach: &Reach) -> Vec<bool> {
    let mut near = vec![0_u32; survey.rooms.len()];
    reach.lengths.iter().flatten().for_each(|&(site, _)| near[site] = near[site].saturating_add(1));
    let rooms = survey.rooms.iter().zip(near);
    rooms.map(|(room, near)| room.network_ports.is_some_and(|free| free < near)).collect()
}

/// Limits of a room in the order of [`RESOURCES`]. Places for enclosures count as the units of the largest enclosure;
/// network ports are no limit where a switch with more of them can be bought.
fn limits(room: &SurveyedRoom, place_units: Option<u32>, has_switch: bool) -> Vec<i64> {
    let limit = |value: Option<u32>| value.map_or(i64::MAX, i64::from);
    let units = room.enclosure_places.zip(place_units).map(|(places, units)| places.saturating_mul(units));
    vec![limit(room.max_controllers), limit(units), limit(room.network_ports.filter(|_| !has_switch))]
}

/// A controller or kit as the solver sees it: it takes one controller, its units in an enclosure, a network port. A kit
/// brings its own enclosure and takes a whole place.
fn model(device: &Device, estimate: &Estimate, place_units: Option<u32>) -> Option<Model> {
    let ports = device.control.ports?;
    let units = match device.kind {
        Some(DeviceKind::Kit) => place_units.unwrap_or(ports),
        _ => device.control.enclosure_units.unwrap_or(ports),
    };
    let price = estimate.controller(device)?.cents();
    Some(Model { ports, price, uses: vec![1, i64::from(units), 1] })
}
