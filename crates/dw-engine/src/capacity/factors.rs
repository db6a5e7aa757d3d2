//! Which factors people prove at a reader, and so what must be stored for them.

use dw_job::catalogue::Device;
use dw_job::model::Factor;

use crate::equip::Role;
use crate::survey::Surveyed;

/// Order in which factors are asked for where the job names none (*common practice*: what most people carry first).
const USUAL_ORDER: [Factor; 6] = [Factor::Card, Factor::Plate, Factor::Pin, Factor::Finger, Factor::Face, Factor::Vein];

/// The factors used at a reader: those demanded that it takes, then the usual ones until the number demanded is
/// reached. On the way out those demanded count only where as many factors are asked for.
///
/// **Shape**: one factor where a reader is fitted on a way that needs no proof; empty when it takes none allowed.
pub(super) fn used(opening: &Surveyed, role: Role, device: &Device) -> Vec<Factor> {
    let out = role == Role::ReaderOut;
    let wanted = if out { opening.factors_out } else { opening.factors_in }.max(1) as usize;
    let can = |factor: &Factor| device.reading.factors.contains(factor) && !opening.refused.contains(factor);
    let named = if out && wanted < opening.demanded.len() { &[] } else { opening.demanded.as_slice() };
    let mut used: Vec<Factor> = named.iter().copied().filter(can).collect();
    for factor in USUAL_ORDER.into_iter().filter(can) {
        if used.len() < wanted && !used.contains(&factor) {
            used.push(factor);
        }
    }
    used
}
