//! equip: chooses the devices of every opening, with reasons.
//!
//! Hard exclusions first, each with both figures; then the least whole-life cost among what is left, ties broken by
//! device id; runner-up and exclusions are kept. Openings in the same situation share one choice. Method, worked
//! example and sources: `docs/calculations/equip.md`.

mod action;
mod bench;
mod body;
mod cables;
mod control;
mod demand;
mod door_devices;
mod exclude;
mod fit;
mod flow;
mod inputs;
mod job_notes;
mod lanes;
mod lock;
mod memo;
mod plan;
mod reader;
mod register;
mod report;
pub mod rules;
mod situation;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
mod verify;
mod whole_life;
mod workings;

use dw_job::Job;

pub use plan::*;
pub use verify::verify;

use crate::Cx;
use crate::survey::Survey;
use bench::Bench;
use fit::Fitter;
use register::Register;

/// Chooses reader, lock, control and the smaller devices of every opening surveyed.
///
/// **Shape**: one entry for each opening of the survey, in the order of marks. Where nothing fits, the part is missing
/// from the devices, its choice holds every exclusion, and a finding says what binds.
pub fn equip(cx: &mut Cx<'_>, job: &Job, survey: &Survey) -> Equipment {
    let bench = Bench::new(cx.catalogue, &survey.settings, &job.policy.refused_devices);
    let register = Register::new(cx.catalogue, job, survey);
    let mut fitter = Fitter::new(&bench, &register, &survey.settings);
    let mut openings: Vec<Equipped> = survey.openings.iter().map(|surveyed| fitter.fit(cx, surveyed)).collect();
    lanes::share_bodies(cx, &register, &mut openings);
    job_notes::report(cx, job, &openings);
    Equipment { openings }
}
