//! Openings with every value resolved.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{GroupId, Id, Metres, Minutes, OpeningId, SpaceId, StoreyId, ZoneId};
use dw_job::Job;
use dw_job::model::{
    EscapeDuty, ExitRequest, Exposure, InsideHandle, Opening, OpeningKind, ReaderPlace, Status, WorkKind,
};

use super::rules::{
    DutyBlank, EscapeDutyMissing, NobodyMayEnter, OccupantLoadMissing, OpeningIncomplete, SameSpaceBothSides,
};
use super::taken::Taken;
use super::{DutySplit, Population, Settings, Surveyed, duties, people};
use crate::Cx;

/// Protection level of a space without a zone (*common practice*: ordinary staff area).
const USUAL_LEVEL: u32 = 1;

/// What the whole site says about single openings.
struct Site<'a> {
    job: &'a Job,
    settings: &'a Settings,
    zone_of_space: BTreeMap<&'a SpaceId, &'a ZoneId>,
    level_of_zone: BTreeMap<&'a ZoneId, u32>,
    users_of_zone: BTreeMap<ZoneId, Population>,
    open_questions: BTreeSet<&'a OpeningId>,
    middle_of_storey: BTreeMap<&'a StoreyId, (Metres, Metres)>,
}

/// Resolves every opening, in the order of marks.
pub(super) fn openings(
    cx: &mut Cx<'_>,
    job: &Job,
    settings: &Settings,
    groups: &BTreeMap<GroupId, Population>,
    taken: &mut Taken,
) -> Vec<Surveyed> {
    let site = Site {
        job,
        settings,
        zone_of_space: job.spaces.iter().filter_map(|space| Some((&space.id, space.zone.as_ref()?))).collect(),
        level_of_zone: job.zones.iter().filter_map(|zone| Some((&zone.id, zone.level?.min(4)))).collect(),
        users_of_zone: people::by_zone(job, groups),
        open_questions: job
            .questions
            .iter()
            .filter(|question| question.is_open())
            .filter_map(|q| q.opening.as_ref())
            .collect(),
        middle_of_storey: middles(job),
    };
    let mut sorted: Vec<&Opening> = job.openings.iter().collect();
    sorted.sort_by(|a, b| a.mark.cmp(&b.mark));
    sorted.into_iter().filter_map(|opening| surveyed(cx, &site, opening, taken)).collect()
}

/// The middle of the openings of each storey, for one whose place the survey does not give.
fn middles(job: &Job) -> BTreeMap<&StoreyId, (Metres, Metres)> {
    let mut sums: BTreeMap<&StoreyId, (f64, f64, f64)> = BTreeMap::new();
    for opening in &job.openings {
        if let (Some(storey), Some(x), Some(y)) = (&opening.storey, opening.x, opening.y) {
            let sum = sums.entry(storey).or_default();
            *sum = (sum.0 + x.get(), sum.1 + y.get(), sum.2 + 1.0);
        }
    }
    sums.into_iter().map(|(storey, (x, y, n))| (storey, (Metres::new(x / n), Metres::new(y / n)))).collect()
}

fn surveyed(cx: &mut Cx<'_>, site: &Site<'_>, opening: &Opening, taken: &mut Taken) -> Option<Surveyed> {
    let mark = &opening.mark;
    let (kind, storey, (x_m, y_m)) = identity(cx, site, opening)?;
    let ordinary = is_door(kind);
    let (zone, to_level) = side(site, opening.to.as_ref());
    let (_, from_level) = side(site, opening.from.as_ref());
    if zone.is_none() {
        taken.opening(mark, "to", format!("protection level {USUAL_LEVEL}"), "the space entered belongs to no zone");
    }
    if opening.from.is_some() && opening.from == opening.to {
        cx.sink.report(&SameSpaceBothSides {
            opening: mark.clone(),
            space: opening.to.clone().unwrap_or_else(|| SpaceId::new("")),
        });
    }
    let escape = opening.escape.unwrap_or_else(|| {
        if ordinary {
            cx.sink.report(&EscapeDutyMissing { opening: mark.clone() });
        }
        if ordinary { EscapeDuty::Route } else { EscapeDuty::None }
    });
    if escape == EscapeDuty::Exit && opening.occupant_load.is_none() {
        cx.sink.report(&OccupantLoadMissing { opening: mark.clone() });
    }
    let fire_release = opening.fire_release.unwrap_or(escape != EscapeDuty::None);
    let users = zone.and_then(|zone| site.users_of_zone.get(zone)).cloned().unwrap_or_default();
    if let Some(zone) = zone.filter(|_| to_level > 0 && users.today == 0) {
        cx.sink.report(&NobodyMayEnter { opening: mark.clone(), zone: zone.clone() });
    }
    let duties = duties::split(opening, kind, fire_release, &site.job.policy.works);
    report_blanks(cx, mark, &duties);
    let status = opening.status.unwrap_or(Status::Surveyed);
    let proof = &opening.proof;
    let monitoring = &opening.monitoring;
    Some(Surveyed {
        mark: mark.clone(),
        name: opening.name.clone().unwrap_or_else(|| mark.text().to_owned()),
        kind,
        storey,
        x_m,
        y_m,
        handing: opening.door.handing,
        work: take(taken, mark, opening.work, "work", WorkKind::New, "no sort of work is given"),
        out_of_hours: opening.out_of_hours.unwrap_or(false),
        status,
        orderable: status >= Status::Approved && !site.open_questions.contains(mark),
        zone: zone.cloned(),
        from_level,
        to_level,
        factors_in: proof.factors_in.unwrap_or(site.settings.factors_by_level[to_level as usize]).min(4),
        factors_out: proof.factors_out.unwrap_or(0).min(4),
        demanded: proof.demanded.clone(),
        refused: proof.refused.clone(),
        exposure: exposure(taken, opening),
        reader_place: reader_place(taken, opening, kind),
        reader_width_m: proof.width,
        picture: proof.picture.unwrap_or(false),
        fire_rating_min: opening.door.fire_rating.unwrap_or_else(|| {
            if ordinary {
                taken.opening(mark, "door.fire_rating", "none".to_owned(), "no fire rating is given");
            }
            Minutes::ZERO
        }),
        escape,
        occupant_load: opening.occupant_load.unwrap_or(0),
        fire_release,
        fail_mode: opening.fail_mode,
        exit_request: exit_request(taken, opening, kind),
        watch_position: monitoring.position.unwrap_or(ordinary),
        four_state: monitoring.four_state.unwrap_or(to_level >= 3),
        tampers: monitoring.tampers.unwrap_or(0),
        sounder: monitoring.sounder.unwrap_or(false),
        users,
        peak_flow: opening.peak_flow.unwrap_or(0),
        duties,
    })
}

/// Kind, storey and place; an opening without a storey anywhere near cannot be designed.
fn identity(cx: &mut Cx<'_>, site: &Site<'_>, opening: &Opening) -> Option<(OpeningKind, StoreyId, (Metres, Metres))> {
    let mut missing = Vec::new();
    if opening.kind.is_none() {
        missing.push("kind (single door taken)");
    }
    let storey = opening.storey.clone().or_else(|| {
        missing.push("storey (the first one taken)");
        site.job.storeys.first().map(|storey| storey.id.clone())
    });
    let place = opening.x.zip(opening.y).or_else(|| {
        missing.push("x and y (the middle of its storey's openings taken)");
        Some(
            storey
                .as_ref()
                .and_then(|id| site.middle_of_storey.get(id))
                .copied()
                .unwrap_or((Metres::ZERO, Metres::ZERO)),
        )
    });
    if !missing.is_empty() {
        cx.sink.report(&OpeningIncomplete {
            opening: opening.mark.clone(),
            missing: missing.join(", "),
            left_out: storey.is_none(),
        });
    }
    Some((opening.kind.unwrap_or(OpeningKind::Single), storey?, place?))
}

/// Whether people pass through a leaf that closes behind them.
pub(crate) fn is_door(kind: OpeningKind) -> bool {
    use OpeningKind as K;
    matches!(kind, K::Single | K::Pair | K::Sliding | K::Revolving | K::Gate | K::Hatch)
}

fn side<'a>(site: &Site<'a>, space: Option<&'a SpaceId>) -> (Option<&'a ZoneId>, u32) {
    let zone = space.and_then(|space| site.zone_of_space.get(space)).copied();
    (zone, zone.and_then(|zone| site.level_of_zone.get(zone)).copied().unwrap_or(USUAL_LEVEL))
}

fn report_blanks(cx: &mut Cx<'_>, mark: &OpeningId, duties: &[DutySplit]) {
    let blanks = duties::blanks(duties);
    if !blanks.is_empty() {
        cx.sink.report(&DutyBlank { opening: mark.clone(), blanks });
    }
}

fn take<T: Copy + std::fmt::Display>(
    taken: &mut Taken,
    mark: &OpeningId,
    given: Option<T>,
    field: &'static str,
    usual: T,
    because: &'static str,
) -> T {
    given.unwrap_or_else(|| {
        taken.opening(mark, field, usual.to_string(), because);
        usual
    })
}

fn exposure(taken: &mut Taken, opening: &Opening) -> Vec<Exposure> {
    if opening.exposure.is_empty() {
        taken.opening(&opening.mark, "exposure", "indoors".to_owned(), "no exposure is given");
        return vec![Exposure::Indoors];
    }
    let mut exposure = opening.exposure.clone();
    exposure.sort_unstable();
    exposure.dedup();
    exposure
}

fn reader_place(taken: &mut Taken, opening: &Opening, kind: OpeningKind) -> ReaderPlace {
    use OpeningKind as K;
    let usual = match kind {
        K::VehicleBarrier | K::VehicleGate => ReaderPlace::Post,
        K::TurnstileLane | K::WideLane | K::LiftCar => ReaderPlace::BuiltIn,
        _ => ReaderPlace::WallBox,
    };
    take(taken, &opening.mark, opening.proof.place, "proof.place", usual, "usual for this kind of opening")
}

fn exit_request(taken: &mut Taken, opening: &Opening, kind: OpeningKind) -> ExitRequest {
    let usual = match (is_door(kind), opening.door.inside_handle) {
        (true, Some(InsideHandle::Free | InsideHandle::PushBar)) => ExitRequest::HandleSwitch,
        (true, _) => ExitRequest::Sensor,
        (false, _) => ExitRequest::None,
    };
    take(taken, &opening.mark, opening.exit_request, "exit_request", usual, "usual for this kind of opening and handle")
}
