//! What is said once all openings are fitted out.

use dw_job::Job;
use dw_job::catalogue::DeviceKind;

use super::plan::{Equipped, Role};
use super::rules::{MainsWanted, MetalDetectorCaution};
use crate::Cx;

/// Metal detectors among the extras, and bodies that take a mains spur.
pub(super) fn report(cx: &mut Cx<'_>, job: &Job, openings: &[Equipped]) {
    detectors(cx, job);
    for opening in openings {
        let body = opening.in_role(Role::Lock).filter(|body| body.count > 0 && !body.kept);
        let Some(device) = body.and_then(|body| cx.device(&body.device)) else { continue };
        if let Some(watts) = device.electrical.mains {
            cx.sink.report(&MainsWanted { opening: opening.mark.clone(), device: device.id.clone(), watts });
        }
    }
}

fn detectors(cx: &mut Cx<'_>, job: &Job) {
    let detectors = job.extras.iter().filter_map(|extra| {
        let device = cx.catalogue.devices.get(extra.device.as_ref()?)?;
        let detects = matches!(device.kind, Some(DeviceKind::WalkThroughDetector | DeviceKind::HandHeldDetector));
        detects.then(|| (device.id.clone(), extra.count.unwrap_or(1)))
    });
    let detectors: Vec<_> = detectors.filter(|(_, count)| *count > 0).collect();
    if let Some((first, _)) = detectors.first() {
        let count = detectors.iter().fold(0_u32, |sum, (_, count)| sum.saturating_add(*count));
        cx.sink.report(&MetalDetectorCaution { device: first.clone(), count });
    }
}
