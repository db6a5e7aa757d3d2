//! Which factors people prove at a reader, and so what must be stored for them.

use dw_job::catalogue::Device;
use dw_job::model::Factor;

use crate::equip::Role;
use crate::survey::Surveyed;

/// The factors used at a reader: those demanded that it takes, then its own in the order of the catalogue until the
/// number demanded is reached.
///
/// **Shape**: empty on a way that needs no proof, unless the reader is there all the same: then one factor.
pub(super) fn used(opening: &Surveyed, role: Role, device: &Device) -> Vec<Factor> {
    let wanted = if role == Role::ReaderOut { opening.factors_out } else { opening.factors_in }.max(1) as usize;
    let can: Vec<Factor> =
        device.reading.factors.iter().copied().filter(|factor| !opening.refused.contains(factor)).collect();
    let mut used: Vec<Factor> = Vec::new();
    if role != Role::ReaderOut {
        used.extend(opening.demanded.iter().filter(|factor| can.contains(factor)));
    }
    for factor in can {
        if used.len() < wanted && !used.contains(&factor) {
            used.push(factor);
        }
    }
    used
}
