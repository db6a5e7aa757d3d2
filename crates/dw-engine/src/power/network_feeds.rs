//! Devices fed over the network cable: class, power at the device and at the source, and the budget of every room.

use std::collections::BTreeMap;

use dw_core::{Amps, Metres, Ohms, OhmsPerMetre, OpeningId, RoomId, Volts, Watts};
use dw_job::catalogue::{CableData, CableUse, Device};
use dw_job::model::ExistingCable;

use super::feeds::Given;
use super::figures::{Figures, usable};
use super::loads::{self, Totals};
use super::network::{self, PowerClass};
use super::plan::{Load, NetworkFeed};
use super::rules::{
    NetworkBudgetExceeded, NetworkFedWithoutBattery, NetworkPowerShort, SplitterInrush, SplitterOverloaded,
};
use super::wire_tables::{self, Strand, gauge_resistance};
use super::workings;
use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Role};
use crate::route::cables::Cables;
use crate::survey::Surveyed;

/// Gauge of a network cable. Source: *common practice* (category 5e and 6 cable, solid 24 AWG or thicker).
const GAUGE: u32 = 24;

/// Feeds of all devices fed over the network, in the order of marks, the splitter of an opening first.
pub(super) fn plan<'a>(cx: &mut Cx<'a>, figures: &mut Figures<'a>, given: &Given<'_>) -> Vec<NetworkFeed> {
    let survey = given.survey;
    let mut lines = Lines::of(cx, given);
    let mut feeds = Vec::new();
    for equipped in &given.equipment.openings {
        let (Some(served), Some(surveyed)) = (given.placement.of(&equipped.mark), survey.opening(&equipped.mark))
        else {
            continue;
        };
        let length_m = given.routes.of(&equipped.mark).map_or(served.length_m, |routed| routed.length_m);
        let length_m = Metres::new(length_m.get().clamp(0.0, 1e6));
        let base = NetworkFeed {
            mark: equipped.mark.clone(),
            room: served.room.clone(),
            splitter: None,
            class: None,
            load_w: Watts::ZERO,
            device_w: Watts::ZERO,
            source_w: Watts::ZERO,
            length_m,
        };
        let line = lines.to(equipped, surveyed, length_m);
        let splitter = equipped.in_role(Role::Splitter).filter(|_| is_own_unit(equipped));
        if let Some(splitter) = splitter.and_then(|fitted| figures.device(&fitted.device)) {
            let of_opening = loads::of_opening(figures, equipped, surveyed);
            let items = of_opening.electronics.iter().chain(&of_opening.lock);
            let loads: Vec<Load> = items.map(|item| loads::load(item, Some(&equipped.mark))).collect();
            feeds.extend(behind_splitter(cx, figures, &line, splitter, &loads, base.clone()));
        }
        for fitted in &equipped.devices {
            let Some(device) = figures.device(&fitted.device).filter(|_| fitted.role != Role::Splitter) else {
                continue;
            };
            let low_voltage = device.electrical.active.or(device.electrical.standby).is_some();
            let Some(power) = usable(device.electrical.network_power.map(Watts::get)).filter(|_| !low_voltage) else {
                continue;
            };
            let feed = NetworkFeed { load_w: Watts::new(power), device_w: Watts::new(power), ..base.clone() };
            let class = wanted_class(device, feed.device_w);
            let feed = at_source(cx, &line, feed, class);
            feeds.extend((0..fitted.count.min(16)).map(|_| feed.clone()));
        }
    }
    check_rooms(cx, figures, given, &feeds);
    feeds
}

/// The conductors of a network cable.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// Resistance of one conductor, at conductor temperature.
    pub resistance: OhmsPerMetre,
    /// The cable, as a working names it.
    pub cable: String,
}

/// Which network cable leads to an opening.
struct Lines<'l, 'a> {
    given: &'l Given<'l>,
    cables: Cables<'a>,
    existing: BTreeMap<&'l OpeningId, &'l ExistingCable>,
}

impl<'l, 'a> Lines<'l, 'a> {
    fn of(cx: &Cx<'a>, given: &'l Given<'l>) -> Self {
        Self {
            given,
            cables: Cables::new(cx.catalogue, &given.survey.settings),
            existing: given.job.openings.iter().map(|opening| (&opening.mark, &opening.existing_cable)).collect(),
        }
    }

    /// The cable in the wall, else the one the cable schedule lays, else a usual one.
    fn to(&mut self, equipped: &Equipped, surveyed: &Surveyed, length: Metres) -> Line {
        let temperature = self.given.survey.settings.conductor_temperature_c;
        let need = equipped.cables.iter().find(|need| need.purpose == CableUse::Network);
        let in_wall = need.filter(|need| need.existing).and_then(|_| self.existing.get(&equipped.mark));
        if let Some(old) = in_wall {
            let data = CableData { area: old.area, awg: old.awg, ..CableData::default() };
            if let Some((resistance, _)) = wire_tables::core_resistance(&data, temperature) {
                return Line { resistance, cable: "in the wall".to_owned() };
            }
        }
        let outdoors = self.given.lies_outdoors(surveyed);
        if let Some(laid) = need.filter(|need| !need.existing).and_then(|need| self.cables.laid(need, outdoors, length))
            && let Some((resistance, _)) = wire_tables::core_resistance(&laid.cable, temperature)
        {
            return Line { resistance, cable: laid.id.to_string() };
        }
        let (resistance, _) = gauge_resistance(GAUGE, Strand::Solid, temperature);
        Line { resistance, cable: format!("{GAUGE} AWG, common practice") }
    }
}

fn is_own_unit(equipped: &Equipped) -> bool {
    matches!(equipped.control, ControlNeed::OwnUnit { .. })
}

/// The class a device asks for: stated, else the least that gives its power.
fn wanted_class(device: &Device, needs: Watts) -> Option<PowerClass> {
    device.network.class.and_then(network::power_class).or_else(|| network::class_for(needs))
}

/// The feed of a splitter: what it can give at its class and rating against what hangs on it.
pub(super) fn behind_splitter<'a>(
    cx: &mut Cx<'a>,
    figures: &mut Figures<'a>,
    line: &Line,
    splitter: &Device,
    loads: &[Load],
    base: NetworkFeed,
) -> Option<NetworkFeed> {
    let stated = usable(splitter.supply.output_voltage.map(Volts::get)).filter(|volts| *volts > 0.0).map(Volts::new);
    let volts = stated.or_else(|| figures.nominal(splitter))?;
    let efficiency = figures.efficiency(splitter);
    let totals = loads::totals(loads);
    let load_w = volts * totals.active;
    let device_w = network::splitter_input(load_w, efficiency);
    let class = wanted_class(splitter, device_w);
    let feed = NetworkFeed { splitter: Some(splitter.id.clone()), load_w, device_w, ..base };
    workings::splitter(cx, &feed, &totals, volts, efficiency);
    let rated = usable(splitter.supply.output.map(Amps::get)).map(Amps::new);
    let by_class = class.map(|class| network::splitter_output(Watts::new(class.device_w), efficiency, volts));
    let gives = match (rated, by_class) {
        (Some(rated), Some(by_class)) => Some(rated.min(by_class)),
        (one, other) => one.or(other),
    };
    if let Some(gives) = gives {
        judge_splitter(cx, &feed, &totals, gives, class, splitter);
    }
    Some(at_source(cx, line, feed, class))
}

fn judge_splitter(
    cx: &mut Cx<'_>,
    feed: &NetworkFeed,
    totals: &Totals,
    gives: Amps,
    class: Option<PowerClass>,
    splitter: &Device,
) {
    let (opening, splitter) = (feed.mark.clone(), splitter.id.clone());
    if totals.active.get() > gives.get() + 1e-9 {
        let class = class.map(|class| (class.class, Watts::new(class.device_w)));
        let input = feed.device_w;
        cx.sink.report(&SplitterOverloaded { opening, splitter, load: totals.active, gives, input, class });
    } else if totals.peak.get() > gives.get() + 1e-9 {
        cx.sink.report(&SplitterInrush { opening, splitter, peak: totals.peak, gives });
    }
}

/// Power at the source by class, and what the cable leaves of it.
fn at_source(cx: &mut Cx<'_>, line: &Line, feed: NetworkFeed, class: Option<PowerClass>) -> NetworkFeed {
    let Some(class) = class else {
        cx.sink.report(&NetworkPowerShort {
            opening: feed.mark.clone(),
            needs: feed.device_w,
            left: None,
            length: feed.length_m,
        });
        return feed;
    };
    let pairs = if class.class >= 5 { 4 } else { 2 };
    let loop_ohm: Ohms = network::pair_set_loop(line.resistance, feed.length_m, pairs);
    let (source, volts) = (Watts::new(class.source_w), Volts::new(class.source_v));
    let left = network::device_power(source, volts, loop_ohm);
    // The standard's own limit of the class counts even where a short cable would leave more.
    let left = left.min(Watts::new(class.device_w)).max(Watts::ZERO);
    let splitter_short = feed.splitter.is_some() && feed.device_w.get() > class.device_w + 1e-9;
    if left.get() + 1e-9 < feed.device_w.get() && !splitter_short {
        let (opening, needs, length) = (feed.mark.clone(), feed.device_w, feed.length_m);
        cx.sink.report(&NetworkPowerShort { opening, needs, left: Some(left), length });
    }
    let feed = NetworkFeed { class: (!splitter_short).then_some(class.class), source_w: source, ..feed };
    workings::network(cx, &feed, class, (line, pairs, loop_ohm), left);
    feed
}

/// Budgets of the rooms, and what becomes of the feeds when the mains fails.
fn check_rooms<'a>(cx: &mut Cx<'a>, figures: &mut Figures<'a>, given: &Given<'_>, feeds: &[NetworkFeed]) {
    let survey = given.survey;
    let of_openings = feeds.iter().map(|feed| (&feed.room, feed.source_w));
    let bridges = bridge_ends(figures, given);
    let mut rooms: BTreeMap<_, (Watts, usize)> = BTreeMap::new();
    for (room, power) in of_openings.chain(bridges.iter().copied()) {
        let (watts, count) = rooms.entry(room).or_default();
        *watts += power;
        *count += 1;
    }
    for (room, (needs, feeds)) in rooms {
        let ends = bridges.iter().filter(|(at, _)| *at == room).count();
        workings::budget(cx, room, needs, feeds, ends);
        let Some(room) = survey.room(room) else { continue };
        if let Some(has) = room.network_power_w.filter(|has| needs > *has) {
            cx.sink.report(&NetworkBudgetExceeded { room: room.id.clone(), needs, has, feeds });
        }
        if survey.settings.standby_h.get() > 0.0 {
            let standby = survey.settings.standby_h;
            cx.sink.report(&NetworkFedWithoutBattery { room: room.id.clone(), feeds, standby });
        }
    }
}

/// Power at the source for both ends of every radio bridge: room and power of the class. The power a bridge states is
/// that of one end. Source: *common practice*.
fn bridge_ends<'g>(figures: &mut Figures<'_>, given: &Given<'g>) -> Vec<(&'g RoomId, Watts)> {
    let mut ends = Vec::new();
    for link in &given.routes.links {
        let Some(bridge) = link.device.as_ref().and_then(|device| figures.device(device)) else { continue };
        if bridge.electrical.mains.is_some() {
            continue;
        }
        let Some(power) = usable(bridge.electrical.network_power.map(Watts::get)).map(Watts::new) else {
            figures.lacks(bridge, "electrical.network_power");
            continue;
        };
        let source = wanted_class(bridge, power).map_or(power, |class| Watts::new(class.source_w));
        ends.extend([(&link.from, source), (&link.to, source)]);
    }
    ends
}
