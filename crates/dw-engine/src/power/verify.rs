//! Judges a power plan by code of its own: sums the loads from the equipment, works out voltages by conductance, and
//! discharges every battery minute by minute. It shares nothing with the pass but the result types and the catalogue.

use std::collections::BTreeMap;

use dw_core::{Amps, Celsius, Id, Metres, OhmsPerMetre, OpeningId, Place, Volts};
use dw_job::catalogue::{CableUse, Device, DeviceKind};

use super::plan::{EnclosurePlan, LockFeed, NetworkFeed, PowerPlan};
use super::rules::{BatteryFallsShort, LoadsNotBalanced, LockVoltageDiffers, NetworkFeedDiffers};
use super::{verify_devices, verify_outputs};
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Equipped, Role};
use crate::place::Placement;
use crate::survey::{Settings, Survey};

/// Relative difference that counts as agreement.
const CLOSE: f64 = 1e-6;

/// Judges any plan, ours or edited by hand: loads balance, supplies carry them, voltages and batteries hold.
///
/// Raises `POW-901` to `POW-905`.
pub fn verify(cx: &mut Cx<'_>, survey: &Survey, equipment: &Equipment, placement: &Placement, plan: &PowerPlan) {
    let judge = Judge { survey, equipment, placement, plan };
    judge.everything_counted_once(cx);
    for enclosure in &plan.enclosures {
        judge.balance(cx, enclosure);
        judge.discharge(cx, enclosure);
        verify_outputs::verify(cx, survey, enclosure);
    }
    // What shares its run with a unit does not draw a fixed current; the judge of devices puts that back as a whole.
    for feed in plan.locks.iter().filter(|feed| feed.shared_ohm.get() <= 0.0) {
        judge.voltage(cx, feed);
    }
    verify_devices::verify(cx, survey, equipment, plan);
    for feed in &plan.network_feeds {
        network(cx, feed);
    }
}

struct Judge<'j> {
    survey: &'j Survey,
    equipment: &'j Equipment,
    placement: &'j Placement,
    plan: &'j PowerPlan,
}

fn close(a: f64, b: f64) -> bool {
    (a - b).abs() <= CLOSE * a.abs().max(b.abs()).max(1.0)
}

/// A current a catalogue can mean.
fn sane(figure: Option<Amps>) -> Option<f64> {
    figure.map(Amps::get).filter(|amps| (0.0..=1e6).contains(amps))
}

/// Lasting current of one, or `None` when the device takes none from a supply.
fn lasting(device: &Device) -> Option<f64> {
    match (sane(device.electrical.standby), sane(device.electrical.active)) {
        (None, None) => None,
        (a, b) => Some(a.unwrap_or(0.0).max(b.unwrap_or(0.0))),
    }
}

/// Whether a device is an electric lock that takes a known voltage from a supply.
fn draws_as_lock(device: &Device) -> bool {
    device.kind == Some(DeviceKind::Lock)
        && lasting(device).is_some()
        && device.electrical.nominal.is_some_and(|volts| volts > Volts::ZERO)
}

impl Judge<'_> {
    /// Whether the policy allows a cable for lock power.
    fn allows(&self, cable: &Device) -> bool {
        let families = &self.survey.settings.cable_families;
        let family = families.is_empty() || cable.cable.family.as_ref().is_some_and(|family| families.contains(family));
        family && cable.cable.uses.contains(&CableUse::Lock)
    }

    /// Every device that draws current is in exactly one enclosure, or behind a splitter; every lock there has a feed.
    fn everything_counted_once(&self, cx: &mut Cx<'_>) {
        let mut counted: BTreeMap<(&OpeningId, &str), f64> = BTreeMap::new();
        for load in self.plan.enclosures.iter().flat_map(|enclosure| &enclosure.loads) {
            if let Some(mark) = &load.opening {
                *counted.entry((mark, load.device.text())).or_default() += load.active_a.get();
            }
        }
        let on_plan = |device: &str| {
            self.plan
                .enclosures
                .iter()
                .any(|one| one.supply.is_none() && one.loads.iter().any(|load| load.device.text() == device))
        };
        for equipped in &self.equipment.openings {
            if !self.fed_from_room(equipped) {
                continue;
            }
            let mut wanted: BTreeMap<&str, f64> = BTreeMap::new();
            for fitted in
                equipped.devices.iter().filter(|one| !matches!(one.role, Role::Splitter | Role::PowerTransfer))
            {
                let device = cx.device(&fitted.device);
                // A lock of unknown voltage hangs on no supply and was told as a missing figure.
                let device = device.filter(|device| device.kind != Some(DeviceKind::Lock) || draws_as_lock(device));
                let each = device.and_then(lasting);
                if let Some(each) = each {
                    *wanted.entry(fitted.device.text()).or_default() += each * f64::from(fitted.count.min(1000));
                }
            }
            for (device, wanted) in wanted {
                let has = counted.get(&(&equipped.mark, device)).copied().unwrap_or(0.0);
                if !close(has, wanted) {
                    let what = format!("{device} draws {wanted:.3} A, {has:.3} A are counted");
                    cx.sink.report(&LoadsNotBalanced { place: Place::of(&equipped.mark), what });
                }
            }
            let lock = equipped.in_role(Role::Lock).filter(|lock| cx.device(&lock.device).is_some_and(draws_as_lock));
            let fed = self.plan.locks.binary_search_by(|feed| feed.mark.cmp(&equipped.mark)).is_ok();
            // Where no cable for lock power may lie outdoors the cable schedule says so.
            let mut cables = cx.catalogue.offered(DeviceKind::Cable);
            let cables = cables.any(|cable| cable.cable.outdoor == Some(true) && self.allows(cable));
            if let Some(lock) = lock.filter(|lock| !fed && cables && !on_plan(lock.device.text())) {
                let what = format!("{} has no feed", lock.device);
                cx.sink.report(&LoadsNotBalanced { place: Place::of(&equipped.mark), what });
            }
        }
    }

    /// Whether the devices of an opening hang on an enclosure.
    fn fed_from_room(&self, equipped: &Equipped) -> bool {
        let Some(served) = self.placement.of(&equipped.mark) else { return false };
        match equipped.control {
            ControlNeed::Ports { .. } => served.controller.is_some(),
            ControlNeed::OwnUnit { .. } => equipped.in_role(Role::Splitter).is_none(),
            ControlNeed::None => false,
        }
    }

    /// The sums an enclosure states are the sums of its loads, and its supply carries them.
    fn balance(&self, cx: &mut Cx<'_>, enclosure: &EnclosurePlan) {
        let (mut standby, mut active, mut inrush) = (0.0, 0.0, 0.0_f64);
        for load in enclosure.loads.iter().rev() {
            standby += load.standby_a.get();
            active += load.active_a.get();
            inrush = inrush.max(load.inrush_a.get());
        }
        let stated = [enclosure.standby_a, enclosure.active_a, enclosure.peak_a];
        let mut wrong = Vec::new();
        for ((name, summed), stated) in
            [("standby", standby), ("lasting", active), ("peak", active + inrush)].into_iter().zip(stated)
        {
            if !close(summed, stated.get()) {
                wrong.push(format!("{name} loads add up to {summed:.3} A, {stated:.3} is stated"));
            }
        }
        let supply = enclosure.supply.as_ref().and_then(|supply| cx.device(supply));
        let rated = supply
            .and_then(|supply| sane(supply.supply.output))
            .map(|each| each * f64::from(enclosure.supplies.max(1)));
        if let Some(rated) = rated {
            let share = self.survey.settings.supply_load_share;
            if active > rated * share * (1.0 + CLOSE) || active + inrush > rated * (1.0 + CLOSE) {
                wrong.push(format!(
                    "{active:.3} A lasting and {:.3} A at peak on a supply of {rated:.3} A",
                    active + inrush
                ));
            }
        }
        wrong.extend(self.battery_figures(cx, enclosure));
        for what in wrong {
            cx.sink.report(&LoadsNotBalanced { place: Place::of(&enclosure.id), what });
        }
    }

    /// Puts the charger's output and the battery's years back into what they come from.
    fn battery_figures(&self, cx: &Cx<'_>, enclosure: &EnclosurePlan) -> Option<String> {
        let battery = cx.device(enclosure.battery.as_ref()?)?;
        let recharge = self.survey.settings.recharge_h.get().max(0.1);
        let put_back = (enclosure.charger_a - enclosure.standby_a).get() * recharge;
        // Source: common practice, 1.15 Ah for each taken out.
        if !close(put_back, 1.15 * enclosure.fitted_ah.get()) {
            return Some(format!("a charger of {:.3} puts back {put_back:.2} Ah", enclosure.charger_a));
        }
        let stated = battery.life_years.filter(|years| (0.0..=100.0).contains(years))?;
        let halvings = (enclosure.inside_c.get() - 25.0).max(0.0) / 10.0;
        let years = enclosure.battery_years.unwrap_or(0.0);
        let wrong = !close(years * libm::exp2(halvings), stated);
        wrong.then(|| format!("{years:.2} years at {:.1} from {stated:.1} at 25 °C", enclosure.inside_c))
    }

    /// Discharges the battery minute by minute at the end of its life: standby first, then the alarm.
    fn discharge(&self, cx: &mut Cx<'_>, enclosure: &EnclosurePlan) {
        let settings = &self.survey.settings;
        let Some(battery) = enclosure.battery.as_ref().and_then(|battery| cx.device(battery)) else { return };
        let Some(room) = self.survey.room(&enclosure.room) else { return };
        let capacity = enclosure.fitted_ah.get() * settings.battery_end_of_life / cold_factor(room.temperature_min_c);
        let data = &battery.battery;
        let rated = data.rated.map_or(20.0, dw_core::Hours::get).max(0.01);
        let exponent = data.peukert.filter(|n| (1.0..=2.0).contains(n)).unwrap_or(1.15);
        // Share of the battery a minute at this current uses, never less than the plain charge.
        let each = |amps: f64| {
            let plain = amps / capacity;
            let by_rate = libm::pow(amps * rated / capacity, exponent) / rated;
            plain.max(by_rate) / 60.0
        };
        let minutes = |minutes: f64| (libm::round(minutes).clamp(0.0, 600_000.0)) as u32;
        let (standby, alarm) = (minutes(settings.standby_h.get() * 60.0), minutes(settings.alarm_min.get()));
        let (at_rest, at_work) = (each(enclosure.standby_a.get()), each(enclosure.active_a.get()));
        let mut left = 1.0;
        for minute in 0..standby + alarm {
            left -= if minute < standby { at_rest } else { at_work };
            // Times are rounded to whole minutes.
            if left < -0.005 {
                let lasted = f64::from(minute) / 60.0;
                let wanted = f64::from(standby + alarm) / 60.0;
                let what = format!(
                    "{:.1} last {lasted:.2} h at the end of life, {wanted:.2} h are asked for",
                    enclosure.fitted_ah
                );
                cx.sink.report(&BatteryFallsShort { place: Place::of(&enclosure.id), what });
                return;
            }
        }
    }

    /// Works out the voltage at a lock by conductance: source, loop and load as a divider of known current.
    fn voltage(&self, cx: &mut Cx<'_>, feed: &LockFeed) {
        let place = Place::of(&feed.mark);
        if let Some(conductance) = feed
            .cable
            .as_ref()
            .and_then(|cable| cx.device(cable))
            .and_then(|cable| siemens(cable, feed, &self.survey.settings))
        {
            // The loop is the cable's two ways plus the way to the leaf, so it is never less than the cable alone.
            let cable = 1.0 / conductance;
            let leaf = cx.device(&feed.lock).is_some_and(|lock| lock.lock.on_leaf == Some(true));
            let fits =
                if leaf { feed.loop_ohm.get() >= cable * (1.0 - 1e-3) } else { close_to(feed.loop_ohm.get(), cable) };
            if !fits {
                let what = format!("loop of {:.3} planned, {cable:.3} Ω by conductance", feed.loop_ohm);
                cx.sink.report(&LockVoltageDiffers { place: place.clone(), what });
                return;
            }
        }
        let enclosure = feed.enclosure.as_ref().and_then(|id| self.plan.enclosures.iter().find(|one| one.id == *id));
        let splitter = self.equipment.opening(&feed.mark).and_then(|equipped| equipped.in_role(Role::Splitter));
        let source = enclosure.and_then(|one| one.supply.as_ref()).or(splitter.map(|fitted| &fitted.device));
        let Some(mains) = source.and_then(|source| cx.device(source)).and_then(|source| source.supply.output_voltage)
        else {
            return;
        };
        let battery = enclosure.and_then(|one| one.battery.as_ref()).and_then(|battery| cx.device(battery));
        let end = match (enclosure, battery.and_then(|battery| Some((battery.battery.end?, battery.battery.nominal?))))
        {
            (Some(one), Some((end, nominal))) => end.get() * libm::round(one.nominal_v.get() / nominal.get()).max(1.0),
            _ => mains.get(),
        };
        if battery.is_some_and(|battery| battery.battery.end.is_none()) {
            return;
        }
        for (what, from, planned) in
            [("on mains", mains.get(), feed.at_mains_v), ("at the battery's end", end, feed.at_end_v)]
        {
            let drop = (from - planned.get()) / feed.loop_ohm.get().max(1e-12);
            if !close_to(drop, feed.current_a.get()) && feed.loop_ohm.get() > 1e-9 {
                let anew = Volts::new(from - feed.current_a.get() * feed.loop_ohm.get());
                let what = format!("{planned:.3} {what} planned, {anew:.3} worked out anew");
                cx.sink.report(&LockVoltageDiffers { place, what });
                return;
            }
        }
    }
}

fn close_to(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-3 * a.abs().max(b.abs()).max(1e-3)
}

/// Conductance of both ways of a cable at conductor temperature: cross-section times conductivity over length. Only for
/// cables that state their resistance, so that no table is shared with the pass.
fn siemens(cable: &Device, feed: &LockFeed, settings: &Settings) -> Option<f64> {
    let per_metre = cable.cable.resistance.map(OhmsPerMetre::get).filter(|ohms| *ohms > 0.0)?;
    // Source: IEC 60028:1925, 0.00393 1/K from 20 °C.
    let warm = 1.0 + 0.003_93 * (settings.conductor_temperature_c.get() - 20.0);
    let one = 1.0 / (per_metre * warm);
    let metres = feed.length_m;
    (metres > Metres::ZERO).then(|| one * f64::from(feed.parallel.max(1)) / (2.0 * metres.get()))
}

/// Temperature factor by straight lines through a few rows of IEEE Std 485 table 1, on the cautious side.
fn cold_factor(coldest: Celsius) -> f64 {
    // 50, 60, 68 and 77 °F, and the cold end of the table.
    const ROWS: [(f64, f64); 6] =
        [(-3.89, 1.52), (4.44, 1.30), (10.0, 1.19), (15.56, 1.11), (20.0, 1.056), (25.0, 1.0)];
    let c = coldest.get();
    if c >= 25.0 {
        return 1.0;
    }
    for pair in ROWS.windows(2) {
        let [(low, cold), (high, warm)] = *pair else { continue };
        if c >= low && c < high {
            // The table sags below its chords by at most two per cent; this judge must not be stricter than the table.
            return (cold + (warm - cold) * (c - low) / (high - low)) * 0.98;
        }
    }
    ROWS[0].1
}

/// The class of a network feed gives the power at both ends.
fn network(cx: &mut Cx<'_>, feed: &NetworkFeed) {
    // Source: IEEE 802.3-2018 and 802.3bt-2018 class table, power at source and device.
    const CLASSES: [(u32, f64, f64); 8] = [
        (1, 4.0, 3.84),
        (2, 7.0, 6.49),
        (3, 15.4, 12.95),
        (4, 30.0, 25.5),
        (5, 45.0, 40.0),
        (6, 60.0, 51.0),
        (7, 75.0, 62.0),
        (8, 90.0, 71.3),
    ];
    let Some(class) = feed.class else { return };
    let what = match CLASSES.iter().find(|row| row.0 == class) {
        None => format!("class {class} is none"),
        Some((_, _, device)) if feed.device_w.get() > device * (1.0 + CLOSE) => {
            format!("{:.2} at the device, class {class} gives {device:.2} W", feed.device_w)
        }
        Some((_, source, _)) if !close(feed.source_w.get(), *source) => {
            format!("{:.2} at the source, class {class} takes {source:.2} W", feed.source_w)
        }
        Some(_) if feed.load_w > feed.device_w => format!("{:.2} behind {:.2}", feed.load_w, feed.device_w),
        Some(_) => return,
    };
    cx.sink.report(&NetworkFeedDiffers { place: Place::of(&feed.mark), what });
}
