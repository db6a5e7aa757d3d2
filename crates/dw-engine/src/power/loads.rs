//! What draws current at every opening and controller.

use dw_core::{Amps, DeviceId, Hours, OpeningId, Seconds, Volts};
use dw_job::catalogue::{Device, DeviceKind};

use super::figures::{Draw, Figures};
use super::plan::Load;
use crate::equip::{Equipped, Role};
use crate::survey::Surveyed;

/// How long a lock is released for one passage. Source: *common practice*.
pub(super) const RELEASE: Seconds = Seconds::new(5.0);

/// Share of time a fail-secure lock is released: passages of the busiest hour, each for [`RELEASE`], at most always.
///
/// **Formula** share = passages · 5 s / 3600 s. **Source** *common practice*.
pub(super) fn release_share(peak_flow: u32) -> f64 {
    (f64::from(peak_flow) * Hours::from(RELEASE).get()).min(1.0)
}

/// A device at an opening with what it draws.
#[derive(Clone, Debug)]
pub(super) struct Item<'a> {
    pub device: &'a Device,
    pub count: u32,
    pub role: Role,
    pub draw: Draw,
}

/// What draws current at an opening.
#[derive(Clone, Debug, Default)]
pub(super) struct OpeningLoads<'a> {
    /// Readers, sensors, sounders, units.
    pub electronics: Vec<Item<'a>>,
    /// The electric lock.
    pub lock: Option<Item<'a>>,
}

impl<'a> OpeningLoads<'a> {
    /// Everything, the lock last.
    pub(super) fn all(&self) -> impl Iterator<Item = &Item<'a>> {
        self.electronics.iter().chain(&self.lock)
    }

    /// The device with the largest inrush above its lasting current, if any has one.
    pub(super) fn surging(&self) -> Option<&Item<'a>> {
        self.all().filter(|item| item.draw.excess > Amps::ZERO).max_by_key(|item| item.draw.excess)
    }
}

/// Most devices of one kind at an opening that count, so that a mistyped number cannot run away.
const MOST: u32 = 1000;

/// Everything at an opening that takes low voltage from a supply or splitter.
pub(super) fn of_opening<'a>(figures: &mut Figures<'a>, equipped: &Equipped, surveyed: &Surveyed) -> OpeningLoads<'a> {
    let mut loads = OpeningLoads::default();
    for fitted in &equipped.devices {
        let Some(device) = figures.device(&fitted.device) else { continue };
        if matches!(fitted.role, Role::Splitter | Role::PowerTransfer) {
            continue;
        }
        let is_lock = fitted.role == Role::Lock && device.kind == Some(DeviceKind::Lock);
        let draw = if is_lock {
            figures.lock_draw(device, equipped.fail_mode, release_share(surveyed.peak_flow))
        } else {
            figures.draw(device)
        };
        let Some(draw) = draw else { continue };
        let item = Item { device, count: fitted.count.min(MOST), role: fitted.role, draw };
        if is_lock && loads.lock.is_none() {
            loads.lock = Some(item);
        } else {
            loads.electronics.push(item);
        }
    }
    loads
}

/// The load of one item in the plan.
pub(super) fn load(item: &Item<'_>, opening: Option<&OpeningId>) -> Load {
    let count = f64::from(item.count);
    // A sounder is silent until something is wrong.
    let silent = item.role == Role::Sounder;
    Load {
        device: item.device.id.clone(),
        opening: opening.cloned(),
        count: item.count,
        standby_a: if silent { Amps::ZERO } else { item.draw.standby * count },
        active_a: item.draw.active * count,
        inrush_a: item.draw.excess,
    }
}

/// Sums of loads.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct Totals {
    pub standby: Amps,
    pub active: Amps,
    /// Highest lasting load with the largest inrush on top.
    pub peak: Amps,
}

pub(super) fn totals<'l>(loads: impl IntoIterator<Item = &'l Load>) -> Totals {
    let (mut standby, mut active, mut excess) = (Amps::ZERO, Amps::ZERO, Amps::ZERO);
    for load in loads {
        standby += load.standby_a;
        active += load.active_a;
        excess = excess.max(load.inrush_a);
    }
    Totals { standby, active, peak: active + excess }
}

/// What must stand together in an enclosure: a controller with what it feeds, or what an opening takes without one.
#[derive(Clone, Debug)]
pub(super) struct Block {
    /// Index into the placement.
    pub controller: Option<usize>,
    /// The opening, when no controller is in it.
    pub opening: Option<OpeningId>,
    /// Places it takes in an enclosure.
    pub units: u32,
    /// Nominal voltage.
    pub nominal: u32,
    /// A kit, which brings its own enclosure and supply.
    pub kit: Option<DeviceId>,
    pub loads: Vec<Load>,
}

/// The nominal voltage for a controller or unit and its locks: the one most locks accept, then the policy's, then the
/// device's own; locks that do not accept it are fed apart.
pub(super) fn common_voltage(
    figures: &mut Figures<'_>,
    master: &Device,
    locks: &[&Device],
    systems: &[u32],
    preferred: Option<Volts>,
) -> u32 {
    let own = figures.nominal(master).map_or(12, |volts| libm::round(volts.get()) as u32);
    let mut best: Option<((usize, bool, bool), u32)> = None;
    for &system in systems {
        let volts = Volts::new(f64::from(system));
        if !figures.accepts(master, volts) {
            continue;
        }
        let refusing = locks.iter().filter(|lock| !figures.accepts(lock, volts)).count();
        let liking = (refusing, preferred != Some(volts), system != own);
        if best.is_none_or(|(least, _)| liking < least) {
            best = Some((liking, system));
        }
    }
    best.map_or(own, |(_, system)| system)
}

/// The nominal voltage of a lock that is fed apart: its own.
pub(super) fn lock_voltage(figures: &mut Figures<'_>, lock: &Device) -> Option<u32> {
    figures.nominal(lock).map(|volts| libm::round(volts.get()) as u32)
}
