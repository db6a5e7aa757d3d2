//! Who decides: ports on a controller in a room, or a unit at the opening.

use dw_core::{DeviceId, Money};
use dw_job::catalogue::{CableUse, Device, DeviceKind, Interface};
use dw_job::model::{ArrangementKind, Factor, OpeningKind};

use super::bench::{Bench, works_between};
use super::cables;
use super::exclude::{Candidate, Ground, Reason, Settled};
use super::plan::arrangement_words;
use super::reader::{Checked, Direction};
use super::situation::is_vehicle;

/// Everything that decides readers and control of an opening.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct ReadingDemand {
    pub kind: OpeningKind,
    pub inward: Option<Direction>,
    pub outward: Option<Direction>,
    /// Inputs that must be wired: contacts, exit request, what a driven body tells, tampers.
    pub inputs: u32,
    /// Floors of a lift car.
    pub floors: u32,
    /// Protection level of the side entered.
    pub level: u32,
    /// Highest current of the lock, mA, and what it is for the finding.
    pub lock_ma: u32,
    /// Cores of a cable in the wall that may be used again.
    pub existing_cores: u32,
    pub reader: Option<Settled>,
    pub reader_out: Option<Settled>,
    pub controller: Option<DeviceId>,
    /// The arrangement pinned.
    pub arrangement: Option<ArrangementKind>,
    pub adapt: Option<i64>,
}

impl ReadingDemand {
    fn readers(&self) -> u32 {
        u32::from(self.inward.is_some()) + u32::from(self.outward.is_some())
    }
}

/// How an opening with this reader is decided.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Way {
    /// Ports on one of these controllers.
    Ports(Vec<DeviceId>),
    /// The unit decides by itself.
    Own,
}

/// What the readers of an opening are limited to, so that another arrangement than the usual one comes out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Only {
    Kind(ArrangementKind),
    /// Ports on a controller in a room, the reader on a bus: it reaches farther than data lines.
    OnBus,
}

impl Only {
    pub(super) const ALL: [Self; 4] = [
        Self::Kind(ArrangementKind::Ports),
        Self::OnBus,
        Self::Kind(ArrangementKind::MatchedInController),
        Self::Kind(ArrangementKind::OwnUnit),
    ];

    /// What decides.
    pub(super) fn kind(self) -> ArrangementKind {
        match self {
            Self::Kind(kind) => kind,
            Self::OnBus => ArrangementKind::Ports,
        }
    }

    /// Why a reader by this way is no part of it.
    fn against(self, checked: &Checked<'_>, way: &Way) -> Option<Reason> {
        let kind = kind(checked.device, &checked.used, way);
        if kind != self.kind() {
            return Some(Reason::hard(
                Ground::Control,
                format!("belongs to another arrangement: {}", arrangement_words(kind)),
            ));
        }
        let deaf = self == Self::OnBus && !checked.device.interfaces.contains(&Interface::Multidrop);
        deaf.then(|| Reason::hard(Ground::Control, "does not speak on a bus, which reaches farther"))
    }
}

/// The arrangement a reader decided this way belongs to.
pub(super) fn kind(reader: &Device, used: &[Factor], way: &Way) -> ArrangementKind {
    let matched = used.contains(&Factor::Finger) && matched_by_controller(reader);
    match way {
        Way::Own => ArrangementKind::OwnUnit,
        Way::Ports(_) if matched => ArrangementKind::MatchedInController,
        Way::Ports(_) => ArrangementKind::Ports,
    }
}

/// What the choice of a reader remembers.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ReadingDetail {
    pub used: Vec<Factor>,
    pub way: Way,
    pub search: Option<(f64, u32)>,
}

/// The level from which a unit that decides on the attack side is turned down while anything else fits: levels 3 and
/// 4 are the higher half of the scale (*common practice*).
const INNER_LEVEL: u32 = 3;
const ATTACK_SIDE: u32 = 8;

/// The models of a pool of controllers.
pub(super) fn pool_models(bench: &Bench<'_>, demand: &ReadingDemand, pool: &[&Device]) -> Vec<DeviceId> {
    preferred(bench, demand, pool.iter().map(|controller| controller.id.clone()).collect())
}

/// Controllers that could serve the opening whatever its reader; only the pinned one when one is pinned.
pub(super) fn pool<'a>(
    bench: &Bench<'a>,
    demand: &ReadingDemand,
) -> (Vec<&'a Device>, Vec<Reason>, Option<(u32, u32)>) {
    if let Some(pinned) = demand.controller.as_ref().and_then(|id| bench.catalogue.devices.get(id)) {
        if pinned.kind == Some(DeviceKind::StandaloneUnit) {
            return (Vec::new(), Vec::new(), None);
        }
        let breaks: Vec<Reason> = objections(bench, demand, pinned);
        return (vec![pinned], breaks, output_short(demand, &[pinned]));
    }
    let kinds: &[DeviceKind] = if demand.kind == OpeningKind::LiftCar {
        &[DeviceKind::LiftController]
    } else {
        &[DeviceKind::Controller, DeviceKind::Kit]
    };
    let mut pool: Vec<&Device> = kinds
        .iter()
        .flat_map(|kind| bench.catalogue.of_kind(*kind))
        .filter(|controller| objections(bench, demand, controller).is_empty())
        .collect();
    pool.sort_by(|a, b| a.id.cmp(&b.id));
    let short = output_short(demand, &pool);
    if short.is_none() {
        pool.retain(|controller| output_short(demand, &[*controller]).is_none());
    }
    (pool, Vec::new(), short)
}

fn objections(bench: &Bench<'_>, demand: &ReadingDemand, controller: &Device) -> Vec<Reason> {
    let mut reasons = Vec::new();
    let lift = demand.kind == OpeningKind::LiftCar;
    let right_kind = match controller.kind {
        Some(DeviceKind::Controller | DeviceKind::Kit) => !lift,
        Some(DeviceKind::LiftController) => lift,
        _ => false,
    };
    if !right_kind || controller.control.ports.unwrap_or(0) == 0 {
        reasons.push(Reason::hard(Ground::OtherKind, format!("has no port for a {}", demand.kind)));
    }
    if bench.refused.contains(&controller.id) {
        reasons.push(Reason::hard(Ground::Refused, "is refused by policy"));
    }
    if !controller.suits.is_empty() && !controller.suits.contains(&demand.kind) {
        reasons.push(Reason::hard(Ground::Suits, format!("does not suit {} openings", demand.kind)));
    }
    let short = |has: Option<u32>, needs: u32| has.filter(|has| *has < needs);
    if let Some(has) = short(controller.limits.readers, demand.readers()) {
        reasons.push(Reason::hard(
            Ground::Control,
            format!("serves {has} readers an opening, {} are needed", demand.readers()),
        ));
    }
    // An expander adds inputs of an opening; the floors of a car are on its controller.
    let floors = demand.floors.max(demand.inputs);
    if let Some(has) = short(controller.limits.inputs, floors).filter(|_| lift) {
        reasons.push(Reason::hard(Ground::Inputs, format!("has {has} inputs an opening, {floors} are needed")));
    }
    reasons
}

/// The lock's current and the largest output, when no controller of the pool switches it.
fn output_short(demand: &ReadingDemand, pool: &[&Device]) -> Option<(u32, u32)> {
    let outputs = pool.iter().filter_map(|controller| controller.control.output);
    let largest = outputs.map(|amps| milliamps(amps.get())).max()?;
    (demand.lock_ma > largest).then_some((demand.lock_ma, largest))
}

/// Whole milliamperes.
pub(super) fn milliamps(amps: f64) -> u32 {
    libm::round(amps.clamp(0.0, 1e6) * 1000.0) as u32
}

/// What the ways of deciding are judged by.
#[derive(Clone, Copy)]
pub(super) struct Site<'s, 'a> {
    pub bench: &'s Bench<'a>,
    pub demand: &'s ReadingDemand,
    pub pool: &'s [&'a Device],
    pub direction: &'s Direction,
    pub only: Option<Only>,
}

impl<'a> Site<'_, 'a> {
    /// The reader with the better of its two ways.
    pub(super) fn candidate(
        &self,
        checked: Checked<'a>,
        seconds: Option<&[Checked<'a>]>,
    ) -> Candidate<'a, ReadingDetail> {
        let ways = [self.by_ports(&checked, seconds), self.by_itself(&checked, seconds)];
        let limited = ways.map(|(way, cost, mut reasons)| {
            reasons.extend(self.only.and_then(|only| only.against(&checked, &way)));
            (way, cost, reasons)
        });
        let best = limited.into_iter().min_by_key(|(way, cost, reasons)| {
            let weight: u32 = reasons.iter().map(|reason| reason.weight).sum();
            (reasons.iter().any(Reason::excludes), weight, *cost, *way == Way::Own)
        });
        // Both ways are always there, so one is best.
        let (way, beside, more) = best.unwrap_or((Way::Own, Money::ZERO, Vec::new()));
        let Checked { device, used, mut reasons, cost, search } = checked;
        reasons.extend(more);
        Candidate { device, cost, beside, reasons, detail: ReadingDetail { used, way, search } }
    }

    /// A second reader beside the chosen one, by the way that one takes.
    pub(super) fn beside(
        &self,
        checked: Checked<'a>,
        chosen: &Candidate<'a, ReadingDetail>,
    ) -> Candidate<'a, ReadingDetail> {
        let (way, mut more) = match &chosen.detail.way {
            Way::Ports(models) => {
                let fitting = |controller: &&&Device| models.contains(&controller.id);
                let (models, reason) = self.models(&checked, self.pool.iter().copied().filter(|c| fitting(&c)));
                (Way::Ports(models), reason)
            }
            Way::Own => (Way::Own, beside_unit(chosen.device, &checked)),
        };
        let Checked { device, used, mut reasons, cost, search } = checked;
        reasons.append(&mut more);
        Candidate { device, cost, beside: Money::ZERO, reasons, detail: ReadingDetail { used, way, search } }
    }

    fn by_ports(&self, checked: &Checked<'a>, seconds: Option<&[Checked<'a>]>) -> (Way, Money, Vec<Reason>) {
        let (mut models, mut reasons) = self.models(checked, self.pool.iter().copied());
        let device = checked.device;
        if !self.bench.wire {
            let speaks = |id: &DeviceId| {
                let controller = self.bench.catalogue.devices.get(id);
                controller.is_some_and(|controller| controller.control.interfaces.contains(&Interface::Network))
            };
            models.retain(|id| device.interfaces.contains(&Interface::Network) && speaks(id));
        }
        if !self.bench.wire && models.is_empty() {
            reasons.push(Reason::hard(Ground::Control, "needs copper to a controller, the policy allows none"));
        }
        let mut cost = Money::ZERO;
        if let Some(seconds) = seconds {
            let fits = |second: &&Checked<'a>| {
                let among = self.pool.iter().copied().filter(|controller| models.contains(&controller.id));
                !second.excluded() && !self.models(second, among).0.is_empty()
            };
            match seconds.iter().filter(fits).map(|second| second.cost.total()).min() {
                Some(least) => cost += least,
                None => {
                    reasons.push(Reason::hard(Ground::Control, "leaves no reader for the way out on its controllers"));
                }
            }
        }
        let ports = models.iter().filter_map(|id| self.bench.catalogue.devices.get(id)).filter_map(|controller| {
            let ports = controller.control.ports.filter(|ports| *ports > 0)?;
            Some(self.bench.costs.of(controller)?.total().times_quantity(1.0 / f64::from(ports)))
        });
        cost += ports.min().unwrap_or(Money::ZERO) + self.field_cables(device);
        (Way::Ports(models), cost, reasons)
    }

    /// The cables of an opening served from a room, as compared: reader, lock, contact, exit request.
    fn field_cables(&self, reader: &Device) -> Money {
        let spare = self.bench.spare_cores;
        let cable = |purpose, cores: u32| self.bench.cable(purpose, cores.saturating_add(spare));
        let cores = cables::reader_cores(reader).len() as u32;
        let reads = if self.demand.existing_cores >= cores { Money::ZERO } else { cable(CableUse::Reader, cores) };
        reads + self.bench.cable(CableUse::Lock, 2) + cable(CableUse::Contact, 2) + cable(CableUse::ExitRequest, 4)
    }

    fn by_itself(&self, checked: &Checked<'a>, seconds: Option<&[Checked<'a>]>) -> (Way, Money, Vec<Reason>) {
        let device = checked.device;
        let mut reasons = own_unit(self.bench, self.demand, self.direction, checked);
        let mut cost = self.bench.least_of(DeviceKind::Splitter)
            + self.bench.cable(CableUse::Network, 8)
            + self.bench.network_port();
        if let Some(seconds) = seconds {
            let fits = |second: &&Checked<'a>| !second.excluded() && beside_unit(device, second).is_empty();
            match seconds.iter().filter(fits).map(|second| second.cost.total()).min() {
                Some(least) => cost += least,
                None => reasons.push(Reason::hard(Ground::Control, "has no reader for the way out that it can read")),
            }
        }
        (Way::Own, cost, reasons)
    }

    /// Controllers of a pool that can serve a reader; the reason of the one that came nearest when none can.
    fn models(&self, checked: &Checked<'a>, pool: impl Iterator<Item = &'a Device>) -> (Vec<DeviceId>, Vec<Reason>) {
        let mut models = Vec::new();
        let mut nearest: Option<(u32, Reason)> = None;
        for controller in pool {
            match serves(self.direction, controller, checked) {
                Ok(()) => models.push(controller.id.clone()),
                Err((stage, reason)) if nearest.as_ref().is_none_or(|best| stage > best.0) => {
                    nearest = Some((stage, reason));
                }
                Err(_) => {}
            }
        }
        if !models.is_empty() {
            return (preferred(self.bench, self.demand, models), own_store(self.direction, checked));
        }
        let none = || Reason::hard(Ground::Control, "finds no controller for this opening");
        (models, vec![nearest.map_or_else(none, |row| row.1)])
    }
}

/// Of controllers that serve an opening those with inputs enough, else those with most; then those made for all openings.
fn preferred(bench: &Bench<'_>, demand: &ReadingDemand, mut models: Vec<DeviceId>) -> Vec<DeviceId> {
    let most = models.iter().map(|id| inputs_of(bench, id)).max().unwrap_or(0);
    models.retain(|id| inputs_of(bench, id) >= demand.inputs.min(most));
    // A gate's controller stands at the gate: every vehicle opening beside it shares it.
    if is_vehicle(demand.kind) { models } else { general(bench, models) }
}

/// Inputs an opening has on a controller or unit; one that states none is taken to have enough.
pub(super) fn inputs_of(bench: &Bench<'_>, id: &DeviceId) -> u32 {
    bench.catalogue.devices.get(id).and_then(|device| device.limits.inputs).unwrap_or(u32::MAX)
}

/// Controllers made for this kind of opening are left to openings that need them, so that the others share ports.
fn general(bench: &Bench<'_>, models: Vec<DeviceId>) -> Vec<DeviceId> {
    let for_all = |id: &&DeviceId| bench.catalogue.devices.get(*id).is_some_and(|device| device.suits.is_empty());
    let general: Vec<DeviceId> = models.iter().filter(for_all).cloned().collect();
    if general.is_empty() { models } else { general }
}

/// Whether a controller can serve a reader: interface, voltage, then what it must hold. The stage tells how near.
fn serves(direction: &Direction, controller: &Device, checked: &Checked<'_>) -> Result<(), (u32, Reason)> {
    let reader = checked.device;
    if !reader.interfaces.iter().any(|interface| controller.control.interfaces.contains(interface)) {
        let speaks = reader.interfaces.iter().map(|interface| interface.word()).collect::<Vec<_>>().join(", ");
        let speaks = if speaks.is_empty() { "nothing stated".to_owned() } else { speaks };
        let text = format!("speaks {speaks}; no controller for this opening does");
        return Err((1, Reason::hard(Ground::Control, text)));
    }
    if let (Some((low, high)), Some((from, to))) = (works_between(reader), works_between(controller))
        && (low > to || high < from)
    {
        let text = format!("works at {low:.1} to {high:.1} V, its controllers at {from:.1} to {to:.1} V");
        return Err((2, Reason::hard(Ground::Voltage, text)));
    }
    let on_bus = matched_by_controller(reader);
    if on_bus && controller.control.matches_fingers != Some(true) {
        return Err((
            3,
            Reason::hard(Ground::Control, "keeps no templates; no controller for this opening matches fingers"),
        ));
    }
    for factor in &checked.used {
        let has = match factor {
            Factor::Card => controller.limits.cards,
            Factor::Plate => controller.limits.plates,
            Factor::Finger if on_bus => controller.limits.fingers,
            _ => continue,
        };
        let needs = direction.references(*factor);
        if let Some(has) = has.filter(|has| *has < needs) {
            let text = format!("would need {needs} {factor} records in its controller, which holds {has}");
            return Err((4, Reason::hard(Ground::Capacity, text)));
        }
    }
    Ok(())
}

/// Whether fingers are matched in the controller: the reader knows the finger bus only.
pub(super) fn matched_by_controller(reader: &Device) -> bool {
    reader.interfaces.contains(&Interface::FingerBus)
}

/// What a reader that keeps its own templates must hold beside a controller.
fn own_store(direction: &Direction, checked: &Checked<'_>) -> Vec<Reason> {
    let biometric = checked.used.iter().filter(|factor| matches!(factor, Factor::Finger | Factor::Face | Factor::Vein));
    let own = biometric.filter(|factor| **factor != Factor::Finger || !matched_by_controller(checked.device));
    own.filter_map(|factor| holds(direction, checked.device, *factor)).collect()
}

/// Whether a device can hold everybody for a factor.
fn holds(direction: &Direction, device: &Device, factor: Factor) -> Option<Reason> {
    let limits = &device.limits;
    let (has, figure) = match factor {
        Factor::Card => (limits.cards, "number of cards"),
        Factor::Finger => (limits.fingers, "number of finger templates"),
        Factor::Face => (limits.faces, "number of face templates"),
        Factor::Vein => (limits.veins, "number of vein templates"),
        Factor::Plate => (limits.plates, "number of plates"),
        Factor::Pin => return None,
    };
    let needs = direction.references(factor);
    match has {
        None => Some(Reason::missing(figure)),
        Some(has) if has < needs => {
            Some(Reason::hard(Ground::Capacity, format!("holds {has} for {factor}, {needs} are planned")))
        }
        Some(_) => None,
    }
}

/// What speaks against a unit deciding by itself here.
fn own_unit(bench: &Bench<'_>, demand: &ReadingDemand, direction: &Direction, checked: &Checked<'_>) -> Vec<Reason> {
    let device = checked.device;
    let mut reasons = Vec::new();
    let decides = device.kind == Some(DeviceKind::StandaloneUnit) && device.control.ports.unwrap_or(0) > 0;
    if !decides || demand.kind == OpeningKind::LiftCar {
        return vec![Reason::hard(Ground::Control, "does not decide by itself here")];
    }
    if demand.controller.as_ref().is_some_and(|pinned| *pinned != device.id) {
        reasons.push(Reason::hard(Ground::Control, "would decide instead of the pinned controller"));
    }
    if !bench.network || !device.interfaces.contains(&Interface::Network) {
        reasons.push(Reason::hard(Ground::Control, "needs the network, which the policy or the unit does not give"));
    }
    let short = |has: Option<u32>, needs: u32| has.filter(|has| *has < needs);
    if let Some(has) = short(device.limits.inputs, demand.inputs) {
        reasons.push(Reason::hard(Ground::Inputs, format!("has {has} inputs, {} are needed", demand.inputs)));
    }
    if let Some(has) = short(device.limits.readers, demand.readers()) {
        reasons.push(Reason::hard(Ground::Control, format!("serves {has} readers, {} are needed", demand.readers())));
    }
    if let Some(output) = device.control.output.map(|amps| milliamps(amps.get()))
        && output < demand.lock_ma
    {
        let text = format!(
            "switches {:.1} A, the lock draws {:.1} A",
            f64::from(output) / 1e3,
            f64::from(demand.lock_ma) / 1e3
        );
        reasons.push(Reason::hard(Ground::Control, text));
    }
    if demand.level >= INNER_LEVEL {
        let text = format!("decides on the attack side of a zone of level {}", demand.level);
        reasons.push(Reason::soft(Ground::AttackSide, ATTACK_SIDE, text));
    }
    reasons.extend(checked.used.iter().filter_map(|factor| holds(direction, device, *factor)));
    reasons
}

/// What speaks against a second reader on a unit that decides.
fn beside_unit(unit: &Device, second: &Checked<'_>) -> Vec<Reason> {
    let device = second.device;
    let speaks = device.interfaces.iter().any(|interface| unit.control.interfaces.contains(interface));
    if speaks {
        return Vec::new();
    }
    vec![Reason::hard(Ground::Control, format!("cannot be read by {}, which decides here", unit.id))]
}
