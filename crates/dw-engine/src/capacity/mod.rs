//! capacity: cards, templates and events at every controller and unit, head-end, licences, credentials.
//!
//! Who is stored where follows from the access rights: a controller holds everybody who may pass one of its openings,
//! each person once. The page `docs/calculations/capacity.md` shows the formulas, `credentials.md` those of card numbers.

mod card_order;
mod credentials;
mod crowd;
mod events;
mod head_end;
mod holders;
mod judge;
mod licences;
mod plan;
pub mod rules;
mod verify;

use dw_job::Job;

pub use licences::licence_mix;
pub use plan::*;
pub use verify::verify;

use crate::Cx;
use crate::equip::{ControlNeed, Equipment};
use crate::place::Placement;
use crate::survey::Survey;

/// Finds out what every holder must store, chooses head-end and licences, and counts the credentials to issue.
///
/// Raises `CAP-001` to `CAP-013`. Growth is in the head counts already ([`crate::survey::Population::planned`]).
pub fn capacity(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
) -> CapacityPlan {
    let members = crowd::Members::of(job, survey);
    let events = events::per_opening(job, survey, equipment);
    let holders = holders::holders(cx, survey, equipment, placement, &members, &events);
    judge::judge(cx, survey, &holders);
    let controlled = equipment.openings.iter().filter(|equipped| equipped.control != ControlNeed::None).count();
    let openings = u32::try_from(controlled).unwrap_or(u32::MAX);
    let everybody = members.everybody();
    let (head_end, head_ends) = head_end::choose(cx, survey, openings, everybody);
    let licences = licences::choose(cx, survey, openings);
    let needs = card_order::needs(job, survey);
    let (credentials, cards) = credentials::count(cx, survey, equipment, &needs);
    let card_order = cards.then(|| card_order::order(cx, job, &needs)).filter(|order| order.quantity > 0);
    CapacityPlan { holders, head_end, head_ends, licences, openings, credentials, card_order }
}

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
