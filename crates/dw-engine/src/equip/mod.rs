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
mod reading;
mod register;
mod report;
pub mod rules;
mod settle;
mod situation;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
mod verify;
mod whole_life;
mod workings;

use dw_job::Job;

pub(crate) use cables::shared_interface;
pub use plan::*;
pub use settle::Equipping;
pub use verify::verify;
pub(crate) use whole_life::Costs;

use crate::Cx;
use crate::survey::Survey;

/// Finds every way to arrange reader, lock, control and the smaller devices of every opening surveyed.
///
/// The usual arrangement compares least by the estimates of this pass. Others that stand up to the same demands no worse go
/// beside it with their own cost, so that placement, which knows rooms and lengths, has the choice; then
/// [`Equipping::settle`] gives the equipment.
///
/// **Shape**: at least one arrangement for each opening of the survey, in the order of marks. Where nothing fits, the part
/// is missing from the devices, its choice holds every exclusion, and a finding says what binds.
pub fn equip<'a>(cx: &Cx<'a>, job: &Job, survey: &Survey) -> Equipping<'a> {
    Equipping::new(cx, job, survey)
}
