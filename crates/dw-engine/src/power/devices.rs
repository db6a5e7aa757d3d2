//! The voltage at every device: one radial network for each enclosure, solved with the supply on mains, with the battery
//! on float and with the battery at its end.
//!
//! A device on a controller port has a run of its own. What hangs on a unit at the opening hangs on the unit's run and on
//! a short cable of its own. Signal cables get the cheapest cable whose voltage is enough, power cores in parallel where
//! the cable has cores to spare.

use std::collections::BTreeMap;

use dw_core::{Amps, DeviceId, Metres, Ohms, OpeningId, Volts};
use dw_job::catalogue::{CableUse, Device, DeviceKind, Draws};
use dw_job::model::Opening;

use super::enclosures::Output;
use super::feeds::{Given, Sources};
use super::figures::{Figures, usable};
use super::loads::{self, Item, OpeningLoads};
use super::plan::{DeviceFeed, EnclosurePlan, LockFeed, SourceCase};
use super::radial::{Network, NodeLoad};
use super::rules::{DeviceOverVoltage, DeviceUnderVoltage, DeviceWindowAboveEnd};
use super::{voltage, wire_tables, workings};
use crate::Cx;
use crate::equip::{CableNeed, ControlNeed, Equipped, Role};
use crate::route::cables::Cables;
use crate::survey::Surveyed;

/// Most power cores in parallel each way. Source: *common practice*.
const MOST_PARALLEL: u32 = 2;

/// Feeds of every device that takes low voltage over a cable, in the order of marks.
pub(super) fn plan<'a>(
    cx: &mut Cx<'a>,
    figures: &mut Figures<'a>,
    given: &Given<'_>,
    sources: &Sources<'_>,
    locks: &[LockFeed],
) -> Vec<DeviceFeed> {
    let mut cables = Cables::new(cx.catalogue, &given.survey.settings);
    let written = given.written();
    let mut runs = Vec::new();
    for equipped in &given.equipment.openings {
        let (Some(surveyed), Some(opening)) = (given.survey.opening(&equipped.mark), written.get(&equipped.mark))
        else {
            continue;
        };
        if given.placement.of(&equipped.mark).is_none() {
            continue;
        }
        let found = loads::of_opening(figures, equipped, surveyed);
        let lock = locks.binary_search_by(|feed| feed.mark.cmp(&equipped.mark)).ok().map(|at| &locks[at]);
        let mut one = One { figures, given, sources, cables: &mut cables, equipped, surveyed, opening, lock };
        one.runs(&found, &mut runs);
    }
    solve(&mut runs);
    tell(cx, &runs);
    runs.into_iter().map(|run| run.feed).collect()
}

/// A device on its run.
struct Run {
    feed: DeviceFeed,
    /// The run it hangs on, when not on a supply.
    on: Option<usize>,
    /// The enclosure whose output it hangs on as it is; `None` behind a splitter or a port that regulates.
    enclosure: Option<usize>,
    output: Output,
    /// At work, with its inrush where that is the largest of the run.
    worst: NodeLoad,
    at_rest: NodeLoad,
    is_lock: bool,
}

/// The conductor of a run.
struct Conductor {
    cable: Option<DeviceId>,
    parallel: u32,
    length: Metres,
    loop_ohm: Ohms,
}

/// One opening while its devices are put on runs.
struct One<'o, 'a> {
    figures: &'o mut Figures<'a>,
    given: &'o Given<'o>,
    sources: &'o Sources<'o>,
    cables: &'o mut Cables<'a>,
    equipped: &'o Equipped,
    surveyed: &'o Surveyed,
    opening: &'o Opening,
    lock: Option<&'o LockFeed>,
}

impl<'a> One<'_, 'a> {
    fn runs(&mut self, found: &OpeningLoads<'a>, runs: &mut Vec<Run>) {
        let unit = match &self.equipped.control {
            ControlNeed::OwnUnit { unit } => found.electronics.iter().find(|item| item.device.id == *unit),
            _ => None,
        };
        let on = match unit {
            Some(unit) => match self.unit(unit, found, runs) {
                Some(on) => Some(on),
                None => return,
            },
            None => None,
        };
        let mut readers = 0;
        for item in &found.electronics {
            if unit.is_some_and(|unit| std::ptr::eq(unit, item)) {
                continue;
            }
            let is_reader = matches!(item.role, Role::ReaderIn | Role::ReaderOut);
            readers += usize::from(is_reader);
            if let Some(need) = self.need(item.role, readers.saturating_sub(1)) {
                self.signal(item, need, on, runs);
            }
        }
        if let (Some(item), Some(feed)) = (&found.lock, self.lock) {
            self.lock(item, feed, on, runs);
        }
        // On a run that several share only the largest inrush counts: two devices do not switch on in the same moment.
        if let (Some(on), Some(surge)) = (on, found.surging()) {
            let excess = match self.lock.filter(|_| surge.role == Role::Lock) {
                Some(feed) => feed.current_a - feed.lasting_a,
                None => surge.draw.excess,
            };
            let same = |run: &&mut Run| run.feed.device == surge.device.id && run.feed.role == surge.role;
            if let Some(run) = runs[on..].iter_mut().find(same) {
                run.worst += self.figures.as_drawn(surge.device, excess);
            }
        }
    }

    /// The cable a device of this role is fed over: position among the needs of the opening.
    fn need(&self, role: Role, reader: usize) -> Option<usize> {
        let with = |core: &'static str, purpose: CableUse| {
            let fits = move |need: &CableNeed| need.purpose == purpose && need.cores.iter().any(|name| name == core);
            self.equipped.cables.iter().enumerate().filter(move |(_, need)| fits(need)).map(|(index, _)| index)
        };
        match role {
            Role::ReaderIn | Role::ReaderOut => with("supply +", CableUse::Reader).take(reader + 1).last(),
            Role::ExitRequest => with("supply +", CableUse::ExitRequest).next(),
            Role::Sounder => with("sounder +", CableUse::Contact).next(),
            _ => None,
        }
    }

    /// What feeds a device: the enclosure that counts it, or the splitter of the opening.
    fn output(&mut self, device: &DeviceId) -> Option<(Option<usize>, Output)> {
        match self.sources.get(&(&self.equipped.mark, device)).copied() {
            Some(index) => Some((Some(index), self.given.outputs.get(index).copied().flatten()?)),
            None => Some((None, super::feeds::splitter_output(self.figures, self.equipped)?)),
        }
    }

    /// The unit at the opening: on the run from the room, or at its splitter.
    fn unit(&mut self, unit: &Item<'a>, found: &OpeningLoads<'a>, runs: &mut Vec<Run>) -> Option<usize> {
        let (enclosure, output) = self.output(&unit.device.id)?;
        let mut position = None;
        let conductor = match (enclosure, self.lock) {
            (None, _) => Conductor { cable: None, parallel: 1, length: Metres::ZERO, loop_ohm: Ohms::ZERO },
            (Some(_), Some(feed)) => Conductor {
                cable: feed.cable.clone(),
                parallel: feed.parallel,
                length: feed.length_m,
                loop_ohm: feed.shared_ohm,
            },
            (Some(_), None) => {
                position = self.equipped.cables.iter().position(|need| need.purpose == CableUse::Lock && !need.local);
                let load = found
                    .electronics
                    .iter()
                    .fold(NodeLoad::default(), |sum, item| sum + self.figures.node_load(item, item.draw.active));
                let least = self.figures.least(unit.device);
                self.conductor(position?, output, load, least)?
            }
        };
        let mut run = self.run(unit, position, (enclosure, output), conductor);
        run.worst = self.figures.node_load(unit, unit.draw.active);
        runs.push(run);
        Some(runs.len() - 1)
    }

    /// A device on a signal cable.
    fn signal(&mut self, item: &Item<'a>, position: usize, on: Option<usize>, runs: &mut Vec<Run>) {
        let Some((enclosure, output)) = self.output(&item.device.id) else { return };
        let regulated = self.figures.regulated(item.device, enclosure, self.given.enclosures).filter(|_| on.is_none());
        let output =
            regulated.map_or(output, |volts| Output { mains: volts, end: output.end.map(|_| volts), float: volts });
        let least = self.figures.least(item.device);
        let at_work = self.figures.node_load(item, item.draw.active);
        let load = at_work + self.figures.excess(item);
        let Some(conductor) = self.conductor(position, output, load, least) else { return };
        let mut run = self.run(item, Some(position), (enclosure, output), conductor);
        run.enclosure = run.enclosure.filter(|_| regulated.is_none());
        run.on = on;
        run.worst = if on.is_some() { at_work } else { load };
        runs.push(run);
    }

    /// The lock on the cable chosen for it.
    fn lock(&mut self, item: &Item<'a>, feed: &LockFeed, on: Option<usize>, runs: &mut Vec<Run>) {
        let Some((enclosure, output)) = self.output(&item.device.id) else { return };
        let from_unit = feed.shared_ohm > Ohms::ZERO;
        let conductor = Conductor {
            cable: feed.cable.clone(),
            parallel: feed.parallel,
            length: if from_unit { self.given.survey.settings.drop_opening_m } else { feed.length_m },
            loop_ohm: feed.loop_ohm - feed.shared_ohm,
        };
        let mut run = self.run(item, None, (enclosure, output), conductor);
        run.on = on;
        run.is_lock = true;
        let amps = if on.is_some() { feed.lasting_a } else { feed.current_a };
        run.worst = self.figures.as_drawn(item.device, amps);
        run.feed.current_a = feed.current_a;
        runs.push(run);
    }

    fn run(
        &mut self,
        item: &Item<'a>,
        need: Option<usize>,
        (enclosure, output): (Option<usize>, Output),
        conductor: Conductor,
    ) -> Run {
        let at_rest = self.figures.node_load(item, item.draw.standby);
        let highest = usable(item.device.electrical.max.map(Volts::get)).map(Volts::new);
        let feed = DeviceFeed {
            mark: self.equipped.mark.clone(),
            device: item.device.id.clone(),
            role: item.role,
            enclosure: enclosure.map(|index| self.given.enclosures[index].id.clone()),
            on_unit: false,
            need,
            cable: conductor.cable,
            parallel: conductor.parallel,
            length_m: conductor.length,
            loop_ohm: conductor.loop_ohm,
            draws: draws(item.device),
            current_a: item.draw.active + item.draw.excess,
            at_mains_v: output.mains,
            at_float_v: output.float,
            at_end_v: output.end,
            needs_v: self.figures.least(item.device),
            bears_v: highest,
            governs: SourceCase::Mains,
            margin_v: None,
        };
        Run { feed, on: None, enclosure, output, worst: at_rest, at_rest, is_lock: false }
    }

    /// The cable of a need: the one in the wall, else the cheapest that leaves enough, else the cheapest.
    fn conductor(
        &mut self,
        position: usize,
        output: Output,
        load: NodeLoad,
        least: Option<Volts>,
    ) -> Option<Conductor> {
        let need = self.equipped.cables.get(position)?;
        let settings = &self.given.survey.settings;
        let routed = self.given.routes.of(&self.equipped.mark);
        let length = if need.local { settings.drop_opening_m } else { routed?.length_m };
        let length = Metres::new(length.get().clamp(0.0, super::feeds::LONGEST));
        if let Some((resistance, stated)) = self.given.in_wall(need, self.opening) {
            let length = stated.unwrap_or(length);
            let loop_ohm = voltage::loop_resistance(resistance, length, 1, Ohms::ZERO);
            return Some(Conductor { cable: None, parallel: 1, length, loop_ohm });
        }
        let outdoors =
            if need.local { super::feeds::is_outdoors(self.surveyed) } else { self.given.lies_outdoors(self.surveyed) };
        let powered = need.cores.iter().filter(|core| is_power(core)).count();
        let mut first = None;
        for (cable, cores) in self.cables.serving(need, outdoors, length) {
            let Some((resistance, _)) = wire_tables::core_resistance(&cable.cable, settings.conductor_temperature_c)
            else {
                self.figures.lacks(cable, "cable.area");
                continue;
            };
            for parallel in 1..=MOST_PARALLEL {
                if cores < need.cores.len() + powered * (parallel as usize - 1) {
                    break;
                }
                let loop_ohm = voltage::loop_resistance(resistance, length, parallel, Ohms::ZERO);
                let conductor = Conductor { cable: Some(cable.id.clone()), parallel, length, loop_ohm };
                if enough(&conductor, output, load, least) {
                    return Some(conductor);
                }
                first.get_or_insert(conductor);
            }
        }
        first
    }
}

/// Whether a core carries power: those the cable list names with a pole.
pub(crate) fn is_power(core: &str) -> bool {
    core.ends_with(" +") || core.ends_with(" -")
}

/// Whether a conductor leaves a device its least voltage, as far as any conductor can.
fn enough(conductor: &Conductor, output: Output, load: NodeLoad, least: Option<Volts>) -> bool {
    let Some(least) = least else { return true };
    let mut network = Network::default();
    network.add(None, conductor.loop_ohm, load);
    let at = |source: Volts| network.solve(source).is_ok_and(|solved| solved.volts[0] >= least);
    at(output.mains) && output.end.filter(|end| *end >= least).is_none_or(at)
}

/// What a run takes in a case.
type LoadOf = fn(&Run) -> NodeLoad;

/// Solves the network of every enclosure, and those of splitters and regulating ports, in the three cases.
fn solve(runs: &mut [Run]) {
    let mut networks: BTreeMap<(Option<usize>, usize), Vec<usize>> = BTreeMap::new();
    for index in 0..runs.len() {
        let root = runs[index].on.unwrap_or(index);
        runs[index].feed.on_unit = runs[index].on.is_some();
        let key = match runs[root].enclosure {
            Some(enclosure) => (Some(enclosure), 0),
            None => (None, root),
        };
        networks.entry(key).or_default().push(index);
    }
    for members in networks.into_values() {
        let Some(output) = members.first().map(|first| runs[*first].output) else { continue };
        let worst = |run: &Run| run.worst;
        let cases: [(SourceCase, Option<Volts>, LoadOf); 3] = [
            (SourceCase::Mains, Some(output.mains), worst),
            (SourceCase::End, output.end, worst),
            (SourceCase::Float, Some(output.float), |run| run.at_rest),
        ];
        for (case, source, load) in cases {
            let Some(source) = source else { continue };
            let volts = voltages(runs, &members, source, load).unwrap_or_else(|| apart(runs, &members, source, load));
            for (index, volts) in members.iter().zip(volts) {
                let feed = &mut runs[*index].feed;
                match case {
                    SourceCase::Mains => feed.at_mains_v = volts,
                    SourceCase::Float => feed.at_float_v = volts,
                    SourceCase::End => feed.at_end_v = Some(volts),
                }
            }
        }
    }
    for run in runs {
        (run.feed.governs, run.feed.margin_v) = governing(&run.feed);
    }
}

/// Voltages of these runs on one source; `None` when a load cannot be carried.
fn voltages(runs: &[Run], members: &[usize], source: Volts, load: LoadOf) -> Option<Vec<Volts>> {
    let mut network = Network::default();
    for index in members {
        let run = &runs[*index];
        let on = run.on.and_then(|unit| members.binary_search(&unit).ok());
        network.add(on, run.feed.loop_ohm, load(run));
    }
    network.solve(source).ok().map(|solved| solved.volts)
}

/// Voltages run by run, so that one that cannot be carried spoils no other; nothing arrives there.
fn apart(runs: &[Run], members: &[usize], source: Volts, load: LoadOf) -> Vec<Volts> {
    let mut volts = vec![Volts::ZERO; members.len()];
    let root = |index: usize| runs[index].on.unwrap_or(index);
    let mut from = 0;
    while let Some(first) = members.get(from) {
        let count = members[from..].iter().take_while(|index| root(**index) == root(*first)).count();
        let tree = &members[from..from + count];
        if let Some(found) = voltages(runs, tree, source, load) {
            volts[from..from + count].copy_from_slice(&found);
        }
        from += count;
    }
    volts
}

/// The case that leaves least, and what it leaves. On float a device must not get more than it bears.
fn governing(feed: &DeviceFeed) -> (SourceCase, Option<Volts>) {
    let low = |volts: Volts| feed.needs_v.map(|needs| volts - needs);
    let margins = [
        (SourceCase::Mains, low(feed.at_mains_v)),
        (SourceCase::End, feed.at_end_v.and_then(low)),
        (SourceCase::Float, feed.bears_v.map(|bears| bears - feed.at_float_v)),
    ];
    let known = margins.into_iter().filter_map(|(case, margin)| Some((case, margin?)));
    match known.min_by(|a, b| a.1.cmp(&b.1)) {
        Some((case, margin)) => (case, Some(margin)),
        None => (SourceCase::Mains, None),
    }
}

/// Models that get too much, or whose window lies above the end of the battery: told once each.
#[derive(Default)]
struct Models {
    above_end: BTreeMap<DeviceId, (Volts, Volts, Vec<OpeningId>)>,
    over: BTreeMap<DeviceId, (Volts, Volts, Vec<OpeningId>)>,
}

fn tell(cx: &mut Cx<'_>, runs: &[Run]) {
    let mut models = Models::default();
    for run in runs {
        let feed = &run.feed;
        let unit = run.on.map(|on| &runs[on].feed);
        workings::device(cx, feed, &run.output, (run.worst, run.at_rest), unit);
        if let Some(bears) = feed.bears_v.filter(|bears| feed.at_float_v > *bears) {
            let entry = models.over.entry(feed.device.clone()).or_insert((feed.at_float_v, bears, Vec::new()));
            entry.0 = entry.0.max(feed.at_float_v);
            entry.2.push(feed.mark.clone());
        }
        let Some(needs) = feed.needs_v.filter(|_| !run.is_lock) else { continue };
        if let Some(end) = run.output.end.filter(|end| *end < needs) {
            let entry = models.above_end.entry(feed.device.clone()).or_insert((needs, end, Vec::new()));
            entry.2.push(feed.mark.clone());
        }
        let at_end = feed.at_end_v.filter(|_| run.output.end.is_some_and(|end| end >= needs));
        let lowest = at_end.map_or(feed.at_mains_v, |end| end.min(feed.at_mains_v));
        // What a lock shares its run with is told here as well; what hangs behind a unit that starves is not.
        let starved = run.on.is_some_and(|on| runs[on].feed.at_mains_v == Volts::ZERO);
        if lowest < needs && !starved {
            cx.sink.report(&DeviceUnderVoltage {
                opening: feed.mark.clone(),
                device: feed.device.clone(),
                on_battery: feed.at_mains_v >= needs,
                at_device: lowest,
                needs,
                length: feed.length_m,
                loop_ohm: feed.loop_ohm,
                cable: feed.cable.clone(),
                parallel: feed.parallel,
            });
        }
    }
    for (device, (needs, end, openings)) in models.above_end {
        cx.sink.report(&DeviceWindowAboveEnd { device, needs, end, openings });
    }
    for (device, (gets, bears, mut openings)) in models.over {
        openings.dedup();
        cx.sink.report(&DeviceOverVoltage { device, gets, bears, openings });
    }
}

impl DeviceFeed {
    /// Its part at the opening as the names of its figures begin.
    pub fn figure_name(&self) -> &'static str {
        match self.role {
            Role::ReaderIn => "reader_in",
            Role::ReaderOut => "reader_out",
            Role::Lock => "lock",
            Role::ExitRequest => "exit_request",
            Role::Sounder => "sounder",
            _ => "device",
        }
    }
}

impl<'a> Figures<'a> {
    /// What an item takes at its node at this current, each of its devices.
    fn node_load(&mut self, item: &Item<'a>, amps: Amps) -> NodeLoad {
        self.as_drawn(item.device, amps)
    }

    /// Its inrush above the lasting current.
    fn excess(&mut self, item: &Item<'a>) -> NodeLoad {
        self.as_drawn(item.device, item.draw.excess)
    }

    /// A current at nominal voltage as the device draws it when the voltage is another one.
    pub(super) fn as_drawn(&mut self, device: &'a Device, amps: Amps) -> NodeLoad {
        let current = NodeLoad { current: amps, ..NodeLoad::default() };
        let Some(nominal) = self.nominal(device) else { return current };
        match draws(device) {
            Draws::Current => current,
            Draws::Resistance => NodeLoad { siemens: amps.get() / nominal.get(), ..NodeLoad::default() },
            Draws::Power => NodeLoad { power: nominal * amps, ..NodeLoad::default() },
        }
    }

    /// Output of a controller port for a device that does not accept the voltage of the enclosure: its own.
    fn regulated(
        &mut self,
        device: &'a Device,
        enclosure: Option<usize>,
        enclosures: &[EnclosurePlan],
    ) -> Option<Volts> {
        let system = enclosures.get(enclosure?)?.nominal_v;
        if self.accepts(device, system) {
            return None;
        }
        self.nominal(device).filter(|nominal| *nominal < system)
    }
}

/// What a device draws when its voltage falls: as the catalogue states, else by kind. What has a processor regulates its
/// supply; coils and lamps are counted at their stated current, which is cautious. Source: *common practice*.
pub(super) fn draws(device: &Device) -> Draws {
    device.electrical.draws.unwrap_or(match device.kind {
        Some(
            DeviceKind::Controller
            | DeviceKind::StandaloneUnit
            | DeviceKind::Reader
            | DeviceKind::Expander
            | DeviceKind::Kit,
        ) => Draws::Power,
        _ => Draws::Current,
    })
}
