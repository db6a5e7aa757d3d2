//! Which cable serves a need: the cheapest of the catalogue with cores enough, allowed, long enough, fit for outdoors.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, Hours, Metres, Money};
use dw_job::Catalogue;
use dw_job::catalogue::{CableUse, Device, DeviceKind, TaskBasis};
use dw_job::model::Exposure;
use rust_decimal::Decimal;

use super::ground::length_mm;
use crate::equip::CableNeed;
use crate::survey::{Settings, Surveyed};

/// Cables of a catalogue under a policy, with choices remembered by situation.
#[derive(Debug)]
pub(crate) struct Cables<'a> {
    catalogue: &'a Catalogue,
    families: Vec<String>,
    /// Rate of an hour of pulling cable.
    pub(super) hour: Money,
    /// Price of the cheapest surge protector; nothing when the catalogue has none.
    pub(super) protector: Money,
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
    /// Price and labour of a metre.
    pub(super) metre: Money,
    /// Longest run; the largest number where none is stated.
    pub(super) longest: u64,
}

impl<'a> Cables<'a> {
    pub(crate) fn new(catalogue: &'a Catalogue, settings: &Settings) -> Self {
        Self {
            catalogue,
            families: settings.cable_families.clone(),
            hour: fitting_rate(catalogue),
            protector: cheapest_protector(catalogue),
            known: BTreeMap::new(),
            lacking: BTreeSet::new(),
        }
    }

    /// The cheapest cable for a need over this length; ties go to fewer cores, then to the earlier model.
    pub(super) fn cheapest(&mut self, need: &CableNeed, outdoors: bool, length: u64) -> Option<Candidate<'a>> {
        self.suiting(need, outdoors).iter().find(|candidate| candidate.longest >= length).copied()
    }

    /// The cable laid for a need over this length.
    pub(crate) fn laid(&mut self, need: &CableNeed, outdoors: bool, length: Metres) -> Option<&'a Device> {
        self.cheapest(need, outdoors, length_mm(length)).map(|candidate| candidate.device)
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
                    metre: price + Money::new(labour),
                    longest: cable.max_length.filter(|_| carries_signal(purpose)).map_or(u64::MAX, length_mm),
                });
            }
        }
        found.sort_by(|a, b| (a.metre, a.cores).cmp(&(b.metre, b.cores)).then_with(|| a.device.id.cmp(&b.device.id)));
        found
    }
}

/// Whether the longest run of a cable counts: contacts and locks are direct current, which only its resistance limits.
fn carries_signal(purpose: CableUse) -> bool {
    matches!(purpose, CableUse::Reader | CableUse::Network | CableUse::Composite)
}

fn cheapest_protector(catalogue: &Catalogue) -> Money {
    catalogue.offered(DeviceKind::SurgeProtector).filter_map(|device| device.price).min().unwrap_or(Money::ZERO)
}

/// A measured quantity as a decimal with six places.
fn decimal(value: f64) -> Decimal {
    Decimal::from_f64_retain(value).unwrap_or_default().round_dp(6)
}

/// Rate of an hour of fitting: of the grade that works most hours at openings, or else the lowest rate.
///
/// *Common practice*: those who fit openings pull the cable.
fn fitting_rate(catalogue: &Catalogue) -> Money {
    let hours = |grade: &dw_core::GradeId| -> f64 {
        let tasks = catalogue.tasks.iter().filter(|task| task.per == Some(TaskBasis::Opening));
        tasks.filter(|task| task.grade.as_ref() == Some(grade)).filter_map(|task| task.hours).map(Hours::get).sum()
    };
    let rated = catalogue.grades.iter().filter_map(|grade| Some((hours(&grade.id), grade.rate_per_hour?)));
    let best = rated.max_by(|a, b| a.0.total_cmp(&b.0).then_with(|| b.1.cmp(&a.1)));
    best.map_or(Money::ZERO, |best| best.1)
}

/// Whether the cables of an opening lie outdoors at its end. Under a roof they come from inside (*common practice*).
pub(super) fn is_outdoors(opening: &Surveyed) -> bool {
    let outside = [Exposure::Outdoors, Exposure::DirectSun];
    opening.exposure.iter().any(|exposure| outside.contains(exposure))
}
