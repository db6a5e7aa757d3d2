//! Inputs of an opening: what must be wired, what its controller or unit gives, and whether the lock tells its state.
//!
//! Contacts, exit request, what a driven body tells and tampers are wired whatever it takes: an expander adds what a
//! controller lacks. The lock's state is wired where an input is left (*common practice*: the contact tells that the
//! leaf is shut, the lock state only adds that it is held).

use dw_core::{DeviceId, Place};
use dw_job::model::{ExitRequest, OpeningKind};

use super::bench::Bench;
use super::control::inputs_of;
use super::demand::Case;
use super::exclude::Picked;
use super::fit::{Outfit, is_driven};
use super::lock::LockDetail;
use super::plan::Role;
use super::situation::{has_leaf, is_vehicle};
use crate::Cx;

/// A driven body tells passage and fault beside taking its release.
const TOLD_BY_BODY: u32 = 2;

/// Inputs that must be wired.
pub(super) fn needed(case: &Case<'_>, lock: Option<&Picked<'_, LockDetail>>) -> u32 {
    let told = lock.and_then(Picked::device).is_some_and(is_driven);
    let exit = exit_request(case, lock).is_some();
    contacts(case)
        .saturating_add(u32::from(exit))
        .saturating_add(if told { TOLD_BY_BODY } else { 0 })
        .saturating_add(case.surveyed.tampers)
}

/// Door contacts, one for each leaf watched.
pub(super) fn contacts(case: &Case<'_>) -> u32 {
    let kind = case.surveyed.kind;
    match case.surveyed.watch_position && (has_leaf(kind) || is_vehicle(kind)) {
        true if kind == OpeningKind::Pair => 2,
        watched => u32::from(watched),
    }
}

/// The exit request asked for; a lock that holds on a way of escape gets one even when the survey names none.
pub(super) fn exit_request(case: &Case<'_>, lock: Option<&Picked<'_, LockDetail>>) -> Option<ExitRequest> {
    let detail = &lock?.chosen.as_ref()?.detail;
    match case.surveyed.exit_request {
        _ if !has_leaf(case.surveyed.kind) => None,
        ExitRequest::None => detail.holds_escape.then_some(ExitRequest::Sensor),
        asked => Some(asked),
    }
}

/// Inputs an expander must add to the controllers that may serve the opening; a unit takes none.
pub(super) fn beyond(bench: &Bench<'_>, case: &Case<'_>, outfit: &Outfit<'_>, needed: u32) -> Option<u32> {
    let lift = case.surveyed.kind == OpeningKind::LiftCar;
    let controllers = outfit.decides_itself().is_none() && !lift;
    let (_, given) = fewest(bench, outfit).filter(|_| controllers)?;
    needed.checked_sub(given).filter(|more| *more > 0)
}

/// Whether the state of the lock is wired.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) enum LockState {
    /// The lock does not tell it over a pair of its own.
    #[default]
    NotTold,
    Wired,
    /// Every input of this controller or unit is taken.
    LeftOut {
        on: DeviceId,
        inputs: u32,
    },
}

impl LockState {
    /// Decides it once everything else at the opening is chosen.
    pub(super) fn of(bench: &Bench<'_>, outfit: &Outfit<'_>, needed: u32) -> Self {
        let tells = outfit.lock_device().filter(|lock| lock.lock.monitored == Some(true) && !is_driven(lock));
        let (Some(_), Some((on, inputs))) = (tells, fewest(bench, outfit)) else { return Self::NotTold };
        let added = outfit.part(Role::Other).map_or(0, |expander| inputs_of(bench, &expander.id));
        let inputs = inputs.saturating_add(added);
        if inputs > needed { Self::Wired } else { Self::LeftOut { on, inputs } }
    }

    /// Says that a lock which could tell its state is not asked.
    pub(super) fn say(&self, cx: &mut Cx<'_>, case: &Case<'_>) {
        if let Self::LeftOut { on, inputs } = self {
            let place = Place::of(&case.surveyed.mark).field("monitoring");
            let because = format!("{on} gives {inputs} inputs here and all are taken by what must be wired");
            cx.sink.assume(place, "the state of the lock is not wired", &because);
        }
    }
}

/// The controller or unit with fewest inputs among those that may serve the opening, and how many it gives.
fn fewest(bench: &Bench<'_>, outfit: &Outfit<'_>) -> Option<(DeviceId, u32)> {
    let unit = outfit.decides_itself().map(|unit| &unit.id);
    let serving = unit.into_iter().chain(&outfit.reading.models);
    serving.map(|id| (id.clone(), inputs_of(bench, id))).min_by_key(|row| row.1)
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    const TOLD: (&str, &str) = ("escape", "\"none\"");

    fn cores(outcome: &Outcome) -> Vec<String> {
        outcome.equipment.openings[0].cables.iter().flat_map(|cable| cable.cores.clone()).collect()
    }

    #[test]
    fn the_state_of_a_lock_is_wired_while_an_input_is_left() {
        let at = |tampers| pinned(&[TOLD, ("monitoring.tampers", tampers)], "lock = \"STRIKE-TELLS\"");
        let fits = at("1");
        assert!(cores(&fits).contains(&"lock state a".to_owned()), "four inputs: contact, request, tamper, lock state");
        let full = at("2");
        assert!(!cores(&full).contains(&"lock state a".to_owned()));
        assert!(full.assumptions.iter().any(|one| one.value == "the state of the lock is not wired"));
        assert_eq!(full.device(Role::Other), "nothing", "exactly the four inputs");
        let expanded = at("3");
        assert_eq!(expanded.device(Role::Other), "MORE-INPUTS");
        assert!(cores(&expanded).contains(&"lock state a".to_owned()), "the expander has room");
    }

    #[test]
    fn both_contacts_of_a_pair_are_counted() {
        let at = |tampers| door(&[TOLD, ("kind", "\"pair\""), ("monitoring.tampers", tampers)]);
        assert_eq!(at("1").device(Role::Other), "nothing", "two contacts, request, tamper");
        assert_eq!(at("2").device(Role::Other), "MORE-INPUTS");
    }

    #[test]
    fn a_controller_that_serves_other_openings_only_does_not_hide_that_inputs_are_short() {
        let outcome = door(&[("monitoring.tampers", "3")]);
        assert!(!outcome.has("EQP-001"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::Other), "MORE-INPUTS");
    }

    #[test]
    fn more_inputs_than_any_expander_has_are_told_as_inputs() {
        let outcome = door(&[("monitoring.tampers", "1000000")]);
        assert!(outcome.the("EQP-001").headline.contains("the number of inputs"), "{:?}", outcome.findings);
    }
}
