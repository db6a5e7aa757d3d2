//! The placement as a problem for the solver, and which opening, room and model each of its numbers stands for.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, Money, OpeningId, RoomId, Watts};
use dw_job::Job;
use dw_job::catalogue::{CableUse, Device, DeviceKind};
use dw_job::model::Keep;
use dw_solve::location::{Choice, Customer, Family, Model, Problem, Site, Spare, Stock, Variant};

use super::estimate::{Estimate, watts};
use super::ways::{self, Cost, Leg, Way};
use super::{Ask, Previous, apart};
use crate::Cx;
use crate::equip::{Arrangement, Arrangements, ControlNeed, Equipped, Role};
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
    /// Room of each site: every room of the survey, then every room once more for units that only use its network, for
    /// which no enclosure or supply is needed.
    pub(super) rooms: Vec<RoomId>,
    /// What each variant of each customer stands for.
    pub(super) ways: Vec<Vec<Way>>,
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
        arrangements: &Arrangements,
        reach: &Reach,
        estimate: &Estimate<'_>,
    ) -> Self {
        let place_units = cx.catalogue.of_kind(DeviceKind::Enclosure).filter_map(|it| it.enclosure_units).max();
        let has_switch = estimate.network_port.is_some();
        let site = |room: &SurveyedRoom| Site {
            fixed: fixed(cx, job, room, estimate).saturating_add(link(cx, survey, room, estimate)),
            limits: limits(room, place_units, has_switch),
        };
        let network_only = Site { fixed: 0, limits: vec![i64::MAX; RESOURCES.len()] };
        let sites = survey.rooms.iter().map(site).chain(survey.rooms.iter().map(|_| network_only.clone()));
        let rooms = || survey.rooms.iter().map(|room| room.id.clone());
        let mut statement = Self {
            problem: Problem { sites: sites.collect(), ..Problem::default() },
            openings: Vec::new(),
            marks: Vec::new(),
            rooms: rooms().chain(rooms()).collect(),
            ways: Vec::new(),
            models: Vec::new(),
            pins: BTreeMap::new(),
            forbidden: BTreeMap::new(),
            unpinned: BTreeMap::new(),
            lost: Vec::new(),
            lacking: BTreeSet::new(),
        };
        let mut desk = Desk { cx, survey, reach, estimate, place_units, families: BTreeMap::new(), short: Vec::new() };
        desk.short = desk.short_of_ports(arrangements);
        let (pinned, forbidden) = (pinned_rooms(job), forbidden_rooms(job));
        for (idx, opening) in survey.openings.iter().enumerate() {
            let all = arrangements.openings.get(idx).map_or(&[][..], Vec::as_slice);
            match statement.stated(&mut desk, idx, all) {
                Ok(ways) if ways.is_empty() => {}
                Ok(ways) => {
                    let pin = pinned.get(&opening.mark).copied();
                    statement.add(idx, &opening.mark, ways, pin, forbidden.get(&opening.mark));
                }
                Err(why) => statement.lost.push(Lost { opening: idx, why }),
            }
        }
        statement.stock(job);
        statement.problem.apart = apart::groups(job, &statement.marks);
        statement
    }

    /// Every way to serve an opening; none when it asks for nothing.
    fn stated(&mut self, desk: &mut Desk<'_, '_>, idx: usize, all: &[Arrangement]) -> Result<Vec<Way>, Why> {
        let least = all.iter().map(|one| one.at_opening).min().unwrap_or(Money::ZERO);
        let (mut ways, mut why) = (Vec::new(), None);
        for (number, one) in all.iter().enumerate() {
            match self.variant(desk, &one.equipped) {
                None => {}
                Some(Err(fault)) => why = why.or(Some(fault)),
                Some(Ok(shape)) => {
                    let is_fed = shape.uses.get(NETWORK).is_some_and(|ports| *ports > 0);
                    let share = desk.estimate.port_share(desk.cx, &one.equipped, is_fed);
                    let at_opening = one.at_opening - least;
                    let costs =
                        desk.reach.cable_costs.get(idx).and_then(|costs| costs.get(number)).into_iter().flatten();
                    let lengths = desk.reach.lengths.get(idx).into_iter().flatten();
                    let leg = |(&(room, _), cable): (&(usize, _), &Option<Money>)| {
                        let network = if desk.short[room] { share } else { Money::ZERO };
                        let site = self.site(desk.survey, room, &one.equipped);
                        Some(Leg { site, arrangement: number, cost: Cost { cable: (*cable)?, at_opening, network } })
                    };
                    ways::add(&mut ways, one.kind, shape, lengths.zip(costs).filter_map(leg));
                }
            }
        }
        why.filter(|_| ways.is_empty()).map_or(Ok(ways), Err)
    }

    /// The site an arrangement uses in a room. A unit fed over the network needs no enclosure there; where network ports
    /// are a limit, or the network itself has to be brought, it counts like any other.
    fn site(&self, survey: &Survey, room: usize, equipped: &Equipped) -> usize {
        let is_fed =
            matches!(equipped.control, ControlNeed::OwnUnit { .. }) && equipped.in_role(Role::Splitter).is_some();
        let ports = self.problem.sites[room].limits[NETWORK];
        let is_plain = ports == i64::MAX && survey.rooms[room].uplink.is_none();
        if is_fed && is_plain { room + survey.rooms.len() } else { room }
    }

    /// The room a site lies in, by its first site.
    pub(super) fn room_of(&self, site: usize) -> usize {
        let n_rooms = self.rooms.len() / 2;
        if site < n_rooms { site } else { site - n_rooms }
    }

    /// The first site of a room.
    pub(super) fn site_of(&self, room: &RoomId) -> Option<usize> {
        self.rooms[..self.rooms.len() / 2].binary_search(room).ok()
    }

    /// Adds a customer unless it can be served from nowhere.
    fn add(
        &mut self,
        opening: usize,
        mark: &OpeningId,
        ways: Vec<Way>,
        pin: Option<&RoomId>,
        forbidden: Option<&BTreeSet<&RoomId>>,
    ) {
        let mut customer = Customer { variants: ways.iter().map(Way::variant).collect() };
        if customer.sites().next().is_none() {
            self.lost.push(Lost { opening, why: Why::OutOfReach });
            return;
        }
        // A pin to a room nobody knows decides nothing; reading the job or the survey has told of it.
        if let Some(room) = pin.and_then(|pin| self.site_of(pin)) {
            if customer.sites().all(|site| self.room_of(site) != room) {
                self.lost.push(Lost { opening, why: Why::PinOutOfReach(room) });
                return;
            }
            let idx = self.openings.len();
            self.pins.insert(idx, room);
            self.unpinned.insert(idx, customer.clone());
            for variant in &mut customer.variants {
                variant.arcs.retain(|arc| self.room_of(arc.site) == room);
            }
        } else if let Some(forbidden) = forbidden {
            let rooms: BTreeSet<usize> = forbidden.iter().filter_map(|room| self.site_of(room)).collect();
            let idx = self.openings.len();
            self.unpinned.insert(idx, customer.clone());
            // Where no room is left, the solver leaves the opening out and the clash says why.
            for variant in &mut customer.variants {
                variant.arcs.retain(|arc| !rooms.contains(&self.room_of(arc.site)));
            }
            self.forbidden.insert(idx, rooms);
        }
        self.openings.push(opening);
        self.marks.push(mark.clone());
        self.ways.push(ways);
        self.problem.customers.push(customer);
    }

    /// What an opening asks for, without its arcs; `None` when it asks for nothing.
    fn variant(&mut self, desk: &mut Desk<'_, '_>, equipped: &Equipped) -> Option<Result<Variant, Why>> {
        let (cx, estimate, place_units) = (desk.cx, desk.estimate, desk.place_units);
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
        let spare_percent = desk.survey.settings.spare_percent;
        let family = *desk.families.entry(usable).or_insert_with_key(|usable| {
            let models = usable.iter().filter_map(|id| model(cx.device(id)?, estimate, place_units));
            // Lift cars do not grow in number: their controllers need no spare ports (common practice).
            let are_lifts =
                usable.iter().filter_map(|id| cx.device(id)).all(|it| it.kind == Some(DeviceKind::LiftController));
            let spare = if are_lifts { Spare::NONE } else { Spare::percent_of_installed(spare_percent) };
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
            let Some(site) = self.site_of(room) else { continue };
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
        estimate: &Estimate<'_>,
    ) -> BTreeMap<usize, Vec<(DeviceId, Model)>> {
        if cx.catalogue.refused.is_empty() {
            return BTreeMap::new();
        }
        let place_units = cx.catalogue.of_kind(DeviceKind::Enclosure).filter_map(|it| it.enclosure_units).max();
        let arrangements = (ask.unrefused)();
        let of_customer = |(customer, &opening): (usize, &usize)| {
            let models = |one: &Arrangement| match &one.equipped.control {
                ControlNeed::Ports { models, .. } => models.clone(),
                _ => Vec::new(),
            };
            let models: BTreeSet<DeviceId> = arrangements.openings.get(opening)?.iter().flat_map(models).collect();
            let refused = models.into_iter().filter(|id| cx.catalogue.refused.contains(id));
            let stated = refused.filter_map(|id| Some((model(cx.device(&id)?, estimate, place_units)?, id)));
            Some((customer, stated.map(|(model, id)| (id, model)).collect()))
        };
        self.openings.iter().enumerate().filter_map(of_customer).collect()
    }

    /// Whether two customers must not share a controller.
    pub(super) fn are_apart(&self, one: usize, other: usize) -> bool {
        one != other && self.problem.apart.iter().any(|group| group.contains(&one) && group.contains(&other))
    }

    /// The variant a customer is served in.
    pub(super) fn chosen(&self, customer: usize, choice: Choice) -> &Variant {
        &self.problem.customers[customer].variants[choice.variant]
    }

    /// How a customer would be served from the room of an earlier plan, arranged as it was where it still can be.
    pub(super) fn choice_at(&self, customer: usize, previous: &Previous) -> Option<Choice> {
        let before = previous.get(&self.marks[customer])?;
        let room = self.site_of(&before.room)?;
        let variants = self.problem.customers[customer].variants.iter().enumerate();
        let there = variants.filter_map(|(variant, it)| {
            let arc = it.arcs.iter().find(|arc| self.room_of(arc.site) == room)?;
            Some(Choice { variant, site: arc.site })
        });
        there.min_by_key(|choice| self.ways[customer][choice.variant].kind != before.arrangement)
    }

    /// How a customer is served, with what it costs.
    pub(super) fn leg(&self, customer: usize, choice: Choice) -> Option<&Leg> {
        self.ways[customer].get(choice.variant)?.at(choice.site)
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

/// Cost of using a room: nothing where an enclosure or supply stays.
fn fixed(cx: &Cx<'_>, job: &Job, room: &SurveyedRoom, estimate: &Estimate<'_>) -> i64 {
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

/// Cost of the radio bridge or trench that brings a room its network, paid where the room is used; nothing where neither can,
/// which routing tells of. A link further up the chain counts at its own room.
fn link(cx: &Cx<'_>, survey: &Survey, room: &SurveyedRoom, estimate: &Estimate<'_>) -> i64 {
    room.uplink.as_ref().map_or(0, |uplink| estimate.link(cx, &survey.settings, uplink).cents())
}

/// What stating an opening needs.
struct Desk<'d, 'c> {
    cx: &'d Cx<'c>,
    survey: &'d Survey,
    reach: &'d Reach,
    estimate: &'d Estimate<'d>,
    /// Units of the largest enclosure.
    place_units: Option<u32>,
    families: BTreeMap<Vec<DeviceId>, usize>,
    /// Rooms where a network port is likely to be bought.
    short: Vec<bool>,
}

impl Desk<'_, '_> {
    /// Rooms with fewer free network ports, or less power for them, than openings within reach could take: there a port is
    /// likely to be bought.
    fn short_of_ports(&self, arrangements: &Arrangements) -> Vec<bool> {
        let mut near = vec![(0_u32, 0.0_f64); self.survey.rooms.len()];
        for (lengths, all) in self.reach.lengths.iter().zip(&arrangements.openings) {
            let takes = all.iter().map(|one| watts(self.cx, &one.equipped)).fold(0.0, f64::max);
            for &(room, _) in lengths {
                near[room] = (near[room].0.saturating_add(1), near[room].1 + takes);
            }
        }
        let short = |(room, (openings, takes)): (&SurveyedRoom, (u32, f64))| {
            room.network_ports.is_some_and(|free| free < openings)
                || room.network_power_w.is_some_and(|free: Watts| free.get() < takes)
        };
        self.survey.rooms.iter().zip(near).map(short).collect()
    }
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
fn model(device: &Device, estimate: &Estimate<'_>, place_units: Option<u32>) -> Option<Model> {
    let ports = device.control.ports?;
    let units = match device.kind {
        Some(DeviceKind::Kit) => place_units.unwrap_or(ports),
        _ => device.control.enclosure_units.unwrap_or(ports),
    };
    let price = estimate.controller(device)?.cents();
    Some(Model { ports, price, uses: vec![1, i64::from(units), 1] })
}
