//! People by group, and the people who use an opening.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{GroupId, Place, ZoneId};
use dw_job::Job;
use dw_job::model::Group;

use super::taken::Taken;
use super::{Population, Settings};

/// Fingers enrolled for each person where the job does not say (*common practice*: one of each hand).
const FINGERS_EACH: u32 = 2;
/// Passages a day and person where the job does not say (*common practice*: in, out, and twice between).
const PASSAGES_EACH: f64 = 4.0;

/// People of every group, with growth.
pub(super) fn populations(job: &Job, settings: &Settings, taken: &mut Taken) -> BTreeMap<GroupId, Population> {
    job.groups.iter().map(|group| (group.id.clone(), population(group, settings, taken))).collect()
}

fn population(group: &Group, settings: &Settings, taken: &mut Taken) -> Population {
    let share = |percent: Option<f64>| (percent.unwrap_or(0.0) / 100.0).min(1.0);
    let place = |field: &str| Place::of(&group.id).field(field);
    if group.head_count.is_none() {
        taken.note(place("head_count"), "0".to_owned(), "the survey counts nobody in this group");
    }
    let today = group.head_count.unwrap_or(0);
    let growth = group.growth_percent.map_or(settings.growth_share, |percent| percent / 100.0);
    let planned = whole_people(f64::from(today) * (1.0 + growth));
    let passages = group.passages_per_day.unwrap_or_else(|| {
        taken.note(
            place("passages_per_day"),
            format!("{PASSAGES_EACH}"),
            "common practice: in, out, and twice between",
        );
        PASSAGES_EACH
    });
    Population {
        today,
        planned,
        soiled_share: share(group.soiled_percent),
        gloves_share: share(group.gloves_percent),
        chemicals_share: share(group.chemicals_percent),
        over_sixty_share: share(group.over_sixty_percent),
        vehicles: whole_people(f64::from(group.vehicles.unwrap_or(0)) * (1.0 + growth)),
        passages_per_day: f64::from(today) * passages,
        finger_templates: planned.saturating_mul(group.fingers.unwrap_or(FINGERS_EACH)),
    }
}

/// Whole people, rounded up; what is only the rounding error of a product (110.00000000000001) is no further person.
fn whole_people(people: f64) -> u32 {
    (people - 1e-6).ceil().clamp(0.0, 1e8) as u32
}

/// People with a right to each zone.
pub(super) fn by_zone(job: &Job, groups: &BTreeMap<GroupId, Population>) -> BTreeMap<ZoneId, Population> {
    let mut members: BTreeMap<&ZoneId, BTreeSet<&GroupId>> = BTreeMap::new();
    for right in &job.rights {
        if let (Some(group), Some(zone)) = (&right.group, &right.zone) {
            members.entry(zone).or_default().insert(group);
        }
    }
    let total = |groups_in: BTreeSet<&GroupId>| together(groups_in.into_iter().filter_map(|id| groups.get(id)));
    members.into_iter().map(|(zone, groups_in)| (zone.clone(), total(groups_in))).collect()
}

/// Several groups as one; shares are weighted by today's head count.
pub(super) fn together<'a>(parts: impl Iterator<Item = &'a Population>) -> Population {
    let mut sum = Population::default();
    for part in parts {
        let (before, added) = (f64::from(sum.today), f64::from(part.today));
        let mix =
            |a: f64, b: f64| if before + added > 0.0 { (a * before + b * added) / (before + added) } else { a.max(b) };
        sum.soiled_share = mix(sum.soiled_share, part.soiled_share);
        sum.gloves_share = mix(sum.gloves_share, part.gloves_share);
        sum.chemicals_share = mix(sum.chemicals_share, part.chemicals_share);
        sum.over_sixty_share = mix(sum.over_sixty_share, part.over_sixty_share);
        sum.today = sum.today.saturating_add(part.today);
        sum.planned = sum.planned.saturating_add(part.planned);
        sum.vehicles = sum.vehicles.saturating_add(part.vehicles);
        sum.passages_per_day += part.passages_per_day;
        sum.finger_templates = sum.finger_templates.saturating_add(part.finger_templates);
    }
    sum
}
