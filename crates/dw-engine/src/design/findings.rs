//! Joins what the passes had to say: places are looked up, duplicates merged, acceptances applied, all in order.

use std::collections::BTreeMap;

use dw_core::{Assumption, Finding, Place, Point, Sink, Working};
use dw_job::model::Acceptance;
use dw_job::{Catalogue, Job};

use super::Accepted;
use super::rules::{AcceptanceIncomplete, AcceptanceUseless};

/// Everything said, settled.
pub(super) struct Said {
    pub(super) findings: Vec<Finding>,
    pub(super) accepted: Vec<Accepted>,
    pub(super) assumptions: Vec<Assumption>,
    pub(super) workings: Vec<Working>,
}

pub(super) fn settle(job: &Job, catalogue: &Catalogue, mut sink: Sink) -> Said {
    let findings = std::mem::take(&mut sink.findings);
    let (mut open, accepted) = apply_acceptances(job, findings, &mut sink);
    open.append(&mut sink.findings);
    let points = points(job);
    let locate = |place: Place| located(job, catalogue, &points, place);
    let open = settle_open(open, locate);
    let located = |assumption: Assumption| Assumption { place: locate(assumption.place), ..assumption };
    let mut assumptions: Vec<Assumption> = sink.assumptions.into_iter().map(located).collect();
    assumptions.sort_by(|a, b| a.place.order(&b.place).then_with(|| a.value.cmp(&b.value)));
    let mut workings = sink.workings;
    workings.sort_by(|a, b| a.figure.cmp(&b.figure));
    Said { findings: open, accepted, assumptions, workings }
}

/// Findings where they were written, in order; acceptances are not applied.
pub(super) fn unaccepted(job: &Job, catalogue: &Catalogue, sink: Sink) -> Vec<Finding> {
    let points = points(job);
    settle_open(sink.findings, |place| located(job, catalogue, &points, place))
}

fn settle_open(mut open: Vec<Finding>, locate: impl Fn(Place) -> Place) -> Vec<Finding> {
    for finding in &mut open {
        finding.place = locate(finding.place.clone());
        finding.related = finding.related.drain(..).map(&locate).collect();
    }
    open.sort_by(Finding::order);
    open.dedup();
    open
}

/// A place with where it was written and where it is on a plan.
fn located(job: &Job, catalogue: &Catalogue, points: &Points<'_>, place: Place) -> Place {
    let mut place = catalogue.places.resolve(job.places.resolve(place));
    place.point = place.point.or_else(|| points.get(&(place.kind.as_str(), place.id.as_str())).cloned());
    place
}

/// Points by kind and id of their object.
type Points<'j> = BTreeMap<(&'static str, &'j str), Point>;

/// Points of openings and rooms on their plans.
fn points(job: &Job) -> Points<'_> {
    let point =
        |storey: &Option<_>, x: Option<_>, y: Option<_>| Some(Point { storey: storey.clone()?, x_m: x?, y_m: y? });
    let openings = job
        .openings
        .iter()
        .filter_map(|o| Some((("opening", dw_core::Id::text(&o.mark)), point(&o.storey, o.x, o.y)?)));
    let rooms =
        job.rooms.iter().filter_map(|r| Some((("room", dw_core::Id::text(&r.id)), point(&r.storey, r.x, r.y)?)));
    openings.chain(rooms).collect()
}

/// Takes accepted findings off the open list. An acceptance needs name, date and reason, and something to accept.
fn apply_acceptances(job: &Job, mut open: Vec<Finding>, sink: &mut Sink) -> (Vec<Finding>, Vec<Accepted>) {
    let mut accepted = Vec::new();
    for (row, acceptance) in job.acceptances.iter().enumerate() {
        let Some((name, date, reason)) = signed(acceptance) else {
            sink.report(&AcceptanceIncomplete { row: row + 1 });
            continue;
        };
        let matches = |finding: &Finding| {
            acceptance.code.as_deref() == Some(finding.code)
                && acceptance.object.as_ref().is_none_or(|object| *object == finding.place.id)
        };
        let (taken, rest): (Vec<Finding>, Vec<Finding>) = open.into_iter().partition(matches);
        open = rest;
        if taken.is_empty() {
            sink.report(&AcceptanceUseless { row: row + 1, code: acceptance.code.clone().unwrap_or_default() });
        }
        accepted.extend(taken.into_iter().map(|finding| Accepted {
            finding,
            name: name.clone(),
            date: date.clone(),
            reason: reason.clone(),
        }));
    }
    (open, accepted)
}

fn signed(acceptance: &Acceptance) -> Option<(String, String, String)> {
    acceptance.code.as_ref()?;
    Some((acceptance.name.clone()?, acceptance.date.clone()?, acceptance.reason.clone()?))
}
