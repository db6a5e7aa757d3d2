//! Judges a survey without the code that made it: order, completeness, ranges.

use dw_core::Id;
use dw_job::Job;

use super::Survey;
use super::rules::SurveyBroken;
use crate::Cx;

/// Every opening of the job is either surveyed or told about, once, in order; shares are shares.
pub fn verify(cx: &mut Cx<'_>, job: &Job, survey: &Survey) {
    let mut broken = Vec::new();
    if survey.openings.windows(2).any(|pair| pair[0].mark >= pair[1].mark) {
        broken.push("openings are not in the order of their marks".to_owned());
    }
    for opening in &job.openings {
        let told = || cx.sink.findings.iter().any(|finding| finding.place.id == opening.mark.text());
        if survey.opening(&opening.mark).is_none() && !told() {
            broken.push(format!("opening {} is missing without a finding", opening.mark));
        }
    }
    for opening in &survey.openings {
        let users = &opening.users;
        let shares = [users.soiled_share, users.gloves_share, users.chemicals_share, users.over_sixty_share];
        if shares.iter().any(|share| !(0.0..=1.0).contains(share)) || users.planned < users.today.min(users.planned) {
            broken.push(format!("people of opening {} are out of range", opening.mark));
        }
    }
    for what in broken {
        cx.sink.report(&SurveyBroken { what });
    }
}
