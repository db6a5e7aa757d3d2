//! A quick look at a job after a small edit: where openings would be served from, before the design itself is made anew.

use dw_core::{Currency, Finding, Sink};
use dw_job::{Catalogue, Job, Profile};

use super::findings;
use crate::place::{Placement, Previous};
use crate::{Cx, equip, place, route, survey};

/// A plan made in little time from an earlier one. It is no design: papers cannot be made of it.
#[derive(Clone, Debug)]
pub struct Preview {
    /// Controllers in rooms and who serves which opening. Its bound is proven, like that of a design.
    pub placement: Placement,
    /// Currency of its cost.
    pub currency: Currency,
    /// What reading, survey, equipment and placement found, whether or not somebody accepted it.
    pub findings: Vec<Finding>,
}

/// Places the openings of a job in little time, beginning from the rooms and arrangements of an earlier plan.
///
/// Only what placement needs is done: survey, equipment, lengths. The result depends on nothing but its arguments; the
/// earlier plan is one of them, so that two different ones may give two different previews. The design of the same job
/// replaces it.
///
/// **Assumes** that the earlier plan is that of nearly the same job; from another one, or from none, the preview is a
/// plan all the same, at a larger gap.
pub fn preview(job: &Job, catalogue: &Catalogue, profile: &Profile, read: Sink, previous: &Previous) -> Preview {
    let offered = catalogue.refusing(&job.policy.refused_devices);
    let mut cx = Cx::new(&offered, profile);
    let survey = survey::survey(&mut cx, job);
    let equipping = equip::equip(&cx, job, &survey);
    let arrangements = &equipping.arrangements;
    let reach = route::reach(&mut cx, job, &survey, arrangements);
    let placement = place::preview(&mut cx, job, &survey, arrangements, &reach, previous);
    let equipment = equipping.settle(&mut cx, job, &survey, &placement.ways());
    place::verify(&mut cx, job, &survey, &equipment, &placement);
    let mut sink = read;
    sink.append(cx.sink);
    let currency = survey.settings.money.currency;
    Preview { placement, currency, findings: findings::unaccepted(job, catalogue, sink) }
}
