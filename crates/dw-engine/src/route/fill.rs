//! How full drawn ways get.

use std::collections::{BTreeMap, BTreeSet};
use std::f64::consts::PI;

use dw_core::{CableWayId, DeviceId, FigureId, Id, Input, Metres, SquareMm, Working};
use dw_job::Job;
use dw_job::model::CableWay;

use super::rules::{FigureMissing, WayAreaMissing, WayOverFill};
use super::{CableRun, Routes, WayFill};
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

/// Fill of every way that takes cables of this design, in the order of ids. Cables in the wall already count as part of
/// what was there before.
pub(super) fn fills(cx: &mut Cx<'_>, job: &Job, survey: &Survey, routes: &Routes, runs: &[CableRun]) -> Vec<WayFill> {
    let mut lacking: BTreeSet<&DeviceId> = BTreeSet::new();
    let mut taken: BTreeMap<&CableWayId, (u32, SquareMm)> = BTreeMap::new();
    for run in runs.iter().filter(|run| !run.existing) {
        let Some(device) = &run.device else { continue };
        let ways = routes.of(&run.mark).map_or(&[][..], |routed| &routed.ways);
        let diameter = cx.device(device).and_then(|device| device.cable.diameter);
        if diameter.is_none() && !ways.is_empty() {
            lacking.insert(device);
        }
        // A way that a route enters twice holds the cable twice; that happens nowhere on a shortest way.
        for way in ways {
            let entry = taken.entry(way).or_default();
            entry.0 += 1;
            entry.1 += diameter.map_or(SquareMm::ZERO, section);
        }
    }
    for device in lacking {
        cx.sink.report(&FigureMissing { device: device.clone(), figure: "cable.diameter" });
    }
    let ways: BTreeMap<&CableWayId, &CableWay> = job.cable_ways.iter().map(|way| (&way.id, way)).collect();
    let fills: Vec<WayFill> = (taken.into_iter())
        .map(|(id, (cables, taken_mm2))| {
            let area_mm2 = ways.get(id).and_then(|way| way.area).filter(|area| area.get() > 0.0);
            let before = ways.get(id).and_then(|way| way.filled_percent).unwrap_or(0.0) / 100.0;
            let share = area_mm2.and_then(|area| taken_mm2.ratio(area)).map(|new| new + before);
            WayFill { way: id.clone(), cables, taken_mm2, area_mm2, share }
        })
        .collect();
    judge(cx, survey, &fills);
    fills
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
            title: "Share of the cable way taken",
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
