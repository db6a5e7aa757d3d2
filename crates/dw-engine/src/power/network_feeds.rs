//! Devices fed over the network cable: class, power at the device and at the source, and the budget of every room.

use std::collections::BTreeMap;

use dw_core::{Amps, Metres, Ohms, Volts, Watts};
use dw_job::catalogue::Device;

use super::figures::{Figures, usable};
use super::loads::{self, Totals};
use super::network::{self, PowerClass};
use super::plan::{Load, NetworkFeed};
use super::rules::{
    NetworkBudgetExceeded, NetworkFedWithoutBattery, NetworkPowerShort, SplitterInrush, SplitterOverloaded,
};
use super::wire_tables::{Strand, gauge_resistance};
use super::workings;
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Equipped, Role};
use crate::place::Placement;
use crate::route::Routes;
use crate::survey::{Settings, Survey};

/// Gauge of a network cable. Source: *common practice* (category 5e and 6 cable, solid 24 AWG or thicker).
const GAUGE: u32 = 24;

/// Feeds of all devices fed over the network, in the order of marks, the splitter of an opening first.
pub(super) fn plan<'a>(
    cx: &mut Cx<'a>,
    figures: &mut Figures<'a>,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    routes: &Routes,
) -> Vec<NetworkFeed> {
    let mut feeds = Vec::new();
    for equipped in &equipment.openings {
        let (Some(served), Some(surveyed)) = (placement.of(&equipped.mark), survey.opening(&equipped.mark)) else {
            continue;
        };
        let length_m = routes.of(&equipped.mark).map_or(served.length_m, |routed| routed.length_m);
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
        let splitter = equipped.in_role(Role::Splitter).filter(|_| is_own_unit(equipped));
        if let Some(splitter) = splitter.and_then(|fitted| figures.device(&fitted.device)) {
            let of_opening = loads::of_opening(figures, equipped, surveyed);
            let items = of_opening.electronics.iter().chain(&of_opening.lock);
            let loads: Vec<Load> = items.map(|item| loads::load(item, Some(&equipped.mark))).collect();
            feeds.extend(behind_splitter(cx, figures, &survey.settings, splitter, &loads, base.clone()));
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
            let feed = at_source(cx, &survey.settings, feed, class);
            feeds.extend((0..fitted.count.min(16)).map(|_| feed.clone()));
        }
    }
    check_rooms(cx, survey, &feeds);
    feeds
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
    settings: &Settings,
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
    Some(at_source(cx, settings, feed, class))
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
fn at_source(cx: &mut Cx<'_>, settings: &Settings, feed: NetworkFeed, class: Option<PowerClass>) -> NetworkFeed {
    let Some(class) = class else {
        cx.sink.report(&NetworkPowerShort {
            opening: feed.mark.clone(),
            needs: feed.device_w,
            left: None,
            length: feed.length_m,
        });
        return feed;
    };
    let (resistance, _) = gauge_resistance(GAUGE, Strand::Solid, settings.conductor_temperature_c);
    let pairs = if class.class >= 5 { 4 } else { 2 };
    let loop_ohm: Ohms = network::pair_set_loop(resistance, feed.length_m, pairs);
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
    workings::network(cx, &feed, class, loop_ohm, left);
    feed
}

/// Budgets of the rooms, and what becomes of the feeds when the mains fails.
fn check_rooms(cx: &mut Cx<'_>, survey: &Survey, feeds: &[NetworkFeed]) {
    let mut rooms: BTreeMap<_, (Watts, usize)> = BTreeMap::new();
    for feed in feeds {
        let (watts, count) = rooms.entry(&feed.room).or_default();
        *watts += feed.source_w;
        *count += 1;
    }
    for (room, (needs, feeds)) in rooms {
        workings::budget(cx, room, needs, feeds);
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
