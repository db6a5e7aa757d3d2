//! Buses: which readers share one, addresses, unit loads, bias, terminators, bit rate and what polling takes.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, Input, Metres, Ohms, Place, Volts};
use dw_job::catalogue::{Device, Interface};

use super::readers::Line;
use super::rules::{BusBranches, BusOverloaded, BusTooLong, DeadReaderDelays, PollTooSlow};
use super::settings::Settings;
use super::{Bus, BusReader, Given, Polling, bus, osdp, polling};
use crate::Cx;

/// Supply of a bias network. *Common practice*, the 5 V of the driver.
const BIAS_SUPPLY: Volts = Volts::new(5.0);

/// Unit loads of a device that states none. Source: TIA-485-A, one.
const UNIT_LOAD: f64 = 1.0;

/// Unit loads of the controller's own transceiver. Source: TIA-485-A, one.
const CONTROLLER_LOAD: f64 = 1.0;

/// Rise time of a driver that states none, ns. *Common practice*, one limited for long cables.
const RISE_NS: f64 = 500.0;

/// Speed on a pair, as a share of that of light. *Common practice*, polyethylene.
const VELOCITY: f64 = 0.66;

/// Highest bit rate of a device that states none, bit/s. Source: OSDP v2.2, 9,600 is the speed every device has.
const HIGHEST: f64 = 9600.0;

/// First address given: 0 is what a new device answers to, so it stays free for a replacement. *Common practice*.
const FIRST_ADDRESS: u32 = 1;

/// Values of resistors on sale, ohm in a decade. Source: IEC 60063, series E24.
const E24: [f64; 24] = [
    1.0, 1.1, 1.2, 1.3, 1.5, 1.6, 1.8, 2.0, 2.2, 2.4, 2.7, 3.0, 3.3, 3.6, 3.9, 4.3, 4.7, 5.1, 5.6, 6.2, 6.8, 7.5, 8.2,
    9.1,
];

/// By what the wait with one dead reader may exceed the target before it is told of. *Common practice*.
const DEAD_FACTOR: f64 = 1.5;

/// A controller, an interface, and which of its buses.
type Key = (usize, Interface, u32);

/// Every bus, by controller.
pub(super) fn plan<'a>(cx: &mut Cx<'a>, given: &Given<'a>, settings: &Settings, lines: &[Line<'a>]) -> Vec<Bus> {
    let mut groups: BTreeMap<Key, Vec<&Line<'a>>> = BTreeMap::new();
    for line in lines.iter().filter(|line| matches!(line.interface, Interface::Multidrop | Interface::FingerBus)) {
        let Some(controller) = line.controller else { continue };
        groups.entry((controller, line.interface, number(line))).or_default().push(line);
    }
    assume(cx, lines);
    let mut buses: Vec<Bus> = Vec::with_capacity(groups.len());
    for (key, mut members) in groups {
        members.sort_by_key(|line| line.port);
        buses.push(one(cx, given, settings, key, &members));
    }
    buses
}

/// The bus a port belongs to, from 1: one for each port, or as many as the controller states, ports shared out in order.
fn number(line: &Line<'_>) -> u32 {
    let ports = line.partner.control.ports.unwrap_or(1).max(1);
    let buses = line.partner.link.buses.unwrap_or(ports).clamp(1, ports);
    (line.port.clamp(1, ports) - 1) * buses / ports + 1
}

fn one(cx: &mut Cx<'_>, given: &Given<'_>, settings: &Settings, key: Key, members: &[&Line<'_>]) -> Bus {
    let (controller, interface, number) = key;
    let name = if interface == Interface::FingerBus { "finger bus" } else { "bus" };
    let label = format!("{} {name} {number}", members[0].decides(given));
    let mut lengths: Vec<Metres> = members.iter().map(|line| line.length()).collect();
    lengths.sort_by(|a, b| b.cmp(a));
    let trunk_m: Metres = lengths.iter().take(2).copied().sum();
    let branch_m = lengths.get(2).copied().unwrap_or(Metres::ZERO);
    let driver = members[0].partner;
    let devices = members.iter().map(|line| line.reader.link.unit_load.unwrap_or(UNIT_LOAD)).sum::<f64>();
    let bias_ohm = bias(devices + CONTROLLER_LOAD);
    let unit_loads = devices + CONTROLLER_LOAD + bus::UNIT_LOAD.get() / bias_ohm.get();
    let load = bus::load(bus::TERMINATOR, 2, devices + CONTROLLER_LOAD, bus::UNIT_LOAD);
    let timing = (interface == Interface::Multidrop).then(|| Timing::of(members));
    let bit_rate = timing.map_or(polling::BIT_RATES[0], |timing| timing.rate(settings.poll_target_ms, trunk_m));
    let planned = Bus {
        controller,
        interface,
        readers: readers(members),
        trunk_m,
        branch_m,
        branch_limit_m: bus::stub(driver.link.rise_ns.unwrap_or(RISE_NS), VELOCITY, true),
        unit_loads,
        load_ohm: load.unwrap_or(Ohms::ZERO),
        bias_ohm,
        terminators: terminators(members, &label),
        bit_rate,
        longest_m: bus::longest(f64::from(bit_rate), bus::LONGEST, bus::RATE_BY_LENGTH),
        polling: timing.map(|timing| timing.at(bit_rate)),
        label,
    };
    show(cx, &planned, timing);
    judge(cx, settings, &planned, timing);
    planned
}

fn readers(members: &[&Line<'_>]) -> Vec<BusReader> {
    let reader = |(address, line): (u32, &&Line<'_>)| BusReader {
        mark: line.mark.clone(),
        device: line.reader.id.clone(),
        address,
        port: line.port,
        cable: line.run.label.clone(),
        length_m: line.length(),
        spare_cores: u32::try_from(line.run.cores.iter().filter(|core| *core == "spare").count()).unwrap_or(0),
    };
    (FIRST_ADDRESS..).zip(members).map(reader).collect()
}

/// The resistor on sale that is no larger than what holds the idle bus apart.
fn bias(unit_loads: f64) -> Ohms {
    let load = bus::load(bus::TERMINATOR, 2, unit_loads, bus::UNIT_LOAD).unwrap_or(Ohms::new(60.0));
    let largest = bus::bias_resistor(BIAS_SUPPLY, bus::IDLE_VOLTAGE, load).get();
    let sold = [10.0, 100.0, 1000.0].into_iter().flat_map(|decade| E24.iter().map(move |value| value * decade));
    Ohms::new(sold.filter(|value| *value <= largest).fold(10.0, f64::max))
}

/// One at each end of the trunk: the two readers with the longest cables, or the only reader and the controller.
fn terminators(members: &[&Line<'_>], label: &str) -> Vec<String> {
    let mut ends: Vec<&&Line<'_>> = members.iter().collect();
    ends.sort_by(|a, b| b.length().cmp(&a.length()).then_with(|| a.run.label.cmp(&b.run.label)));
    let mut at: Vec<String> = ends.iter().take(2).map(|line| format!("reader of {}", line.run.label)).collect();
    if at.len() < 2 {
        at.push(format!("controller, {label}"));
    }
    at
}

/// Frame lengths and speeds of a bus whose protocol is open.
#[derive(Clone, Copy, Debug)]
struct Timing {
    readers: u32,
    secure: bool,
    highest: f64,
}

impl Timing {
    /// A reader that does not say otherwise is counted over the secure channel: the longer frames.
    fn of(members: &[&Line<'_>]) -> Self {
        let devices = || members.iter().flat_map(|line| [line.reader, line.partner]);
        let highest = |device: &Device| device.link.highest_bit_per_s.unwrap_or(HIGHEST);
        Self {
            readers: u32::try_from(members.len()).unwrap_or(u32::MAX),
            secure: !devices().any(|device| device.link.secure == Some(false)),
            highest: devices().map(highest).fold(f64::INFINITY, f64::min),
        }
    }

    /// Lengths of poll, empty answer and card report.
    fn lengths(&self) -> [f64; 3] {
        let length = |data, mark| f64::from(osdp::frame_length(data, mark, self.secure));
        [length(0, true), length(0, false), length(osdp::card_data(26), false)]
    }

    fn slot(&self, bit_rate: f64) -> f64 {
        let [poll, ack, _] = self.lengths();
        polling::slot_ms(poll, ack, bit_rate, polling::BITS_PER_BYTE, polling::PROCESSING_MS)
    }

    fn at(&self, bit_rate: u32) -> Polling {
        let rate = f64::from(bit_rate);
        let [poll, ack, report] = self.lengths();
        let (slot, extra) = (self.slot(rate), report - ack);
        let dead = polling::dead_slot_ms(poll, rate, polling::BITS_PER_BYTE, polling::REPLY_LIMIT_MS);
        let cycle_ms = polling::cycle_ms(self.readers, 0, slot, dead);
        let one_dead = polling::cycle_ms(self.readers, 1, slot, dead);
        Polling {
            secure: self.secure,
            cycle_ms,
            wait_ms: polling::wait_ms(cycle_ms, extra, rate, polling::BITS_PER_BYTE),
            wait_one_dead_ms: polling::wait_ms(one_dead, extra, rate, polling::BITS_PER_BYTE),
        }
    }

    /// Rates every device has, slowest first; the slowest there is where a device claims less.
    fn rates(&self) -> impl Iterator<Item = u32> {
        let highest = self.highest.max(f64::from(polling::BIT_RATES[0]));
        polling::BIT_RATES.into_iter().filter(move |rate| f64::from(*rate) <= highest)
    }

    /// The lowest rate that asks everybody within the target over this trunk; the fastest that the trunk bears where none
    /// does, because a faster one would not arrive.
    fn rate(&self, target_ms: f64, trunk: Metres) -> u32 {
        let bears = |rate: &u32| bus::longest(f64::from(*rate), bus::LONGEST, bus::RATE_BY_LENGTH) >= trunk;
        let borne: Vec<u32> = self.rates().filter(bears).collect();
        let enough = borne.iter().find(|rate| self.at(**rate).cycle_ms <= target_ms);
        enough.or(borne.last()).copied().unwrap_or(polling::BIT_RATES[0])
    }
}

/// Says once for each model what its record does not.
fn assume(cx: &mut Cx<'_>, lines: &[Line<'_>]) {
    let on_bus = lines.iter().filter(|line| matches!(line.interface, Interface::Multidrop | Interface::FingerBus));
    let models: BTreeMap<&DeviceId, &Line<'_>> = on_bus.map(|line| (&line.reader.id, line)).collect();
    for (id, line) in models {
        let place = |field: &str| Place::of(id).field(field);
        if line.reader.link.unit_load.is_none() {
            cx.sink.assume(place("link.unit_load"), "1 unit load", "TIA-485-A: what a device may take");
        }
        if line.reader.link.highest_bit_per_s.is_none() && line.interface == Interface::Multidrop {
            cx.sink.assume(place("link.highest_bit_per_s"), "9600 bit/s", "OSDP v2.2: the speed every device has");
        }
    }
}

fn show(cx: &mut Cx<'_>, planned: &Bus, timing: Option<Timing>) {
    let figure = |name: &str| FigureId::new("bus", &planned.label, name);
    let loads = vec![
        Input::new("readers", planned.readers.len() as f64, ""),
        Input::new("controller", CONTROLLER_LOAD, ""),
        Input::new("unit_load", bus::UNIT_LOAD.get(), "Ω"),
        Input::new("resistor", planned.bias_ohm.get(), "Ω"),
    ];
    cx.sink.show(bus::UNIT_LOADS_TAKEN.working(figure("unit_loads"), planned.unit_loads, loads));
    let length = vec![
        Input::new("cap", bus::LONGEST.get(), "m"),
        Input::new("product", bus::RATE_BY_LENGTH, "bit m/s"),
        Input::new("bit_rate", f64::from(planned.bit_rate), "bit/s"),
    ];
    cx.sink.show(bus::LENGTH.working(figure("longest_m"), planned.longest_m.get(), length));
    let (Some(polled), Some(timing)) = (planned.polling, timing) else { return };
    let [poll, ack, report] = timing.lengths();
    let rate = f64::from(planned.bit_rate);
    let dead = polling::dead_slot_ms(poll, rate, polling::BITS_PER_BYTE, polling::REPLY_LIMIT_MS);
    let cycle = |dead_readers: u32| {
        vec![
            Input::new("readers", timing.readers, ""),
            Input::new("dead", dead_readers, ""),
            Input::new("slot", timing.slot(rate), "ms"),
            Input::new("dead_slot", dead, "ms"),
            Input::new("command", poll, "bytes"),
            Input::new("reply", ack, "bytes"),
            Input::new("bit_rate", rate, "bit/s"),
        ]
    };
    let wait = |cycle: f64| {
        vec![
            Input::new("cycle", cycle, "ms"),
            Input::new("bits_per_byte", polling::BITS_PER_BYTE, ""),
            Input::new("extra", report - ack, "bytes"),
            Input::new("bit_rate", rate, "bit/s"),
        ]
    };
    cx.sink.show(polling::CYCLE.working(figure("cycle_ms"), polled.cycle_ms, cycle(0)));
    cx.sink.show(polling::WAIT.working(figure("wait_ms"), polled.wait_ms, wait(polled.cycle_ms)));
    let one_dead = polling::cycle_ms(timing.readers, 1, timing.slot(rate), dead);
    cx.sink.show(polling::WAIT.working(figure("wait_one_dead_ms"), polled.wait_one_dead_ms, wait(one_dead)));
}

fn judge(cx: &mut Cx<'_>, settings: &Settings, planned: &Bus, timing: Option<Timing>) {
    if planned.unit_loads > bus::UNIT_LOADS {
        cx.sink.report(&BusOverloaded { bus: planned.clone(), limit: bus::UNIT_LOADS });
    }
    if planned.trunk_m > planned.longest_m {
        cx.sink.report(&BusTooLong { bus: planned.clone() });
    }
    if planned.branch_m > planned.branch_limit_m {
        cx.sink.report(&BusBranches { bus: planned.clone() });
    }
    let (Some(polled), Some(timing)) = (planned.polling, timing) else { return };
    let target_ms = settings.poll_target_ms;
    if polled.cycle_ms > target_ms {
        let faster = polling::BIT_RATES.into_iter().find(|rate| timing.at(*rate).cycle_ms <= target_ms);
        cx.sink.report(&PollTooSlow { bus: planned.clone(), cycle_ms: polled.cycle_ms, target_ms, faster });
    } else if polled.wait_one_dead_ms > DEAD_FACTOR * target_ms {
        cx.sink.report(&DeadReaderDelays { bus: planned.clone(), polling: polled, target_ms });
    }
}
