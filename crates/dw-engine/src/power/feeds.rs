//! The feed of every electric lock: conductor, voltage on mains and at the end of the battery, and what is wrong with it.

use std::collections::BTreeMap;

use dw_core::{Amps, DeviceId, Metres, Money, Ohms, OhmsPerMetre, OpeningId, Place, RoomId, Volts};
use dw_job::Job;
use dw_job::catalogue::{CableData, CableUse, Device, DeviceKind};
use dw_job::model::{ExitRequest, Exposure, Opening};

use super::enclosures::Output;
use super::figures::{Figures, usable};
use super::loads::{self, OpeningLoads};
use super::plan::{EnclosurePlan, LockFeed};
use super::radial::{Network, NodeLoad};
use super::rules::{
    LockMarginThin, LockUnderVoltageAtEnd, LockUnderVoltageOnMains, LockWindowAboveEnd, OutputOverloaded,
    PowerLimitExceeded, ThinMargin, TransferCoresTooFew, TransferTooResistive,
};
use super::voltage::{self, LoadKind};
use super::{limits, wire_tables, workings};
use crate::Cx;
use crate::equip::{CableNeed, ControlNeed, Equipment, Equipped, Role};
use crate::place::Placement;
use crate::route::Routes;
use crate::survey::{Settings, Survey, Surveyed};

/// Most conductors in parallel each way. Source: *common practice*.
const MOST_PARALLEL: u32 = 2;

/// Longest run counted, so that a mistyped length cannot run away.
pub(super) const LONGEST: f64 = 1e6;

/// Resistance of one core of a hinge or door loop nobody has stated. Source: *common practice*, about one metre of 28 AWG.
const TRANSFER: Ohms = Ohms::new(0.2);

/// How much longer a run may turn out than the plan says. Source: *common practice*, lengths from plans are good to 10 to 15 %.
const LONGER: f64 = 1.15;

/// What the feeds are worked out from.
pub(super) struct Given<'g> {
    pub job: &'g Job,
    pub survey: &'g Survey,
    pub equipment: &'g Equipment,
    pub placement: &'g Placement,
    pub routes: &'g Routes,
    pub enclosures: &'g [EnclosurePlan],
    pub outputs: &'g [Option<Output>],
}

impl Given<'_> {
    /// Whether the cables of an opening lie outdoors, at its end or on their way.
    pub(super) fn lies_outdoors(&self, surveyed: &Surveyed) -> bool {
        is_outdoors(surveyed) || self.routes.of(&surveyed.mark).is_some_and(|routed| routed.outdoors)
    }

    /// The cable in the wall where it serves a need: resistance of a core, and its length where that is stated.
    pub(super) fn in_wall(&self, need: &CableNeed, opening: &Opening) -> Option<(OhmsPerMetre, Option<Metres>)> {
        let old = &opening.existing_cable;
        let ends_here = match (&old.room, self.routes.of(&opening.mark)) {
            (Some(room), Some(routed)) => *room == routed.room,
            _ => true,
        };
        if !need.existing || !ends_here {
            return None;
        }
        let data = CableData { area: old.area, awg: old.awg, ..CableData::default() };
        let stated = usable(old.length.map(Metres::get)).map(Metres::new);
        Some((resistance(&data, &self.survey.settings)?, stated))
    }

    /// Openings as the job states them, by mark.
    pub(super) fn written(&self) -> BTreeMap<&OpeningId, &Opening> {
        self.job.openings.iter().map(|one| (&one.mark, one)).collect()
    }
}

/// The enclosure that feeds a device of an opening.
pub(super) type Sources<'g> = BTreeMap<(&'g OpeningId, &'g DeviceId), usize>;

/// Feeds of all electric locks that a supply or splitter feeds, in the order of marks.
pub(super) fn plan<'a>(
    cx: &mut Cx<'a>,
    figures: &mut Figures<'a>,
    given: &Given<'_>,
    sources: &Sources<'_>,
) -> Vec<LockFeed> {
    let cables = Cables::of(cx, &given.survey.settings);
    let written = given.written();
    let mut narrow: BTreeMap<DeviceId, Narrow> = BTreeMap::new();
    let mut thin: BTreeMap<RoomId, Vec<ThinMargin>> = BTreeMap::new();
    let mut feeds = Vec::new();
    for equipped in &given.equipment.openings {
        let (Some(surveyed), Some(opening)) = (given.survey.opening(&equipped.mark), written.get(&equipped.mark))
        else {
            continue;
        };
        let found = loads::of_opening(figures, equipped, surveyed);
        let outdoors = given.lies_outdoors(surveyed);
        let mut one = One { cx, figures, given, cables: &cables, equipped, surveyed, opening, outdoors };
        if let Some(Fed { feed, short, margin }) = one.feed(&found, sources) {
            if let (Some(margin), Some(served)) = (margin, given.placement.of(&feed.mark)) {
                thin.entry(served.room.clone()).or_default().push(margin);
            }
            if let Some(end) = short {
                let narrow = narrow.entry(feed.lock.clone()).or_insert_with(|| Narrow {
                    needs: feed.needs_v,
                    end,
                    marks: Vec::new(),
                });
                narrow.marks.push(feed.mark.clone());
            }
            feeds.push(feed);
        }
    }
    for (lock, narrow) in narrow {
        cx.sink.report(&LockWindowAboveEnd { lock, needs: narrow.needs, end: narrow.end, openings: narrow.marks });
    }
    for (room, mut locks) in thin {
        locks.sort_by(|a, b| (a.longer - a.needs).cmp(&(b.longer - b.needs)).then_with(|| a.opening.cmp(&b.opening)));
        cx.sink.report(&LockMarginThin { room, locks });
    }
    feeds
}

/// The feed of a lock, and what is to be told of several together.
struct Fed {
    feed: LockFeed,
    /// End of the battery, when the lock's least voltage lies above it.
    short: Option<Volts>,
    /// When a longer run would leave too little.
    margin: Option<ThinMargin>,
}

/// A lock whose least voltage lies above the end of the battery.
struct Narrow {
    needs: Volts,
    end: Volts,
    marks: Vec<OpeningId>,
}

/// The enclosure that feeds each device of each opening.
pub(super) fn sources<'g>(given: &Given<'g>) -> Sources<'g> {
    let mut sources = BTreeMap::new();
    for (index, plan) in given.enclosures.iter().enumerate() {
        for load in &plan.loads {
            if let Some(mark) = &load.opening {
                sources.entry((mark, &load.device)).or_insert(index);
            }
        }
    }
    sources
}

/// Whether a cable of the opening lies outdoors at its end. Source: *common practice*, under a roof it comes from inside.
pub(super) fn is_outdoors(surveyed: &Surveyed) -> bool {
    surveyed.exposure.iter().any(|exposure| matches!(exposure, Exposure::Outdoors | Exposure::DirectSun))
}

/// A conductor that may feed a lock.
#[derive(Clone, Copy, Debug)]
struct Conductor<'a> {
    cable: Option<&'a Device>,
    resistance: OhmsPerMetre,
    parallel: u32,
    price: Money,
}

/// Cables of the catalogue for lock power, at conductor temperature.
struct Cables<'a> {
    dry: Vec<Conductor<'a>>,
    outdoors: Vec<Conductor<'a>>,
}

impl<'a> Cables<'a> {
    fn of(cx: &Cx<'a>, settings: &Settings) -> Self {
        let mut dry = Vec::new();
        let mut outdoors = Vec::new();
        for cable in cx.catalogue.offered(DeviceKind::Cable) {
            let data = &cable.cable;
            let allowed = settings.cable_families.is_empty()
                || data.family.as_ref().is_some_and(|family| settings.cable_families.contains(family));
            let cores = data.cores.unwrap_or(0);
            if !allowed || !data.uses.contains(&CableUse::Lock) || cores < 2 {
                continue;
            }
            let Some(resistance) = resistance(data, settings) else { continue };
            for parallel in 1..=MOST_PARALLEL {
                let lengths = (2 * parallel).div_ceil(cores);
                let price = cable.price.unwrap_or(Money::ZERO) * lengths;
                let conductor = Conductor { cable: Some(cable), resistance, parallel, price };
                dry.push(conductor);
                if data.outdoor == Some(true) {
                    outdoors.push(conductor);
                }
            }
        }
        for list in [&mut dry, &mut outdoors] {
            list.sort_by(|a, b| {
                let thickness = a.resistance.cmp(&b.resistance);
                // Conductors in parallel only where no single cable is enough.
                (a.parallel, a.price).cmp(&(b.parallel, b.price)).then(thickness).then_with(|| id(a).cmp(&id(b)))
            });
        }
        Self { dry, outdoors }
    }
}

fn id<'a>(conductor: &Conductor<'a>) -> Option<&'a DeviceId> {
    conductor.cable.map(|cable| &cable.id)
}

fn resistance(data: &CableData, settings: &Settings) -> Option<OhmsPerMetre> {
    let (resistance, _) = wire_tables::core_resistance(data, settings.conductor_temperature_c)?;
    usable(Some(resistance.get())).map(OhmsPerMetre::new)
}

/// One run from a supply or splitter to a lock.
#[derive(Clone, Copy, Debug)]
struct Run {
    output: Output,
    /// Of the lock.
    current: Amps,
    needs: Volts,
    length: Metres,
    /// Resistance of one core of the hinge or door loop.
    transfer: Ohms,
    /// What shares the run from the room with the lock.
    unit: Option<Unit>,
}

/// A unit at an opening, fed from a room over the run of its lock.
#[derive(Clone, Copy, Debug)]
struct Unit {
    /// What it takes with all that hangs on it but the lock.
    load: NodeLoad,
    needs: Option<Volts>,
    /// Length of the lock's own cable from the unit.
    drop: Metres,
}

/// What arrives over a conductor.
#[derive(Clone, Copy, Debug)]
struct Arrives {
    loop_ohm: Ohms,
    shared: Ohms,
    mains: Volts,
    end: Option<Volts>,
    /// Whether the unit on the run has its least voltage.
    unit_works: bool,
}

impl Run {
    fn over(&self, conductor: &Conductor<'_>) -> Arrives {
        let Some(unit) = self.unit else {
            let loop_ohm =
                voltage::loop_resistance(conductor.resistance, self.length, conductor.parallel, self.transfer);
            let drop = voltage::drop(self.current, loop_ohm);
            let (mains, end) = (self.output.mains - drop, self.output.end.map(|end| end - drop));
            return Arrives { loop_ohm, shared: Ohms::ZERO, mains, end, unit_works: true };
        };
        let of =
            |length, transfer| voltage::loop_resistance(conductor.resistance, length, conductor.parallel, transfer);
        let (shared, own) = (of(self.length, Ohms::ZERO), of(unit.drop, self.transfer));
        let mut network = Network::default();
        let at_unit = network.add(None, shared, unit.load);
        let at_lock = network.add(Some(at_unit), own, LoadKind::Current(self.current));
        let mut unit_works = true;
        let mut at = |source: Volts| match network.solve(source) {
            Ok(solved) => {
                unit_works &= unit.needs.is_none_or(|needs| solved.volts[at_unit] >= needs || source < needs);
                solved.volts[at_lock]
            }
            Err(_) => {
                unit_works = false;
                Volts::ZERO
            }
        };
        let (mains, end) = (at(self.output.mains), self.output.end.map(at));
        Arrives { loop_ohm: shared + own, shared, mains, end, unit_works }
    }

    /// Whether no cable, however thick, is enough at the end of the battery.
    fn too_narrow(&self) -> Option<Volts> {
        self.output.end.filter(|end| *end < self.needs)
    }

    /// A lock that is enough over the length counted and would not be over a longer run.
    fn thin_margin(&self, conductor: &Conductor<'_>, arrives: &Arrives, mark: &OpeningId) -> Option<ThinMargin> {
        let longer = Self { length: self.length * LONGER, ..*self };
        let then = longer.over(conductor);
        if !self.enough(arrives) || longer.enough(&then) {
            return None;
        }
        let lowest = |arrives: &Arrives| match arrives.end.filter(|_| self.too_narrow().is_none()) {
            Some(end) => arrives.mains.min(end),
            None => arrives.mains,
        };
        Some(ThinMargin { opening: mark.clone(), at_lock: lowest(arrives), longer: lowest(&then), needs: self.needs })
    }

    fn enough(&self, arrives: &Arrives) -> bool {
        let at_end = self.too_narrow().is_some() || arrives.end.is_none_or(|end| end >= self.needs);
        arrives.mains >= self.needs && at_end && arrives.unit_works
    }
}

/// What a splitter at the opening gives.
pub(super) fn splitter_output(figures: &mut Figures<'_>, equipped: &Equipped) -> Option<Output> {
    let splitter = figures.device(&equipped.in_role(Role::Splitter)?.device)?;
    let stated = usable(splitter.supply.output_voltage.map(Volts::get)).map(Volts::new);
    let mains = stated.or_else(|| figures.nominal(splitter))?;
    Some(Output { mains, end: None, float: mains })
}

/// One opening while its feed is worked out.
struct One<'o, 'a> {
    cx: &'o mut Cx<'a>,
    figures: &'o mut Figures<'a>,
    given: &'o Given<'o>,
    cables: &'o Cables<'a>,
    equipped: &'o Equipped,
    surveyed: &'o Surveyed,
    opening: &'o Opening,
    outdoors: bool,
}

impl<'a> One<'_, 'a> {
    fn feed(&mut self, loads: &OpeningLoads<'a>, sources: &BTreeMap<(&OpeningId, &DeviceId), usize>) -> Option<Fed> {
        let mark = &self.equipped.mark;
        let lock = loads.lock.as_ref()?;
        let source = sources.get(&(mark, &lock.device.id)).copied();
        let output = match source {
            Some(index) => self.given.outputs.get(index).copied().flatten()?,
            None => splitter_output(self.figures, self.equipped)?,
        };
        let own_unit = matches!(self.equipped.control, ControlNeed::OwnUnit { .. });
        let from_room = own_unit && source.is_some();
        let (lasting, current) = self.currents(lock, loads, from_room);
        let needs = self.figures.least(lock.device)?;
        let unit = if from_room { Some(self.unit(loads)) } else { None };
        let length = match source {
            Some(_) => self.given.routes.of(mark)?.length_m,
            None => self.given.survey.settings.drop_opening_m,
        };
        let length = Metres::new(length.get().clamp(0.0, LONGEST));
        let (transfer, stated_by) = self.transfer(lock.device);
        let run = Run { output, current, needs, length, transfer, unit };
        let (conductor, run) = self.conductor(run)?;
        let arrives = run.over(&conductor);
        let enough = run.enough(&arrives);
        let feed = LockFeed {
            mark: mark.clone(),
            lock: lock.device.id.clone(),
            enclosure: source.map(|index| self.given.enclosures[index].id.clone()),
            cable: conductor.cable.filter(|_| enough).map(|cable| cable.id.clone()),
            parallel: conductor.parallel,
            length_m: run.length,
            loop_ohm: arrives.loop_ohm,
            shared_ohm: arrives.shared,
            lasting_a: lasting,
            current_a: current,
            at_mains_v: arrives.mains,
            at_end_v: arrives.end.unwrap_or(arrives.mains),
            needs_v: needs,
        };
        workings::lock(
            self.cx,
            &feed,
            conductor.resistance,
            (run.transfer, &stated_by),
            run.output,
            run.unit.map(|unit| unit.load.power),
        );
        self.judge(&feed, &run, &conductor, &arrives);
        self.judge_output(&feed, lock, source);
        let measured = conductor.cable.is_none() && self.opening.existing_cable.length.is_some();
        let margin = run.thin_margin(&conductor, &arrives, mark).filter(|_| !measured);
        Some(Fed { feed, short: run.too_narrow(), margin })
    }

    /// Lasting current of the lock and that at the worst moment. Where it shares the run with a unit only the largest
    /// inrush of all counts, because two devices do not switch on in the same moment.
    fn currents(&self, lock: &loads::Item<'a>, loads: &OpeningLoads<'a>, shared: bool) -> (Amps, Amps) {
        let runs = self.equipped.cables.iter().filter(|need| need.purpose == CableUse::Lock && (need.local || !shared));
        let runs = u32::try_from(runs.count().max(1)).unwrap_or(u32::MAX);
        let on_one = f64::from(lock.count.div_ceil(runs).max(1));
        let lasting = lock.draw.active * on_one;
        if !shared {
            return (lasting, lasting + lock.draw.excess * on_one);
        }
        let surges = loads.surging().is_some_and(|item| std::ptr::eq(item, lock));
        (lasting, if surges { lasting + lock.draw.excess } else { lasting })
    }

    /// The unit that shares the run of its lock.
    fn unit(&mut self, loads: &OpeningLoads<'a>) -> Unit {
        let mut unit = Unit { load: NodeLoad::default(), needs: None, drop: self.given.survey.settings.drop_opening_m };
        for item in &loads.electronics {
            let surges = loads.surging().is_some_and(|surging| std::ptr::eq(surging, item));
            let excess = if surges { item.draw.excess } else { Amps::ZERO };
            unit.load += self.figures.as_drawn(item.device, item.draw.active * f64::from(item.count) + excess);
            if matches!(item.device.kind, Some(DeviceKind::StandaloneUnit | DeviceKind::Controller)) {
                unit.needs = unit.needs.max(self.figures.least(item.device));
            }
        }
        unit
    }

    /// Resistance of one core of the way to the leaf, and who states it; zero for a lock in the frame.
    ///
    /// What the survey found at the door counts before the figure of the device, because it may have been measured.
    fn transfer(&mut self, lock: &Device) -> (Ohms, String) {
        if lock.lock.on_leaf != Some(true) {
            return (Ohms::ZERO, "none: the lock is in the frame".to_owned());
        }
        let fitted = self.equipped.in_role(Role::PowerTransfer).filter(|fitted| !fitted.kept);
        let device = fitted.and_then(|fitted| self.figures.device(&fitted.device));
        let of_device = device.and_then(|device| {
            let per_metre = usable(device.cable.resistance.map(OhmsPerMetre::get))?;
            usable(Some(per_metre * usable(device.size.height.map(Metres::get))?))
        });
        let door = &self.opening.door;
        let cores = door.transfer_cores.or(device.and_then(|device| device.cable.cores));
        let handle = self.surveyed.exit_request == ExitRequest::HandleSwitch;
        let needs = 2 + 2 * u32::from(lock.lock.monitored == Some(true)) + 2 * u32::from(handle);
        if let Some(cores) = cores.filter(|cores| *cores < needs) {
            self.cx.sink.report(&TransferCoresTooFew { opening: self.equipped.mark.clone(), cores, needs });
        }
        if let Some(ohms) = usable(door.transfer.map(Ohms::get)) {
            return (Ohms::new(ohms), "the survey".to_owned());
        }
        if let (Some(ohms), Some(device)) = (of_device, device) {
            return (Ohms::new(ohms), device.id.to_string());
        }
        let place = Place::of(&self.equipped.mark).field("door.transfer");
        self.cx.sink.assume(
            place,
            TRANSFER.to_string(),
            "common practice: about one metre of 28 AWG in a hinge or door loop",
        );
        (TRANSFER, "common practice".to_owned())
    }

    /// The conductor and its run: the cable in the wall where it serves, else the least dear that is enough, else the one
    /// that comes nearest.
    fn conductor(&self, run: Run) -> Option<(Conductor<'a>, Run)> {
        let need = self.equipped.cables.iter().find(|need| need.purpose == CableUse::Lock && need.existing);
        if let Some((resistance, stated)) = need.and_then(|need| self.given.in_wall(need, self.opening)) {
            let run = Run { length: stated.unwrap_or(run.length), ..run };
            return Some((Conductor { cable: None, resistance, parallel: 1, price: Money::ZERO }, run));
        }
        let cables = if self.outdoors { &self.cables.outdoors } else { &self.cables.dry };
        let enough = cables.iter().find(|conductor| run.enough(&run.over(conductor)));
        let nearest = || cables.iter().min_by_key(|conductor| run.over(conductor).loop_ohm);
        enough.or_else(nearest).map(|conductor| (*conductor, run))
    }

    fn judge(&mut self, feed: &LockFeed, run: &Run, conductor: &Conductor<'a>, arrives: &Arrives) {
        // A unit that starves on the run is told with the other devices.
        if run.enough(&Arrives { unit_works: true, ..*arrives }) {
            return;
        }
        let bare = Run { transfer: Ohms::ZERO, ..*run };
        let opening = feed.mark.clone();
        let arrived = if arrives.mains < run.needs { arrives.mains } else { feed.at_end_v };
        if run.transfer > Ohms::ZERO && bare.enough(&bare.over(conductor)) {
            self.cx.sink.report(&TransferTooResistive {
                opening,
                transfer: run.transfer,
                at_lock: arrived,
                needs: run.needs,
            });
            return;
        }
        let tried = conductor.cable.map(|cable| cable.id.clone());
        let (length, current, loop_ohm, parallel) = (run.length, run.current, arrives.loop_ohm, conductor.parallel);
        let start =
            if arrives.mains < run.needs { run.output.mains } else { run.output.end.unwrap_or(run.output.mains) };
        // What length the conductor tried would reach: the loop that leaves just the least voltage.
        let allowed = (start - run.needs).get() / current.get() - 2.0 * run.transfer.get();
        let each = 2.0 * conductor.resistance.get() / f64::from(parallel.max(1));
        let reaches = Metres::try_new(allowed / each).filter(|reach| reach.get() >= 0.0);
        let shortage = Shortage { length, current, loop_ohm, tried, parallel, reaches };
        if arrives.mains < run.needs {
            self.cx.sink.report(&LockUnderVoltageOnMains {
                opening,
                at_lock: arrives.mains,
                needs: run.needs,
                shortage,
            });
        } else {
            self.cx.sink.report(&LockUnderVoltageAtEnd { opening, at_lock: feed.at_end_v, needs: run.needs, shortage });
        }
    }

    fn judge_output(&mut self, feed: &LockFeed, lock: &loads::Item<'a>, source: Option<usize>) {
        let Some(plan) = source.and_then(|index| self.given.enclosures.get(index)) else { return };
        let Some(output) = source.and_then(|index| self.given.outputs.get(index).copied().flatten()) else { return };
        let highest = lock.draw.active + lock.draw.excess;
        if let Some(limit) = limits::class_2_current(output.mains, true, false).filter(|limit| highest > *limit) {
            let (opening, voltage) = (feed.mark.clone(), output.mains);
            self.cx.sink.report(&PowerLimitExceeded { opening, current: highest, limit, voltage });
        }
        let controller = self.given.placement.of(&feed.mark).and_then(|served| served.controller);
        let Some(controller) = controller.filter(|index| plan.controllers.contains(index)) else { return };
        let device = self.given.placement.controllers.get(controller).and_then(|placed| self.cx.device(&placed.device));
        let switches = device.and_then(|device| device.control.output);
        if let Some(limit) = switches.filter(|limit| feed.current_a > *limit) {
            let (opening, device) = (feed.mark.clone(), device.map(|device| device.id.clone()));
            self.cx.sink.report(&OutputOverloaded { opening, device, current: feed.current_a, limit });
        }
    }
}

/// How a run falls short.
#[derive(Clone, Debug)]
pub struct Shortage {
    /// Length one way.
    pub length: Metres,
    /// Current at the worst moment.
    pub current: Amps,
    /// Resistance out and back.
    pub loop_ohm: Ohms,
    /// The conductor that comes nearest; `None` for the cable in the wall.
    pub tried: Option<DeviceId>,
    /// Conductors in parallel.
    pub parallel: u32,
    /// Length that conductor would reach; `None` when it reaches nowhere.
    pub reaches: Option<Metres>,
}
