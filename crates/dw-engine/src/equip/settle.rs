//! From the ways every opening can be arranged to the one chosen for it, with what there is to say about that one.

use std::collections::BTreeMap;

use dw_core::{OpeningId, Place};
use dw_job::Job;
use dw_job::model::{ArrangementKind, ExitRequest};

use super::bench::Bench;
use super::demand::Case;
use super::fit::{Fitter, Outfit};
use super::plan::{Arrangements, Equipment, Equipped, Role};
use super::register::Register;
use super::report::{Reporter, Said};
use super::rules::{ArrangementNotPossible, ExistingCableTooFewCores};
use super::workings::{self, Shown};
use super::{job_notes, lanes};
use crate::Cx;
use crate::survey::{Survey, Surveyed};

/// What the equip pass gives: every way to arrange every opening. Nothing is said of any before one is chosen.
pub struct Equipping<'a> {
    /// The ways, for reach and placement.
    pub arrangements: Arrangements,
    bench: Bench<'a>,
    /// Devices chosen with their reasons, beside each arrangement.
    outfits: Vec<Vec<Outfit<'a>>>,
}

impl<'a> Equipping<'a> {
    /// Finds the ways to arrange every opening.
    pub(super) fn new(cx: &Cx<'a>, job: &Job, survey: &Survey) -> Self {
        let bench = Bench::new(cx.catalogue, &survey.settings, &job.policy.refused_devices);
        let register = Register::new(cx.catalogue, job, survey);
        let mut fitter = Fitter::new(&bench, &register);
        let (mut openings, mut outfits) = (Vec::new(), Vec::new());
        for surveyed in &survey.openings {
            let fitted = fitter.fit(&case(cx, &bench, &register, survey, surveyed));
            let (arrangements, behind): (Vec<_>, Vec<_>) = fitted.into_iter().unzip();
            openings.push(arrangements);
            outfits.push(behind);
        }
        let whole_life = bench.costs.totals();
        Self { arrangements: Arrangements { openings, whole_life }, bench, outfits }
    }

    /// The equipment with one arrangement chosen for each opening, and everything there is to say about it.
    ///
    /// `chosen` gives the number of the arrangement of an opening; where it gives none, or one that there is not, the usual
    /// one counts.
    pub fn settle(
        &self,
        cx: &mut Cx<'_>,
        job: &Job,
        survey: &Survey,
        chosen: &BTreeMap<OpeningId, usize>,
    ) -> Equipment {
        let register = Register::new(cx.catalogue, job, survey);
        let (mut said, mut shown) = (Said::default(), Shown::default());
        let mut openings: Vec<Equipped> = Vec::with_capacity(survey.openings.len());
        for (idx, surveyed) in survey.openings.iter().enumerate() {
            let ways = self.arrangements.openings.get(idx).zip(self.outfits.get(idx));
            let Some((arrangements, outfits)) = ways else { continue };
            let number = chosen.get(&surveyed.mark).copied().filter(|number| *number < arrangements.len()).unwrap_or(0);
            let Some((arrangement, outfit)) = arrangements.get(number).zip(outfits.get(number)) else { continue };
            let case = case(cx, &self.bench, &register, survey, surveyed);
            Reporter { cx, case, outfit, said: &mut said }.report();
            workings::show(cx, &self.bench, &mut shown, &case, outfit);
            say(cx, &case, outfit);
            of_pin(cx, &case, arrangement.kind);
            openings.push(arrangement.equipped.clone());
        }
        lanes::share_bodies(cx, &register, &mut openings);
        job_notes::report(cx, job, &openings);
        Equipment { openings }
    }

    /// The equipment as the estimates of this pass alone would have it.
    pub fn usual(&self, cx: &mut Cx<'_>, job: &Job, survey: &Survey) -> Equipment {
        self.settle(cx, job, survey, &BTreeMap::new())
    }
}

fn case<'c>(
    cx: &Cx<'_>,
    bench: &Bench<'_>,
    register: &'c Register<'c>,
    survey: &'c Survey,
    surveyed: &'c Surveyed,
) -> Case<'c> {
    Case {
        surveyed,
        opening: register.opening(&surveyed.mark),
        pinned: register.pinned(&surveyed.mark),
        settings: &survey.settings,
        panic_load: cx.profile.panic_load,
        flow: bench.rates.class(surveyed.peak_flow),
        kept: register.all_staying(&surveyed.mark),
    }
}

/// What was assumed, and a cable in the wall that does not serve.
fn say(cx: &mut Cx<'_>, case: &Case<'_>, outfit: &Outfit<'_>) {
    let surveyed = case.surveyed;
    if surveyed.exit_request == ExitRequest::None && outfit.part(Role::ExitRequest).is_some() {
        let place = Place::of(&surveyed.mark).field("exit_request");
        cx.sink.assume(place, "sensor", "the lock holds on a way of escape and the survey names no exit request");
    }
    outfit.lock_state.say(cx, case);
    if let Some((has, needs)) = outfit.old_cable_short {
        cx.sink.report(&ExistingCableTooFewCores { opening: surveyed.mark.clone(), has, needs });
    }
}

/// A pinned arrangement that is not the one taken.
fn of_pin(cx: &mut Cx<'_>, case: &Case<'_>, taken: ArrangementKind) {
    if let Some(wanted) = case.pinned.arrangement.filter(|wanted| *wanted != taken) {
        let (opening, row) = (case.surveyed.mark.clone(), case.pinned.rows.arrangement);
        cx.sink.report(&ArrangementNotPossible { opening, wanted, taken, row });
    }
}
