//! Who must be stored at a holder: the union of the groups with a right behind any of its openings.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{GroupId, ZoneId};
use dw_job::Job;

use crate::survey::{Population, Survey, Surveyed};

/// Groups by the zones they have a right to.
pub(super) struct Members<'a> {
    groups: &'a BTreeMap<GroupId, Population>,
    by_zone: BTreeMap<&'a ZoneId, BTreeSet<&'a GroupId>>,
}

/// What people behind some openings bring: one record, some templates, their vehicles.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Crowd {
    /// People with growth.
    pub(super) people: u32,
    /// Finger templates, and vein templates, of all of them.
    pub(super) fingers: u32,
    /// Vehicles.
    pub(super) vehicles: u32,
}

impl Crowd {
    fn of(population: &Population) -> Self {
        Self { people: population.planned, fingers: population.finger_templates, vehicles: population.vehicles }
    }

    fn plus(self, other: Self) -> Self {
        self.each(other, u32::saturating_add)
    }

    fn each(self, other: Self, pick: impl Fn(u32, u32) -> u32) -> Self {
        Self {
            people: pick(self.people, other.people),
            fingers: pick(self.fingers, other.fingers),
            vehicles: pick(self.vehicles, other.vehicles),
        }
    }
}

impl<'a> Members<'a> {
    pub(super) fn of(job: &'a Job, survey: &'a Survey) -> Self {
        let mut by_zone: BTreeMap<_, BTreeSet<_>> = BTreeMap::new();
        for right in &job.rights {
            if let (Some(zone), Some(group)) = (&right.zone, &right.group) {
                by_zone.entry(zone).or_default().insert(group);
            }
        }
        Self { groups: &survey.groups, by_zone }
    }

    /// Everybody on site.
    pub(super) fn everybody(&self) -> u32 {
        self.groups.values().fold(0, |sum, group| sum.saturating_add(group.planned))
    }

    /// Everybody who may pass one of these openings, each person once.
    ///
    /// The union is exact where rights name the groups. It is never less than the largest number of users the survey
    /// counts at one of the openings, nor more than the sum over all of them, whatever the rights say.
    pub(super) fn behind(&self, openings: &[&Surveyed]) -> Crowd {
        let zones = openings.iter().filter_map(|opening| opening.zone.as_ref());
        let groups: BTreeSet<&GroupId> = zones.filter_map(|zone| self.by_zone.get(zone)).flatten().copied().collect();
        let known = groups.into_iter().filter_map(|id| self.groups.get(id)).map(Crowd::of);
        let union = known.fold(Crowd::default(), Crowd::plus);
        let users = || openings.iter().map(|opening| Crowd::of(&opening.users));
        let largest = users().fold(Crowd::default(), |largest, crowd| largest.each(crowd, u32::max));
        let sum = users().fold(Crowd::default(), Crowd::plus);
        union.each(largest, u32::max).each(sum, u32::min)
    }
}
