//! Fits out one opening: lock, readers, control, smaller devices, cables, action; once for each way it can be arranged.

use std::sync::Arc;

use dw_core::{Amps, DeviceId, Money};
use dw_job::catalogue::{Device, LockKind};
use dw_job::model::{ExitRequest, OpeningKind};

use super::action::{Behaviour, Feed};
use super::bench::{Bench, works_between};
use super::cables::{self, Reuse, Wiring, shared_interface};
use super::control::{self, ReadingDemand, Way, milliamps};
use super::demand::Case;
use super::door_devices::{self, Part, PartDemand, exit_kind};
use super::exclude::{Picked, Settled};
use super::inputs::{self, LockState};
use super::lock::{self, LockDemand, LockDetail};
use super::memo::Memo;
use super::plan::{Arrangement, ControlNeed, Equipped, Fitted, Role};
use super::reading::{self, Reading};
use super::register::Register;
use super::situation::{Stand, Surroundings, is_lane, is_vehicle};

/// Fits out openings one after the other, remembering choices by situation.
pub(super) struct Fitter<'s, 'a> {
    bench: &'s Bench<'a>,
    register: &'s Register<'s>,
    locks: Memo<LockDemand, Picked<'a, LockDetail>>,
    readings: Memo<ReadingDemand, Vec<Arc<Reading<'a>>>>,
    parts: Memo<PartDemand, Picked<'a, ()>>,
}

/// What was chosen for one opening, while it is put together.
pub(super) struct Outfit<'a> {
    pub lock: Option<Arc<Picked<'a, LockDetail>>>,
    pub reading: Arc<Reading<'a>>,
    pub parts: Vec<(Part, Arc<Picked<'a, ()>>)>,
    pub lock_state: LockState,
    /// Cores of the cable in the wall and of the first need, when it has too few for any.
    pub old_cable_short: Option<(u32, u32)>,
    /// Number of the situation the lock was chosen for.
    pub lock_number: usize,
    /// Number of the situation the readers were chosen for, and which of its arrangements this is.
    pub reading_number: (usize, usize),
}

impl<'a> Outfit<'a> {
    pub(super) fn lock_device(&self) -> Option<&'a Device> {
        self.lock.as_ref().and_then(|lock| lock.device())
    }

    pub(super) fn lock_detail(&self) -> Option<&LockDetail> {
        self.lock.as_ref()?.chosen.as_ref().map(|chosen| &chosen.detail)
    }

    pub(super) fn part(&self, role: Role) -> Option<&'a Device> {
        self.parts.iter().find(|(part, _)| part.role().0 == role).and_then(|(_, picked)| picked.device())
    }

    pub(super) fn decides_itself(&self) -> Option<&'a Device> {
        let chosen = self.reading.main.as_ref()?.chosen.as_ref()?;
        (chosen.detail.way == Way::Own).then_some(chosen.device)
    }

    /// How many parts nothing fits for, a splitter aside: without one a unit is fed from the room.
    fn lacking(&self) -> usize {
        let lacks = |(part, picked): &&(Part, Arc<Picked<'a, ()>>)| {
            !matches!(part, Part::Splitter { .. }) && picked.chosen.is_none()
        };
        self.parts.iter().filter(lacks).count()
    }

    /// Whole-life cost of what is fitted or kept beside the lock, which is the same in every arrangement.
    fn cost(&self, case: &Case<'_>) -> Money {
        let readers = [&self.reading.main, &self.reading.second].into_iter().flatten();
        let readers: Money = readers.filter_map(|picked| Some(picked.chosen.as_ref()?.cost.total())).sum();
        let part = |(part, picked): &(Part, Arc<Picked<'a, ()>>)| {
            Some(picked.chosen.as_ref()?.cost.total() * part_count(case, self, part))
        };
        readers + self.parts.iter().filter_map(part).sum()
    }
}

impl<'s, 'a> Fitter<'s, 'a> {
    pub(super) fn new(bench: &'s Bench<'a>, register: &'s Register<'s>) -> Self {
        Self { bench, register, locks: Memo::new(), readings: Memo::new(), parts: Memo::new() }
    }

    /// Every way to arrange one opening, the usual one first. One that goes short of a part which the usual one has is
    /// left out.
    pub(super) fn fit(&mut self, case: &Case<'_>) -> Vec<(Arrangement, Outfit<'a>)> {
        let (bench, register) = (self.bench, self.register);
        let locked = case.locked();
        let lock = locked.then(|| self.locks.get(case.lock(register), |demand| lock::choose(bench, demand)));
        let (lock, lock_number) = lock.map_or((None, 0), |(lock, number)| (Some(lock), number));
        let inputs = inputs::needed(case, lock.as_deref());
        let peak = lock.as_ref().and_then(|lock| lock.device()).map_or(0.0, |device| lock::peak_amps(device).get());
        let demand = case.reading(register, peak, inputs);
        let (readings, number) = self.readings.get(demand, |demand| reading::choose(bench, demand));
        let mut arranged: Vec<(Arrangement, Outfit<'a>)> = Vec::with_capacity(readings.len());
        for (idx, reading) in readings.iter().enumerate() {
            let mut outfit = Outfit {
                lock: lock.clone(),
                reading: Arc::clone(reading),
                parts: Vec::new(),
                lock_state: LockState::NotTold,
                old_cable_short: None,
                lock_number,
                reading_number: (number, idx),
            };
            self.complete(case, &mut outfit, inputs);
            if arranged.first().is_none_or(|(_, usual)| outfit.lacking() <= usual.lacking()) {
                let equipped = assemble(case, &mut outfit);
                let at_opening = outfit.cost(case) + bench.tasks(case, &equipped);
                arranged.push((Arrangement { kind: reading.kind, equipped, at_opening }, outfit));
            }
        }
        arranged
    }

    /// Adds the smaller devices, and decides whether the state of the lock is wired.
    fn complete(&mut self, case: &Case<'_>, outfit: &mut Outfit<'a>, inputs: u32) {
        self.parts(case, outfit);
        if let Some(more) = inputs::beyond(self.bench, case, outfit, inputs) {
            self.part(case, outfit, Part::Expander { inputs: more }, Stand::Hand, true);
        }
        outfit.lock_state = LockState::of(self.bench, outfit, inputs);
    }

    fn parts(&mut self, case: &Case<'_>, outfit: &mut Outfit<'a>) {
        let surveyed = case.surveyed;
        let lock = outfit.lock_device();
        let holds = outfit.lock_detail().is_some_and(|detail| detail.holds_escape);
        let lock_ma = lock.map_or(0, |lock| milliamps(lock::peak_amps(lock).get()));
        if let Some(exit) = inputs::exit_request(case, outfit.lock.as_deref()) {
            self.part(case, outfit, Part::Exit(exit), Stand::Body, true);
        }
        if holds {
            self.part(case, outfit, Part::Release { lock_ma }, Stand::Body, true);
        }
        if let Some(part) = Self::transfer(case, outfit, lock_ma) {
            self.part(case, outfit, part, Stand::Rebate, false);
        }
        if inputs::contacts(case) > 0 {
            self.part(case, outfit, Part::Contact, Stand::Rebate, false);
        }
        if surveyed.sounder {
            self.part(case, outfit, Part::Sounder, Stand::Body, true);
        }
        if let Some(part) = Self::splitter(outfit) {
            self.part(case, outfit, part, Stand::Body, true);
        }
    }

    /// Power reaches the leaf for a lock on it, and wires for a switch in its handle.
    fn transfer(case: &Case<'_>, outfit: &Outfit<'a>, lock_ma: u32) -> Option<Part> {
        let lock = outfit.lock_device().filter(|lock| lock.lock.on_leaf == Some(true));
        let switch = outfit.part(Role::ExitRequest).filter(|exit| exit_kind(exit) == ExitRequest::HandleSwitch);
        let cores = lock.map_or(0, |lock| 2 + 2 * u32::from(lock.lock.monitored == Some(true)))
            + 2 * u32::from(switch.is_some());
        if cores == 0 {
            return None;
        }
        let millivolts = lock.and_then(|lock| lock.electrical.nominal).map_or(12_000, |volts| milliamps(volts.get()));
        let lock_ma = if lock.is_some() { lock_ma } else { 0 };
        Some(Part::Transfer { by: case.opening.door.power_transfer, cores, lock_ma, lock_mv: millivolts })
    }

    /// A unit that decides by itself takes its power, and the lock's, from the network when a splitter suits both.
    fn splitter(outfit: &Outfit<'a>) -> Option<Part> {
        let unit = outfit.decides_itself()?;
        let second = outfit.reading.second.as_ref().and_then(Picked::device);
        let lock = outfit.lock_device().filter(|lock| lock.electrical.mains.is_none());
        let locks = outfit.lock_detail().map_or(1, |detail| detail.count);
        let working = |device: &Device| {
            let currents = &device.electrical;
            [currents.standby, currents.active, currents.inrush].into_iter().flatten().max().unwrap_or(Amps::ZERO)
        };
        let load: f64 = [Some(unit), second].into_iter().flatten().map(|device| working(device).get()).sum::<f64>()
            + lock.map_or(0.0, |lock| working(lock).get() * f64::from(locks));
        let powered = [Some(unit), second, lock].into_iter().flatten();
        let (mut low, mut high) = (0.0_f64, 1000.0_f64);
        for (from, to) in powered.filter_map(works_between) {
            (low, high) = (low.max(from), high.min(to));
        }
        Some(Part::Splitter { load_ma: milliamps(load), low_mv: milliamps(low), high_mv: milliamps(high) })
    }

    fn part(&mut self, case: &Case<'_>, outfit: &mut Outfit<'a>, part: Part, stand: Stand, inside: bool) {
        let surveyed = case.surveyed;
        let around = match (&part, inside) {
            // A splitter stands dry above the ceiling or in a box of its own, an expander in the room.
            (Part::Splitter { .. } | Part::Expander { .. }, _) => Surroundings::of(&[], stand),
            (_, true) => Surroundings::inside(&surveyed.exposure, surveyed.kind, stand),
            (_, false) => Surroundings::of(&surveyed.exposure, stand),
        };
        let kept = self.register.staying(&surveyed.mark, part.role().0).next();
        let demand = PartDemand {
            part: part.clone(),
            kind: surveyed.kind,
            around,
            settled: kept.map(|staying| Settled::Kept(staying.device.clone())),
        };
        let bench = self.bench;
        let (picked, _) = self.parts.get(demand, |demand| door_devices::choose(bench, demand));
        outfit.parts.push((part, picked));
    }
}

/// Puts everything chosen together; notes in the outfit when the cable in the wall is too thin.
fn assemble(case: &Case<'_>, outfit: &mut Outfit<'_>) -> Equipped {
    let control = control_need(case, outfit);
    let mut needs = wiring(case, outfit, &control, case.settings.spare_cores).cables();
    let cable = &case.opening.existing_cable;
    if cable.reuse == Some(true) && !matches!(control, ControlNeed::OwnUnit { .. }) {
        let cores = cable.cores.unwrap_or(0);
        if let Some(Reuse::TooFew { needs }) = cables::reuse(&mut needs, cores) {
            outfit.old_cable_short = Some((cores, needs));
        }
    }
    let detail = outfit.lock_detail();
    let mut devices = Vec::new();
    let mut choices = Vec::new();
    if let Some(main) = &outfit.reading.main {
        take(&mut devices, &mut choices, main, 1);
    }
    if let Some(second) = &outfit.reading.second {
        take(&mut devices, &mut choices, second, 1);
    }
    if let Some(lock) = &outfit.lock {
        take(&mut devices, &mut choices, lock, detail.map_or(1, |detail| detail.count));
    }
    for (part, picked) in &outfit.parts {
        take(&mut devices, &mut choices, picked, part_count(case, outfit, part));
    }
    devices.sort_by_key(|fitted: &Fitted| fitted.role);
    Equipped {
        mark: case.surveyed.mark.clone(),
        control,
        fail_mode: detail.and_then(|detail| detail.fail_mode),
        holds_escape: detail.is_some_and(|detail| detail.holds_escape),
        provisional: detail.and_then(|detail| detail.provisional.clone()),
        devices,
        cables: needs,
        action: behaviour(case, outfit).action(),
        choices,
    }
}

fn take<T: Clone>(
    devices: &mut Vec<Fitted>,
    choices: &mut Vec<Arc<super::plan::Choice>>,
    picked: &Picked<'_, T>,
    count: u32,
) {
    choices.push(Arc::clone(&picked.choice));
    if let Some(device) = picked.device() {
        devices.push(Fitted { device: device.id.clone(), count, role: picked.choice.role, kept: picked.kept });
    }
}

/// One contact for each leaf, one transfer for each leaf with something electric on it.
fn part_count(case: &Case<'_>, outfit: &Outfit<'_>, part: &Part) -> u32 {
    let pair = case.surveyed.kind == OpeningKind::Pair;
    let both_leaves = outfit
        .lock_device()
        .is_some_and(|lock| lock.lock.kind == Some(LockKind::LatchRetraction) && lock.lock.on_leaf == Some(true));
    match part {
        Part::Contact => inputs::contacts(case),
        Part::Transfer { .. } if pair && both_leaves => 2,
        _ => 1,
    }
}

fn control_need(case: &Case<'_>, outfit: &Outfit<'_>) -> ControlNeed {
    if let Some(unit) = outfit.decides_itself() {
        return ControlNeed::OwnUnit { unit: unit.id.clone() };
    }
    let wired = outfit.reading.main.is_some() || outfit.lock.is_some() || !outfit.parts.is_empty();
    if !wired && case.surveyed.kind != OpeningKind::LiftCar {
        return ControlNeed::None;
    }
    if outfit.reading.main.is_none() && case.surveyed.kind == OpeningKind::LiftCar {
        return ControlNeed::None;
    }
    let mut models: Vec<DeviceId> = outfit.reading.models.clone();
    models.sort();
    ControlNeed::Ports { ports: 1, models }
}

fn wiring(case: &Case<'_>, outfit: &Outfit<'_>, control: &ControlNeed, spare: u32) -> Wiring {
    let catalogue_speaks = |device: &Device| {
        let partner = outfit.decides_itself().map(|unit| unit.control.interfaces.clone());
        let all = [
            dw_job::catalogue::Interface::Multidrop,
            dw_job::catalogue::Interface::FingerBus,
            dw_job::catalogue::Interface::DataLines,
            dw_job::catalogue::Interface::Network,
        ];
        shared_interface(device, partner.as_deref().unwrap_or(&all))
    };
    let own = matches!(control, ControlNeed::OwnUnit { .. });
    let main = outfit.reading.main.as_ref().and_then(Picked::device).filter(|_| !own);
    let second = outfit.reading.second.as_ref().and_then(Picked::device);
    let lock = outfit.lock_device();
    let detail = outfit.lock_detail();
    let driven = lock.is_some_and(is_driven);
    let exit = outfit.part(Role::ExitRequest).map(|device| {
        let kind = exit_kind(device);
        (kind, kind == ExitRequest::Sensor)
    });
    let contact = outfit.part(Role::DoorContact).is_some();
    Wiring {
        own_unit: own,
        fed_from_room: own && outfit.part(Role::Splitter).is_none(),
        readers: [main, second].into_iter().flatten().map(catalogue_speaks).collect(),
        locks: if driven { 0 } else { lock.and(detail).map_or(0, |detail| detail.count) },
        driven,
        contacts: if contact { inputs::contacts(case) } else { 0 },
        exit,
        sounder: outfit.part(Role::Sounder).is_some(),
        lock_state: outfit.lock_state == LockState::Wired,
        tampers: case.surveyed.tampers,
        spare,
    }
}

fn behaviour(case: &Case<'_>, outfit: &Outfit<'_>) -> Behaviour {
    let surveyed = case.surveyed;
    let used = |picked: Option<&Picked<'_, control::ReadingDetail>>| {
        picked.and_then(|picked| picked.chosen.as_ref()).map(|chosen| chosen.detail.used.clone()).unwrap_or_default()
    };
    let main = used(outfit.reading.main.as_ref());
    let second = used(outfit.reading.second.as_ref());
    let (factors_in, factors_out) = if case.reads_in() { (main, second) } else { (Vec::new(), main) };
    let detail = outfit.lock_detail();
    let kind = outfit.lock_device().and_then(|lock| lock.lock.kind);
    Behaviour {
        factors_in,
        factors_out,
        locked: outfit.lock_device().is_some(),
        feed: feed(outfit),
        fail_mode: detail.and_then(|detail| detail.fail_mode),
        free_exit: detail.is_some_and(|detail| detail.free_exit),
        exit: outfit.part(Role::ExitRequest).map(exit_kind),
        emergency_release: outfit.part(Role::EmergencyRelease).is_some(),
        fire_release: surveyed.fire_release,
        fire_door: surveyed.fire_rating_min.get() > 0.0,
        latch_stays: !matches!(kind, Some(LockKind::ElectricStrike | LockKind::ElectromagneticLock)),
        lane: is_lane(surveyed.kind),
        vehicle: is_vehicle(surveyed.kind),
        lift: surveyed.kind == OpeningKind::LiftCar,
        watched: surveyed.watch_position,
    }
}

/// Where the lock's power comes from.
fn feed(outfit: &Outfit<'_>) -> Feed {
    if outfit.lock_device().is_some_and(is_driven) {
        Feed::Spur
    } else if outfit.part(Role::Splitter).is_some() {
        Feed::Network
    } else {
        Feed::Supply
    }
}

/// Whether a body or drive has a mains spur of its own and is told over a release pair.
pub(super) fn is_driven(lock: &Device) -> bool {
    lock.electrical.mains.is_some()
}
