//! Copper cables between buildings.

use std::collections::BTreeMap;

use dw_core::{BuildingId, OpeningId, StoreyId};
use dw_job::Job;

use super::rules::CopperBetweenBuildings;
use super::{CableRun, Routes};
use crate::Cx;
use crate::survey::Survey;

/// Tells of every opening whose copper cables run to another building.
pub(super) fn check(cx: &mut Cx<'_>, job: &Job, survey: &Survey, routes: &Routes, runs: &[CableRun]) {
    let buildings: BTreeMap<&StoreyId, &BuildingId> =
        job.storeys.iter().filter_map(|storey| Some((&storey.id, storey.building.as_ref()?))).collect();
    let mut cables: BTreeMap<&OpeningId, usize> = BTreeMap::new();
    for run in runs.iter().filter(|run| !run.local) {
        *cables.entry(&run.mark).or_default() += 1;
    }
    for routed in &routes.openings {
        let (Some(opening), Some(room)) = (survey.opening(&routed.mark), survey.room(&routed.room)) else { continue };
        let there = buildings.get(&opening.storey).zip(buildings.get(&room.storey));
        let cables = cables.get(&routed.mark).copied().unwrap_or(0);
        if there.is_some_and(|(here, there)| here != there) && cables > 0 {
            let (opening, room, length) = (routed.mark.clone(), routed.room.clone(), routed.length_m);
            cx.sink.report(&CopperBetweenBuildings { opening, room, cables, length });
        }
    }
}
