//! Judges the voltages at devices by putting them back into Kirchhoff's laws: the currents the devices draw at the planned
//! voltages must lose on each run just what lies between its ends. Nothing is solved but runs planned as collapsed.

use dw_core::{Amps, Celsius, Id, Place, Volts};
use dw_job::catalogue::{Device, DeviceKind, Draws};

use super::plan::{DeviceFeed, PowerPlan, SourceCase};
use super::rules::DeviceVoltageDiffers;
use crate::Cx;
use crate::equip::{Equipment, Role};
use crate::survey::Survey;

/// Share of the source's voltage that counts as agreement.
const CLOSE: f64 = 1e-6;

/// Judges every device feed. Raises `POW-905`.
pub(super) fn verify(cx: &mut Cx<'_>, survey: &Survey, equipment: &Equipment, plan: &PowerPlan) {
    let mut wrong = Vec::new();
    let mut rest = &plan.devices[..];
    while let Some(first) = rest.first() {
        // A unit with what hangs on it, or a device on a run of its own.
        let count = 1 + rest[1..].iter().take_while(|feed| feed.on_unit && feed.mark == first.mark).count();
        let (group, after) = rest.split_at(count);
        rest = after;
        let group = Group { cx, survey, equipment, plan, feeds: group };
        if let Some(what) = group.fault() {
            wrong.push((first.mark.clone(), what));
        }
    }
    for (mark, what) in wrong {
        cx.sink.report(&DeviceVoltageDiffers { place: Place::of(&mark), what });
    }
    for lock in &plan.locks {
        let fed = plan.devices.iter().skip(plan.devices.partition_point(|feed| feed.mark < lock.mark));
        let mut own = fed.take_while(|feed| feed.mark == lock.mark);
        if !own.any(|feed| feed.role == Role::Lock && feed.device == lock.lock) {
            let what = format!("{} has no voltage among the devices", lock.lock);
            cx.sink.report(&DeviceVoltageDiffers { place: Place::of(&lock.mark), what });
        }
    }
}

/// Voltages of a source: on mains, at the end of the battery, on float.
#[derive(Clone, Copy)]
struct Source {
    mains: f64,
    end: Option<f64>,
    float: f64,
}

struct Group<'g, 'a> {
    cx: &'g Cx<'a>,
    survey: &'g Survey,
    equipment: &'g Equipment,
    plan: &'g PowerPlan,
    feeds: &'g [DeviceFeed],
}

/// What one device draws: amperes at rest, lasting, and at most; nominal voltage, and how it draws.
#[derive(Clone, Copy)]
struct Taker {
    rest: f64,
    lasting: f64,
    most: f64,
    nominal: f64,
    draws: Draws,
}

impl Taker {
    fn at(&self, amps: f64, volts: f64) -> f64 {
        match self.draws {
            Draws::Current => amps,
            Draws::Resistance => amps * volts / self.nominal,
            Draws::Power => amps * self.nominal / volts,
        }
    }
}

impl Group<'_, '_> {
    fn fault(&self) -> Option<String> {
        let root = self.feeds.first()?;
        let source = self.source(root)?;
        let takers: Option<Vec<Taker>> = self.feeds.iter().map(|feed| self.taker(feed)).collect();
        let takers = takers?;
        let lasting: Vec<f64> = takers.iter().map(|taker| taker.lasting).collect();
        let excess = |taker: &Taker| taker.most - taker.lasting;
        let largest = takers.iter().map(excess).fold(0.0, f64::max);
        // Whoever has the largest inrush may have been counted with it.
        let surging = |at: usize| -> Vec<f64> {
            let mut amps = lasting.clone();
            amps[at] += excess(&takers[at]);
            amps
        };
        let worst: Vec<Vec<f64>> =
            (0..takers.len()).filter(|at| excess(&takers[*at]) >= largest - 1e-12).map(surging).collect();
        let rest = vec![takers.iter().map(|taker| taker.rest).collect::<Vec<f64>>()];
        let mains = |feed: &DeviceFeed| feed.at_mains_v.get();
        let float = |feed: &DeviceFeed| feed.at_float_v.get();
        let end = |feed: &DeviceFeed| feed.at_end_v.map_or(f64::NAN, Volts::get);
        self.kirchhoff("on mains", source.mains, &takers, &worst, mains)
            .or_else(|| self.kirchhoff("on float", source.float, &takers, &rest, float))
            .or_else(|| {
                source.end.and_then(|volts| self.kirchhoff("at the battery's end", volts, &takers, &worst, end))
            })
            .or_else(|| self.feeds.iter().find_map(margin))
    }

    /// What does not balance with these voltages; `None` when some choice of currents balances.
    fn kirchhoff(
        &self,
        when: &str,
        source: f64,
        takers: &[Taker],
        choices: &[Vec<f64>],
        planned: impl Fn(&DeviceFeed) -> f64,
    ) -> Option<String> {
        let volts: Vec<f64> = self.feeds.iter().map(planned).collect();
        if volts.iter().all(|volts| *volts == 0.0) {
            let carried = choices.iter().all(|amps| self.settles(source, takers, amps));
            return carried.then(|| {
                format!("{} {when}: planned as collapsed, carried when worked out anew", self.feeds[0].device)
            });
        }
        let mut told = None;
        for amps in choices {
            let drawn: Vec<f64> =
                takers.iter().zip(amps).zip(&volts).map(|((taker, amps), volts)| taker.at(*amps, *volts)).collect();
            let off = self.feeds.iter().enumerate().find_map(|(index, feed)| {
                let (before, through) =
                    if index == 0 { (source, drawn.iter().sum::<f64>()) } else { (volts[0], drawn[index]) };
                let lost = through * feed.loop_ohm.get();
                let close = ((before - volts[index]) - lost).abs() <= CLOSE * source;
                (!close).then(|| {
                    format!(
                        "{} {when}: {:.3} V planned, {:.3} V with the current drawn at that voltage",
                        feed.device,
                        volts[index],
                        before - lost
                    )
                })
            });
            told = Some(off?);
        }
        told
    }

    /// Whether the voltages settle above zero when they are let fall step by step from the source.
    fn settles(&self, source: f64, takers: &[Taker], amps: &[f64]) -> bool {
        let mut volts = vec![source; self.feeds.len()];
        for _ in 0..2000 {
            let drawn: Vec<f64> =
                takers.iter().zip(amps).zip(&volts).map(|((taker, amps), volts)| taker.at(*amps, *volts)).collect();
            let root = source - drawn.iter().sum::<f64>() * self.feeds[0].loop_ohm.get();
            for (index, feed) in self.feeds.iter().enumerate() {
                let next = if index == 0 { root } else { volts[0] - drawn[index] * feed.loop_ohm.get() };
                volts[index] = f64::midpoint(volts[index], next);
                if volts[index] <= 0.01 * source {
                    return false;
                }
            }
        }
        let total: f64 =
            takers.iter().zip(amps).zip(&volts).map(|((taker, amps), volts)| taker.at(*amps, *volts)).sum();
        (source - total * self.feeds[0].loop_ohm.get() - volts[0]).abs() < 1e-3 * source
    }

    fn taker(&self, feed: &DeviceFeed) -> Option<Taker> {
        let device = self.cx.device(&feed.device)?;
        let sane = |figure: Option<Amps>| figure.map(Amps::get).filter(|amps| (0.0..=1e6).contains(amps));
        let electrical = &device.electrical;
        let (standby, active) = (sane(electrical.standby), sane(electrical.active));
        let lasting = standby.unwrap_or(0.0).max(active.unwrap_or(0.0));
        let regulates = matches!(
            device.kind,
            Some(
                DeviceKind::Reader
                    | DeviceKind::StandaloneUnit
                    | DeviceKind::Controller
                    | DeviceKind::Expander
                    | DeviceKind::Kit
            )
        );
        let draws = electrical.draws.unwrap_or(if regulates { Draws::Power } else { Draws::Current });
        let nominal = electrical.nominal.map(Volts::get).filter(|volts| *volts > 0.0)?;
        if feed.role == Role::Lock {
            let lock = self.plan.locks.iter().find(|lock| lock.mark == feed.mark)?;
            // What a lock takes at rest depends on how often it is released: put back from its float voltage below.
            let rest = self.lock_at_rest(feed, device)?;
            let lasting = lock.lasting_a.get();
            return Some(Taker { rest, lasting, most: feed.current_a.get().max(lasting), nominal, draws });
        }
        let most = sane(electrical.inrush).unwrap_or(lasting).max(lasting);
        Some(Taker { rest: standby.or(active).unwrap_or(0.0), lasting, most, nominal, draws })
    }

    /// Current of one lock at rest by its fail mode.
    fn lock_at_rest(&self, feed: &DeviceFeed, device: &Device) -> Option<f64> {
        use dw_job::model::FailMode;
        let equipped = self.equipment.opening(&feed.mark)?;
        let flow = self.survey.opening(&feed.mark)?.peak_flow;
        let standby = device.electrical.standby.map(Amps::get);
        let active = device.electrical.active.map(Amps::get);
        let most = standby.unwrap_or(0.0).max(active.unwrap_or(0.0));
        Some(match equipped.fail_mode {
            // Source: common practice, 5 s a passage.
            Some(FailMode::Secure) => most * (f64::from(flow) * 5.0 / 3600.0).min(1.0),
            Some(FailMode::Safe) if standby.unwrap_or(0.0) <= 0.0 => most,
            _ => standby.or(active)?,
        })
    }

    fn source(&self, feed: &DeviceFeed) -> Option<Source> {
        let Some(id) = &feed.enclosure else {
            let splitter = self.equipment.opening(&feed.mark)?.in_role(Role::Splitter)?;
            let splitter = self.cx.device(&splitter.device)?;
            let volts = splitter.supply.output_voltage.or(splitter.electrical.nominal)?.get();
            return Some(Source { mains: volts, end: None, float: volts });
        };
        let enclosure = self.plan.enclosures.iter().find(|one| one.id == *id)?;
        let supply = self.cx.device(enclosure.supply.as_ref()?)?;
        let mains = supply.supply.output_voltage?.get();
        let battery = enclosure.battery.as_ref().and_then(|battery| self.cx.device(battery));
        let system = enclosure.nominal_v.get();
        let device = &self.cx.device(&feed.device)?.electrical;
        let nominal = device.nominal?.get();
        let low = device.min.map_or(nominal * 0.9, Volts::get).min(nominal);
        let high = device.max.map_or(nominal * 1.1, Volts::get).max(nominal);
        if !(low..=high).contains(&system) && nominal < system && feed.role != Role::Lock {
            return Some(Source { mains: nominal, end: battery.map(|_| nominal), float: nominal });
        }
        let Some(battery) = battery else { return Some(Source { mains, end: None, float: mains }) };
        let block = battery.battery.nominal?.get();
        let end = battery.battery.end?.get() * libm::round(system / block).max(1.0);
        let coldest = self.survey.room(&enclosure.room)?.temperature_min_c;
        // Source: published lead-acid charging notes, 3 mV a cell and kelvin; two volts a cell.
        let raised = 0.003 * system / 2.0 * (25.0 - coldest.max(Celsius::new(-273.0)).get()).max(0.0);
        Some(Source { mains, end: Some(end), float: mains + raised })
    }
}

/// Whether the margin stated is the least of the three.
fn margin(feed: &DeviceFeed) -> Option<String> {
    let mut least = f64::INFINITY;
    let mut governs = feed.governs;
    if let Some(needs) = feed.needs_v {
        for (case, volts) in [(SourceCase::Mains, Some(feed.at_mains_v)), (SourceCase::End, feed.at_end_v)] {
            if let Some(volts) = volts.filter(|volts| (*volts - needs).get() < least) {
                (least, governs) = ((volts - needs).get(), case);
            }
        }
    }
    if let Some(bears) = feed.bears_v.filter(|bears| (*bears - feed.at_float_v).get() < least) {
        (least, governs) = ((bears - feed.at_float_v).get(), SourceCase::Float);
    }
    let agrees = match feed.margin_v {
        Some(stated) => (least - stated.get()).abs() < 1e-9 && governs == feed.governs,
        None => least.is_infinite(),
    };
    let stated = feed.margin_v.map_or_else(|| "no margin".to_owned(), |margin| format!("margin of {margin:.3}"));
    (!agrees).then(|| format!("{}: {stated} stated, {least:.3} V worked out anew", feed.device.text()))
}
