//! Cables in the air: how far between supports, and what bears them.

use std::collections::BTreeMap;

use dw_core::{CableWayId, Metres};
use dw_job::Job;
use dw_job::model::{CableWay, CableWayKind};

use super::WayFill;
use super::rules::{SpanTooLong, SpanUncarried};
use crate::Cx;
use crate::survey::Survey;

/// Longest span of a sheathed cable that carries itself. Source: IET On-Site Guide, table of overhead wiring between
/// buildings (*from memory*).
const UNCARRIED_M: f64 = 3.0;

/// Judges the spans in use: longer than the policy allows between supports, or without a carrying wire.
pub(super) fn check(cx: &mut Cx<'_>, job: &Job, survey: &Survey, fills: &[WayFill]) {
    let ways: BTreeMap<&CableWayId, &CableWay> = job.cable_ways.iter().map(|way| (&way.id, way)).collect();
    let limit = survey.settings.max_span_m;
    for fill in fills {
        let Some(way) = ways.get(&fill.way).filter(|way| way.kind == Some(CableWayKind::Span)) else { continue };
        let length = length(way);
        if length > limit {
            cx.sink.report(&SpanTooLong { way: fill.way.clone(), length, limit });
        }
        if way.carried != Some(true) && length.get() > UNCARRIED_M {
            cx.sink.report(&SpanUncarried { way: fill.way.clone(), length, cables: fill.cables });
        }
    }
}

/// Length of a span: the longer of what is stated and the straight line on the plan.
fn length(way: &CableWay) -> Metres {
    let axis = |from: Option<Metres>, to: Option<Metres>| from.zip(to).map_or(0.0, |(from, to)| (to - from).get());
    let (dx, dy) = (axis(way.x1, way.x2), axis(way.y1, way.y2));
    let straight = Metres::try_new((dx * dx + dy * dy).sqrt()).unwrap_or_default();
    way.length.unwrap_or_default().max(straight)
}

#[cfg(test)]
pub(in crate::route) mod tests {
    use dw_core::{Id, SquareMm};

    use super::*;
    use crate::route::testing::Scene;

    /// One door over one span of so many metres, with cable that may lie outdoors.
    pub(in crate::route) fn check(length_m: f64, carried: Option<bool>, codes: &[&str]) {
        let mut scene = Scene::new();
        for device in scene.catalogue.devices.values_mut() {
            device.cable.outdoor = Some(true);
        }
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", length_m, 0.0);
        let way = scene.way("S-1", "S0", (0.0, 0.0), (length_m, 0.0));
        (way.kind, way.carried, way.area) = (Some(CableWayKind::Span), carried, Some(SquareMm::new(1e4)));
        scene.serve("D-1", "TR-1", length_m);
        let (schedule, raised) = scene.schedule();
        assert_eq!(raised, codes);
        assert_eq!(schedule.fills[0].way.text(), "S-1");
    }

    #[test]
    fn an_indoor_cable_does_not_hang_in_the_air() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.equipment.openings[0].cables.truncate(1);
        let way = scene.way("S-1", "S0", (0.0, 0.0), (20.0, 0.0));
        (way.kind, way.carried, way.area) = (Some(CableWayKind::Span), Some(true), Some(SquareMm::new(1e4)));
        scene.serve("D-1", "TR-1", 20.0);
        assert_eq!(scene.schedule().1, ["RTE-006"]);
    }
}
