//! Judges the cable schedule: needs, cores, purchases, fills.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{CableWayId, DeviceId, Place};
use dw_job::Job;
use dw_job::model::CableWay;

use crate::Cx;
use crate::equip::{Equipment, Equipped};
use crate::route::rules::ScheduleBroken;
use crate::route::{CablePurchase, CableRun, CableSchedule, Routes};

/// Raises `RTE-902` for everything that does not add up.
pub(super) fn verify(cx: &mut Cx<'_>, job: &Job, equipment: &Equipment, routes: &Routes, schedule: &CableSchedule) {
    let mut problems: Vec<(Place, String)> = Vec::new();
    let mut by_opening: BTreeMap<&dw_core::OpeningId, Vec<&CableRun>> = BTreeMap::new();
    let mut labels = BTreeSet::new();
    for run in &schedule.runs {
        by_opening.entry(&run.mark).or_default().push(run);
        let place = || Place::of(&run.mark);
        if !labels.insert(&run.label) {
            problems.push((place(), format!("label {} is given twice", run.label)));
        }
        let Some(device) = run.device.as_ref().filter(|_| !run.existing) else { continue };
        let has = cx.device(device).and_then(|device| device.cable.cores).unwrap_or(0);
        if run.cores.len() != has as usize {
            problems.push((place(), format!("{}: {} cores allocated, {has} in {device}", run.label, run.cores.len())));
        }
        if !run.local
            && routes.of(&run.mark).is_none_or(|routed| routed.length_m != run.length_m || routed.room != run.room)
        {
            problems.push((place(), format!("{}: {:.3} long, unlike its route", run.label, run.length_m)));
        }
    }
    for routed in &routes.openings {
        let runs = by_opening.get(&routed.mark).map_or(&[][..], Vec::as_slice);
        if let Some(equipped) = equipment.opening(&routed.mark) {
            problems.extend(uncovered(equipped, runs).map(|problem| (Place::of(&routed.mark), problem)));
        }
    }
    problems.extend(purchases(schedule));
    problems.extend(fills(cx, job, routes, schedule));
    for (place, problem) in problems {
        cx.sink.report(&ScheduleBroken { place, problem });
    }
}

/// Needs of an opening that its cables do not cover.
fn uncovered<'e>(equipped: &'e Equipped, runs: &'e [&CableRun]) -> impl Iterator<Item = String> + 'e {
    equipped.cables.iter().filter_map(|need| {
        let mut has: Vec<&String> =
            runs.iter().filter(|run| run.purpose == need.purpose).flat_map(|run| &run.cores).collect();
        let lacking = need.cores.iter().find(|core| match has.iter().position(|has| has == core) {
            Some(at) => {
                has.swap_remove(at);
                false
            }
            None => true,
        })?;
        Some(format!("no {} cable has a core for \"{lacking}\"", need.purpose))
    })
}

fn purchases(schedule: &CableSchedule) -> Vec<(Place, String)> {
    let mut cut: BTreeMap<&DeviceId, f64> = BTreeMap::new();
    for run in schedule.runs.iter().filter(|run| !run.existing) {
        if let Some(device) = &run.device {
            *cut.entry(device).or_default() += run.length_m.get();
        }
    }
    let mut problems = Vec::new();
    for purchase in &schedule.purchases {
        let cut = cut.remove(&purchase.device).unwrap_or(0.0);
        let place = || Place::of(&purchase.device);
        if (cut - purchase.cut_m.get()).abs() > 0.001 * (1.0 + schedule.runs.len() as f64) {
            problems.push((place(), format!("{:.3} cut by purchase, {cut:.3} m by runs", purchase.cut_m)));
        }
        problems.extend(reels(schedule, purchase).map(|problem| (place(), problem)));
        if purchase.least_bought_m > purchase.bought_m || purchase.least_cost > purchase.cost {
            problems.push((place(), "bought for less than the bound".to_owned()));
        }
        if purchase.bought_m < purchase.cut_m {
            problems.push((place(), format!("{:.1} bought, {:.1} cut", purchase.bought_m, purchase.cut_m)));
        }
    }
    problems.extend(cut.into_iter().map(|(device, cut)| (Place::of(device), format!("{cut:.1} m cut, none bought"))));
    problems
}

/// What is wrong with the reels of a purchase: more cut than they hold, a run cut twice, or one not cut that could be.
fn reels<'s>(schedule: &'s CableSchedule, purchase: &'s CablePurchase) -> impl Iterator<Item = String> + 's {
    let mut uncut: BTreeMap<&str, f64> = (schedule.runs.iter())
        .filter(|run| !run.existing && run.device.as_ref() == Some(&purchase.device))
        .map(|run| (run.label.as_str(), run.length_m.get()))
        .collect();
    let mut problems = Vec::new();
    for reel in &purchase.reels {
        let used: f64 = reel.cuts.iter().map(|cut| cut.1.get()).sum();
        if used > reel.length_m.get() + 1e-6 || (used + reel.left_m.get() - reel.length_m.get()).abs() > 1e-6 {
            problems.push(format!("{used:.3} m cut from a reel of {:.1}", reel.length_m));
        }
        for (label, length) in &reel.cuts {
            if uncut.remove(label.as_str()).is_none_or(|run| (run - length.get()).abs() > 1e-6) {
                problems.push(format!("{label} is cut from a reel and is no such run"));
            }
        }
    }
    let longest = purchase.reels.iter().map(|reel| reel.length_m.get()).fold(0.0, f64::max);
    let lost = uncut.into_iter().filter(move |run| run.1 + 0.1 < longest);
    problems.into_iter().chain(lost.map(|(label, _)| format!("{label} is cut from no reel")))
}

/// Most that lies at one place of a way, of parts with from, to and cross-section: walked from end to end, what leaves at a
/// place before what joins there.
pub(super) fn fullest(parts: &[(f64, f64, f64)]) -> f64 {
    let ends = parts.iter().filter(|part| part.0 < part.1).flat_map(|part| [(part.0, part.2), (part.1, -part.2)]);
    let mut changes: Vec<(f64, f64)> = ends.collect();
    changes.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let (mut taken, mut most) = (0.0, 0.0);
    for (_, change) in changes {
        taken += change;
        most = f64::max(most, taken);
    }
    most
}

fn fills(cx: &Cx<'_>, job: &Job, routes: &Routes, schedule: &CableSchedule) -> Vec<(Place, String)> {
    let mut parts: BTreeMap<&CableWayId, Vec<(f64, f64, f64)>> = BTreeMap::new();
    for run in schedule.runs.iter().filter(|run| !run.existing && !run.local && run.device.is_some()) {
        let diameter =
            run.device.as_ref().and_then(|id| cx.device(id)?.cable.diameter).map_or(0.0, |it| it.get() * 1e3);
        for part in routes.of(&run.mark).map_or(&[][..], |routed| &routed.ways) {
            let (from, to) = (part.from_m.get(), part.to_m.get());
            let section = std::f64::consts::FRAC_PI_4 * diameter * diameter;
            parts.entry(&part.way).or_default().push((from.min(to), from.max(to), section));
        }
    }
    let mut taken: BTreeMap<&CableWayId, f64> = parts.iter().map(|(way, parts)| (*way, fullest(parts))).collect();
    let ways: BTreeMap<&CableWayId, &CableWay> = job.cable_ways.iter().map(|way| (&way.id, way)).collect();
    let mut problems = Vec::new();
    for fill in &schedule.fills {
        let expected = taken.remove(&fill.way).unwrap_or(0.0);
        if (expected - fill.taken_mm2.get()).abs() > 1e-6 * (1.0 + expected) {
            problems.push((
                Place::of(&fill.way),
                format!("{:.1} taken, cables add up to {expected:.1} mm²", fill.taken_mm2),
            ));
        }
        let way = ways.get(&fill.way);
        let before = way.and_then(|way| way.filled_percent).unwrap_or(0.0) / 100.0;
        let share =
            way.and_then(|way| way.area).filter(|area| area.get() > 0.0).map(|area| expected / area.get() + before);
        if share.is_some() != fill.share.is_some() || share.zip(fill.share).is_some_and(|(a, b)| (a - b).abs() > 1e-6) {
            problems.push((Place::of(&fill.way), format!("{:?} of it taken, the plan says {:?}", share, fill.share)));
        }
    }
    problems.extend(
        taken.into_keys().map(|way| (Place::of(way), "takes cables and is not in the list of fills".to_owned())),
    );
    problems
}
