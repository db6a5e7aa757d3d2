//! Enclosures, supplies and batteries to buy. A kit brings its own, and what stays in a room is used first.

use std::collections::BTreeMap;

use dw_core::DeviceId;

use super::takeoff::{Design, Piece, kept_in_rooms, take};
use crate::Cx;
use crate::power::EnclosurePlan;

/// Enclosures, supplies and batteries of the power plan, without what kits contain.
pub(super) fn pieces(cx: &Cx<'_>, design: Design<'_>) -> Vec<Piece> {
    let mut kept = kept_in_rooms(cx, design.job);
    let mut pieces = Vec::new();
    for plan in &design.power.enclosures {
        let held = held_back(design, plan);
        for (device, count) in lacking(cx, design, plan) {
            let there = kept.get_mut(&(plan.room.clone(), device.clone()));
            let used = there.map_or(0, |there| take(there, count));
            if used > 0 {
                pieces.push(Piece::new(&device, used, None, held).kept());
            }
            if count > used {
                pieces.push(Piece::new(&device, count - used, None, held));
            }
        }
    }
    pieces
}

/// Whether nothing that the enclosure feeds may be ordered.
fn held_back(design: Design<'_>, plan: &EnclosurePlan) -> bool {
    let controllers = plan.controllers.iter().filter_map(|index| design.placement.controllers.get(*index));
    let wired = controllers.flat_map(|placed| placed.ports.iter().flatten());
    !wired.chain(&plan.units).any(|mark| design.orderable(mark))
}

/// What an enclosure needs beyond what the kits in it bring.
fn lacking(cx: &Cx<'_>, design: Design<'_>, plan: &EnclosurePlan) -> Vec<(DeviceId, u32)> {
    let mut brought: BTreeMap<&DeviceId, u32> = BTreeMap::new();
    for index in &plan.controllers {
        let Some(placed) = design.placement.controllers.get(*index) else { continue };
        // A plan may name the kit itself as its enclosure or supply; the kit is bought as a controller.
        *brought.entry(&placed.device).or_default() += 2;
        for part in cx.device(&placed.device).map_or(&[][..], |device| &device.contains) {
            *brought.entry(part).or_default() += 1;
        }
    }
    let wanted = [(&plan.enclosure, 1), (&plan.supply, plan.supplies), (&plan.battery, plan.batteries)];
    let mut lacking = Vec::new();
    for (device, count) in wanted {
        let Some(device) = device else { continue };
        let here = brought.get_mut(device).map_or(0, |stock| take(stock, count));
        if count > here {
            lacking.push((device.clone(), count - here));
        }
    }
    lacking
}
