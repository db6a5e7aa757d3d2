//! Surge protectors at both ends of copper cables between buildings.

use std::collections::BTreeMap;

use dw_core::{BuildingId, OpeningId, StoreyId};
use dw_job::Job;
use dw_job::catalogue::DeviceKind;

use super::rules::CopperBetweenBuildings;
use super::{CableRun, Routes};
use crate::Cx;
use crate::equip::Equipment;
use crate::survey::Survey;

/// Counts the ends of copper cables between buildings against the surge protectors at the openings and among the extras.
pub(super) fn check(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    equipment: &Equipment,
    routes: &Routes,
    runs: &[CableRun],
) {
    let is_protector = |cx: &Cx<'_>, id| cx.device(id).is_some_and(|it| it.kind == Some(DeviceKind::SurgeProtector));
    let buildings: BTreeMap<&StoreyId, &BuildingId> =
        job.storeys.iter().filter_map(|storey| Some((&storey.id, storey.building.as_ref()?))).collect();
    let mut cables: BTreeMap<&OpeningId, usize> = BTreeMap::new();
    for run in runs {
        *cables.entry(&run.mark).or_default() += 1;
    }
    let extras = job.extras.iter().filter(|extra| extra.device.as_ref().is_some_and(|id| is_protector(cx, id)));
    let mut left: u32 = extras.map(|extra| extra.count.unwrap_or(0)).fold(0, u32::saturating_add);
    for routed in &routes.openings {
        let (Some(opening), Some(room)) = (survey.opening(&routed.mark), survey.room(&routed.room)) else { continue };
        let (here, there) = (buildings.get(&opening.storey), buildings.get(&room.storey));
        let n_cables = cables.get(&routed.mark).copied().unwrap_or(0);
        if here.is_none() || there.is_none() || here == there || n_cables == 0 {
            continue;
        }
        let fitted = equipment.opening(&routed.mark).into_iter().flat_map(|equipped| &equipped.devices);
        let at_opening: u32 = fitted.filter(|it| is_protector(cx, &it.device)).map(|it| it.count).sum();
        let wanted = u32::try_from(n_cables * 2).unwrap_or(u32::MAX).saturating_sub(at_opening);
        let from_extras = wanted.min(left);
        left -= from_extras;
        if from_extras < wanted {
            cx.sink.report(&CopperBetweenBuildings {
                opening: routed.mark.clone(),
                room: routed.room.clone(),
                cables: n_cables,
                planned: at_opening + from_extras,
            });
        }
    }
}
