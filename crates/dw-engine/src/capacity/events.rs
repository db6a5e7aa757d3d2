//! Events a day at every opening: the passages of each group, divided between the openings it may pass.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{GroupId, OpeningId, ZoneId};
use dw_job::Job;

use crate::equip::{ControlNeed, Equipment};
use crate::survey::{Survey, Surveyed};

/// Events a passage leaves besides the decision where the leaf is watched: opened, closed (*common practice*).
const EVENTS_OF_WATCHED_LEAF: f64 = 2.0;

/// Events a day at each controlled opening.
///
/// **Formula**: events = (1 + 2 where the leaf is watched) x sum over groups of passages x weight / sum of the weights
/// of all openings that the group may pass; the weight of an opening is its peak flow, and 1 where none is stated.
/// The passages of a group are thus spent once over the whole site, not once at each opening.
///
/// **Units**: passages and events a day. **Assumes** that traffic divides as the peaks do (*common practice*).
pub(super) fn per_opening(job: &Job, survey: &Survey, equipment: &Equipment) -> BTreeMap<OpeningId, f64> {
    let controlled: Vec<&Surveyed> = survey
        .openings
        .iter()
        .filter(|opening| equipment.opening(&opening.mark).is_some_and(|fitted| fitted.control != ControlNeed::None))
        .collect();
    let mut weight_of_zone: BTreeMap<&ZoneId, f64> = BTreeMap::new();
    for opening in &controlled {
        if let Some(zone) = &opening.zone {
            *weight_of_zone.entry(zone).or_default() += weight(opening);
        }
    }
    let mut zones_of_group: BTreeMap<&GroupId, BTreeSet<&ZoneId>> = BTreeMap::new();
    for right in &job.rights {
        if let (Some(zone), Some(group)) = (&right.zone, &right.group) {
            zones_of_group.entry(group).or_default().insert(zone);
        }
    }
    let mut passages_by_weight: BTreeMap<&ZoneId, f64> = BTreeMap::new();
    for (group, zones) in zones_of_group {
        let weights: f64 = zones.iter().filter_map(|zone| weight_of_zone.get(zone)).sum();
        let Some(people) = survey.groups.get(group).filter(|_| weights > 0.0) else { continue };
        for zone in zones {
            *passages_by_weight.entry(zone).or_default() += people.passages_per_day / weights;
        }
    }
    let events = |opening: &Surveyed| {
        let passages = opening.zone.as_ref().and_then(|zone| passages_by_weight.get(zone)).copied().unwrap_or(0.0);
        passages * weight(opening) * (1.0 + if opening.watch_position { EVENTS_OF_WATCHED_LEAF } else { 0.0 })
    };
    controlled.into_iter().map(|opening| (opening.mark.clone(), events(opening))).collect()
}

fn weight(opening: &Surveyed) -> f64 {
    f64::from(opening.peak_flow.max(1))
}
