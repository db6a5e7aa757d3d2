//! What is said once for the whole job.

use dw_job::Job;
use dw_job::catalogue::DeviceKind;

use super::rules::MetalDetectorCaution;
use crate::Cx;

/// Metal detectors among the extras.
pub(super) fn report(cx: &mut Cx<'_>, job: &Job) {
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
