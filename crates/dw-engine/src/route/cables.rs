//! Which cable serves a need: the cheapest of the catalogue with cores enough, allowed, long enough, fit for outdoors.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{Amps, Celsius, DeviceId, Hours, Metres, Money, Volts};
use dw_job::Catalogue;
use dw_job::catalogue::{CableUse, Device, DeviceKind};
use dw_job::model::Exposure;
use rust_decimal::Decimal;

use super::ground::length_mm;
use super::surge;
use crate::equip::{CableNeed, ControlNeed, Equipped, Role};
use crate::power::wire_tables::core_resistance;
use crate::survey::{Settings, Surveyed};

/// Most conductors in parallel each way (*common practice*).
const MOST_PARALLEL: u32 = 2;

/// Voltage of a lead-acid battery at its end, of nominal: 1.75 V of 2 V a cell. Source: IEEE 485 (*from memory*).
const END_SHARE: f64 = 0.875;

/// Output of a supply on float, of nominal: 13.6 V of 12 V (*common practice*).
const OUTPUT_SHARE: f64 = 13.6 / 12.0;

/// Least voltage of a lock that states none, of nominal (*common practice*, rated voltage ±10 %).
const LEAST_SHARE: f64 = 0.9;

/// Resistance of one core of a hinge or door loop (*common practice*, about one metre of 28 AWG).
const TRANSFER_OHM: f64 = 0.2;

/// Cables of a catalogue under a policy, with choices remembered by situation.
#[derive(Debug)]
pub(crate) struct Cables<'a> {
    catalogue: &'a Catalogue,
    families: Vec<String>,
    temperature: Celsius,
    /// Rate of an hour of pulling cable.
    hour: Money,
    /// Price of the surge protectors at one end of a cable.
    protection: BTreeMap<CableUse, Money>,
    known: BTreeMap<Situation, Vec<Candidate<'a>>>,
    /// Cables of the right use and family that lack a figure: device and figure.
    pub(super) lacking: BTreeSet<(DeviceId, &'static str)>,
}

/// Purpose, cores, and whether the cable lies outdoors.
type Situation = (CableUse, usize, bool);

/// A cable that suits a situation.
#[derive(Debug, Clone, Copy)]
pub(super) struct Candidate<'a> {
    pub(super) device: &'a Device,
    pub(super) cores: usize,
    /// Price of a metre.
    pub(super) price: Money,
    /// Labour of a metre.
    pub(super) labour: Money,
    /// Longest run; the largest number where none is stated.
    pub(super) longest: u64,
    /// Resistance of a core at conductor temperature; `None` where the catalogue does not tell.
    ohms_per_metre: Option<f64>,
}

impl Candidate<'_> {
    /// Price and labour of a metre.
    pub(super) fn metre(&self) -> Money {
        self.price + self.labour
    }
}

impl<'a> Cables<'a> {
    pub(crate) fn new(catalogue: &'a Catalogue, settings: &Settings) -> Self {
        Self {
            catalogue,
            families: settings.cable_families.clone(),
            temperature: settings.conductor_temperature_c,
            hour: catalogue.fitter().and_then(|grade| grade.rate_per_hour).unwrap_or_default(),
            protection: CableUse::ALL.iter().map(|row| (row.1, surge::price(catalogue, row.1))).collect(),
            known: BTreeMap::new(),
            lacking: BTreeSet::new(),
        }
    }

    /// The cheapest cable for a need over this length; ties go to fewer cores, then to the earlier model.
    pub(super) fn cheapest(&mut self, need: &CableNeed, outdoors: bool, length: u64) -> Option<Candidate<'a>> {
        self.suiting(need, outdoors).iter().find(|candidate| candidate.longest >= length).copied()
    }

    /// The cable a need is likely to get over this length, and how many of them: for a lock one thick enough for the loop
    /// resistance it bears, conductors in parallel where one is not enough; the stoutest where none is.
    ///
    /// Outdoors a cable for indoors stands in where the catalogue has no other; the schedule tells of it.
    pub(super) fn likely(
        &mut self,
        need: &CableNeed,
        outdoors: bool,
        length: u64,
        loop_ohm: Option<f64>,
    ) -> Option<(Candidate<'a>, u32)> {
        let fits = |candidate: &&Candidate<'a>| candidate.longest >= length;
        let outdoors = outdoors && self.suiting(need, true).iter().any(|candidate| fits(&candidate));
        let candidates = self.suiting(need, outdoors);
        let Some(bears) = loop_ohm.filter(|_| need.purpose == CableUse::Lock) else {
            return candidates.iter().find(fits).map(|candidate| (*candidate, 1));
        };
        let metres = length as f64 / 1000.0;
        let ohms = |candidate: &Candidate<'_>, parallel: u32| {
            candidate.ohms_per_metre.map_or(f64::INFINITY, |each| 2.0 * metres * each / f64::from(parallel))
        };
        let count = |candidate: &Candidate<'_>, parallel: u32| {
            u32::try_from((need.cores.len() * parallel as usize).div_ceil(candidate.cores.max(1))).unwrap_or(u32::MAX)
        };
        let enough = |parallel: u32| {
            let thick = candidates.iter().filter(|candidate| ohms(candidate, parallel) <= bears);
            thick
                .min_by_key(|candidate| candidate.metre() * count(candidate, parallel))
                .map(|it| (*it, count(it, parallel)))
        };
        let stoutest =
            || candidates.iter().min_by(|a, b| ohms(a, 1).total_cmp(&ohms(b, 1))).map(|it| (*it, count(it, 2)));
        (1..=MOST_PARALLEL).find_map(enough).or_else(stoutest)
    }

    /// The cable laid for a need over this length.
    pub(crate) fn laid(&mut self, need: &CableNeed, outdoors: bool, length: Metres) -> Option<&'a Device> {
        self.cheapest(need, outdoors, length_mm(length)).map(|candidate| candidate.device)
    }

    /// Price of the surge protectors that one end of a cable wants; nothing where none is offered.
    pub(super) fn protection(&self, purpose: CableUse) -> Money {
        self.protection.get(&purpose).copied().unwrap_or_default()
    }

    /// Every cable that may serve a need over this length, cheapest first, with its cores.
    pub(crate) fn serving(&mut self, need: &CableNeed, outdoors: bool, length: Metres) -> Vec<(&'a Device, usize)> {
        let length = length_mm(length);
        let long_enough = self.suiting(need, outdoors).iter().filter(|candidate| candidate.longest >= length);
        long_enough.map(|candidate| (candidate.device, candidate.cores)).collect()
    }

    /// The longest run any suitable cable bears; `None` when no cable suits.
    pub(super) fn longest(&mut self, need: &CableNeed, outdoors: bool) -> Option<u64> {
        self.suiting(need, outdoors).iter().map(|candidate| candidate.longest).max()
    }

    fn suiting(&mut self, need: &CableNeed, outdoors: bool) -> &[Candidate<'a>] {
        let situation = (need.purpose, need.cores.len(), outdoors);
        if !self.known.contains_key(&situation) {
            let found = self.search(situation);
            self.known.insert(situation, found);
        }
        self.known.get(&situation).map_or(&[], Vec::as_slice)
    }

    fn search(&mut self, (purpose, cores, outdoors): Situation) -> Vec<Candidate<'a>> {
        let mut found = Vec::new();
        for device in self.catalogue.offered(DeviceKind::Cable) {
            let cable = &device.cable;
            let allowed =
                self.families.is_empty() || cable.family.as_ref().is_some_and(|family| self.families.contains(family));
            if !allowed || !cable.uses.contains(&purpose) || (outdoors && cable.outdoor != Some(true)) {
                continue;
            }
            let Some(has) = cable.cores else {
                self.lacking.insert((device.id.clone(), "cable.cores"));
                continue;
            };
            let Some(price) = device.price else {
                self.lacking.insert((device.id.clone(), "price"));
                continue;
            };
            if has as usize >= cores {
                let labour = self.hour.amount() * decimal(cable.labour_per_metre.map_or(0.0, Hours::get));
                found.push(Candidate {
                    device,
                    cores: has as usize,
                    price,
                    labour: Money::new(labour),
                    ohms_per_metre: core_resistance(cable, self.temperature).map(|found| found.0.get()),
                    longest: cable.max_length.filter(|_| carries_signal(purpose)).map_or(u64::MAX, length_mm),
                });
            }
        }
        found.sort_by(|a, b| {
            (a.metre(), a.cores).cmp(&(b.metre(), b.cores)).then_with(|| a.device.id.cmp(&b.device.id))
        });
        found
    }
}

/// Loop resistance the lock of an opening bears, as far as it is known before power is planned: with the battery of its
/// nominal voltage at its end, or with the supply at its output where the lock stops before the battery ends.
///
/// **Formula** R = (V - V_least) / I, less two cores of a hinge or door loop of 0.2 Ω each for a lock on the leaf.
/// `None` for an opening without an electric lock, one fed at the opening, or one whose figures are not stated.
pub(super) fn lock_loop(catalogue: &Catalogue, equipped: &Equipped) -> Option<f64> {
    if matches!(equipped.control, ControlNeed::OwnUnit { .. }) {
        return None;
    }
    let fitted = equipped.in_role(Role::Lock)?;
    let lock = catalogue.devices.get(&fitted.device)?;
    let electrical = &lock.electrical;
    let nominal = electrical.nominal?.get();
    let least = electrical.min.map_or(nominal * LEAST_SHARE, Volts::get);
    let currents = [electrical.standby, electrical.active, electrical.inrush].into_iter().flatten();
    let current = currents.map(Amps::get).fold(0.0, f64::max) * f64::from(fitted.count.max(1));
    let at_end = nominal * END_SHARE;
    let start = if at_end > least { at_end } else { nominal * OUTPUT_SHARE };
    let transfer = if lock.lock.on_leaf == Some(true) { 2.0 * TRANSFER_OHM } else { 0.0 };
    let bears = (start - least) / current - transfer;
    bears.is_finite().then_some(bears.max(0.0))
}

/// Whether the longest run of a cable counts: contacts and locks are direct current, which only its resistance limits.
fn carries_signal(purpose: CableUse) -> bool {
    matches!(purpose, CableUse::Reader | CableUse::Network | CableUse::Composite | CableUse::Fibre)
}

/// A measured quantity as a decimal with six places.
fn decimal(value: f64) -> Decimal {
    Decimal::from_f64_retain(value).unwrap_or_default().round_dp(6)
}

/// Whether the cables of an opening lie outdoors at its end. Under a roof they come from inside (*common practice*).
pub(super) fn is_outdoors(opening: &Surveyed) -> bool {
    let outside = [Exposure::Outdoors, Exposure::DirectSun];
    opening.exposure.iter().any(|exposure| outside.contains(exposure))
}
