//! How full drawn ways get.

use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::PI;

use dw_core::{CableWayId, DeviceId, FigureId, Id, Input, Metres, SquareMm, Working};
use dw_job::Job;
use dw_job::model::CableWay;

use super::ground::{length_mm, metres};
use super::rules::{FigureMissing, WayAreaMissing, WayOverFill};
use super::{CableRun, Routes, WayFill, WayStretch};
use crate::Cx;
use crate::survey::Survey;

/// Cross-section a cable takes in a way: the circle of its outside diameter.
///
/// **Formula** `π · (1000 · diameter)² / 4`, diameter in metres, result in mm². Example: 5 mm take 19.63 mm².
/// Source: NEC chapter 9 note 9 counts a multiconductor cable as one conductor by its diameter (*from memory*).
pub(super) fn section(diameter: Metres) -> SquareMm {
    let mm = diameter.get() * 1000.0;
    SquareMm::try_new(PI * mm * mm / 4.0).unwrap_or_default()
}

/// A part of a way that one cable takes: from, to, and which kind of cable it is.
type Taken<'a> = (u64, u64, &'a DeviceId);

/// Fill of every way that takes cables of this design, in the order of ids, where it is fullest and by stretches. Cables in
/// the wall already count as part of what was there before.
pub(super) fn fills(cx: &mut Cx<'_>, job: &Job, survey: &Survey, routes: &Routes, runs: &[CableRun]) -> Vec<WayFill> {
    let mut sections: BTreeMap<&DeviceId, Option<SquareMm>> = BTreeMap::new();
    let mut taken: BTreeMap<&CableWayId, (BTreeSet<&str>, Vec<Taken<'_>>)> = BTreeMap::new();
    for run in runs.iter().filter(|run| !run.existing && !run.local) {
        let Some(device) = &run.device else { continue };
        for part in routes.of(&run.mark).map_or(&[][..], |routed| &routed.ways) {
            let (labels, parts) = taken.entry(&part.way).or_default();
            labels.insert(&run.label);
            let (from, to) = (length_mm(part.from_m), length_mm(part.to_m));
            parts.push((from.min(to), from.max(to), device));
            sections.entry(device).or_insert_with(|| cx.device(device).and_then(|it| it.cable.diameter).map(section));
        }
    }
    for (device, _) in sections.iter().filter(|it| it.1.is_none()) {
        cx.sink.report(&FigureMissing { device: (*device).clone(), figure: "cable.diameter" });
    }
    let ways: BTreeMap<&CableWayId, &CableWay> = job.cable_ways.iter().map(|way| (&way.id, way)).collect();
    let fills: Vec<WayFill> = (taken.into_iter())
        .map(|(id, (labels, parts))| {
            let area_mm2 = ways.get(id).and_then(|way| way.area).filter(|area| area.get() > 0.0);
            let before = ways.get(id).and_then(|way| way.filled_percent).unwrap_or(0.0) / 100.0;
            let share = |taken: SquareMm| area_mm2.and_then(|area| taken.ratio(area)).map(|new| new + before);
            let stretches = stretches(&parts, &sections, &share);
            let taken_mm2 = stretches.iter().map(|stretch| stretch.taken_mm2).max().unwrap_or_default();
            let cables = u32::try_from(labels.len()).unwrap_or(u32::MAX);
            WayFill { way: id.clone(), cables, taken_mm2, area_mm2, share: share(taken_mm2), stretches }
        })
        .collect();
    judge(cx, survey, &fills);
    fills
}

/// The stretches of a way between places where cables join or leave, empty ones left out.
fn stretches(
    parts: &[Taken<'_>],
    sections: &BTreeMap<&DeviceId, Option<SquareMm>>,
    share: &dyn Fn(SquareMm) -> Option<f64>,
) -> Vec<WayStretch> {
    let mut changes: BTreeMap<u64, Vec<(&DeviceId, i64)>> = BTreeMap::new();
    for &(from, to, device) in parts {
        changes.entry(from).or_default().push((device, 1));
        changes.entry(to).or_default().push((device, -1));
    }
    let mut stretches: Vec<WayStretch> = Vec::new();
    let mut counts: BTreeMap<&DeviceId, i64> = BTreeMap::new();
    let places: Vec<u64> = changes.keys().copied().collect();
    for (idx, (from, changes)) in changes.into_iter().enumerate() {
        for (device, change) in changes {
            *counts.entry(device).or_default() += change;
        }
        let cables: i64 = counts.values().sum();
        let Some(&to) = places.get(idx + 1).filter(|_| cables > 0) else { continue };
        let each = |(device, &count): (&&DeviceId, &i64)| {
            sections.get(*device).copied().flatten().unwrap_or_default() * count as f64
        };
        let taken_mm2: SquareMm = counts.iter().map(each).sum();
        stretches.push(WayStretch {
            from_m: metres(from),
            to_m: metres(to),
            cables: u32::try_from(cables).unwrap_or(u32::MAX),
            taken_mm2,
            share: share(taken_mm2),
        });
    }
    stretches
}

fn judge(cx: &mut Cx<'_>, survey: &Survey, fills: &[WayFill]) {
    let limit = survey.settings.fill_share;
    for fill in fills {
        let (Some(area), Some(share)) = (fill.area_mm2, fill.share) else { continue };
        if share > limit {
            let (way, cables) = (fill.way.clone(), fill.cables);
            cx.sink.report(&WayOverFill { way, share, limit, area, cables });
        }
        cx.sink.show(Working {
            figure: FigureId::new("way", fill.way.text(), "fill"),
            title: "Share of the cable way taken where it is fullest",
            value: share.into(),
            unit: "",
            formula: "taken / area + before",
            inputs: vec![
                Input::new("taken", fill.taken_mm2.get(), "mm²"),
                Input::new("area", area.get(), "mm²"),
                Input::new("before", share - fill.taken_mm2.ratio(area).unwrap_or(0.0), ""),
            ],
            source: "cable as the circle of its diameter, NEC chapter 9 note 9 (from memory)",
        });
    }
    let ways: Vec<CableWayId> =
        fills.iter().filter(|fill| fill.area_mm2.is_none()).map(|fill| fill.way.clone()).collect();
    if !ways.is_empty() {
        cx.sink.report(&WayAreaMissing { ways });
    }
}
