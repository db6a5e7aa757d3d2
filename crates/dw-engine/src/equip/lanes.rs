//! Turnstile bodies with several lanes: counted once for the lanes that stand in them.

use std::collections::BTreeMap;

use super::plan::{Equipped, Role};
use super::register::Register;
use super::rules::BodyNotShared;
use crate::Cx;

/// Counts each body at the first lane of its group; the other lanes of the group name it with a count of nothing.
///
/// A body whose group is not all alike is counted at each of its lanes and told.
pub(super) fn share_bodies(cx: &mut Cx<'_>, register: &Register<'_>, openings: &mut [Equipped]) {
    // Groups by bank and number in the bank, each with the lanes found in it.
    let mut groups: BTreeMap<(usize, u32, dw_core::DeviceId), Vec<usize>> = BTreeMap::new();
    for (idx, opening) in openings.iter().enumerate() {
        let Some(body) = opening.in_role(Role::Lock) else { continue };
        let lanes = lanes_of(cx, body);
        if lanes < 2 {
            continue;
        }
        match register.bank(&opening.mark) {
            Some(bank) => {
                groups.entry((bank.bank, bank.place / lanes, body.device.clone())).or_default().push(idx);
            }
            None => alone(cx, &opening.mark, body, lanes, 1),
        }
    }
    for ((_, _, device), members) in groups {
        let lanes = cx.device(&device).and_then(|body| body.lanes).unwrap_or(1);
        let filled = u32::try_from(members.len()).unwrap_or(u32::MAX);
        if filled < lanes {
            for idx in members {
                let opening = &openings[idx];
                if let Some(body) = opening.in_role(Role::Lock) {
                    alone(cx, &opening.mark, body, lanes, filled);
                }
            }
            continue;
        }
        for idx in members.into_iter().skip(1) {
            openings[idx].devices.iter_mut().filter(|fitted| fitted.role == Role::Lock).for_each(|body| body.count = 0);
        }
    }
}

fn lanes_of(cx: &Cx<'_>, body: &super::plan::Fitted) -> u32 {
    cx.device(&body.device).and_then(|device| device.lanes).unwrap_or(1)
}

fn alone(cx: &mut Cx<'_>, mark: &dw_core::OpeningId, body: &super::plan::Fitted, lanes: u32, filled: u32) {
    if !body.kept {
        cx.sink.report(&BodyNotShared { opening: mark.clone(), device: body.device.clone(), lanes, filled });
    }
}
