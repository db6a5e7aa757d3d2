//! Judges a capacity plan on its own, from survey and equipment, without the code that made it.

use dw_core::{DeviceId, Place};
use dw_job::model::Factor;

use super::rules::PlanInconsistent;
use super::{CapacityPlan, CardOrder, Holder};
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Equipped, Role};
use crate::place::Placement;
use crate::survey::Survey;

/// Raises `CAP-901` for every promise the plan breaks.
pub fn verify(cx: &mut Cx<'_>, survey: &Survey, equipment: &Equipment, placement: &Placement, plan: &CapacityPlan) {
    let mut faults = covers_openings(cx, plan);
    faults.extend(plan.card_order.iter().flat_map(numbers_once));
    for equipped in &equipment.openings {
        let Some(label) = decider(equipped, placement) else { continue };
        let users = survey.opening(&equipped.mark).map_or(0, |opening| opening.users.planned);
        let holders: Vec<&Holder> = plan.holders.iter().filter(|holder| holder.label == label).collect();
        let place = || Place::of(&equipped.mark);
        match holders.as_slice() {
            [holder] if !holder.openings.contains(&equipped.mark) => {
                faults.push((place(), format!("{label} does not count {}", equipped.mark)));
            }
            [holder] if reads_cards_only(cx, equipped) => {
                let planned = holder.stores.iter().find(|store| store.what == "cards").map_or(0, |store| store.needed);
                if planned < users {
                    let what = format!("{label}: {planned} cards planned, {} alone has {users} users", equipped.mark);
                    faults.push((place(), what));
                }
            }
            [_] => {}
            several => faults.push((place(), format!("{} is held {} times at {label}", equipped.mark, several.len()))),
        }
    }
    for (place, what) in faults {
        cx.sink.report(&PlanInconsistent { place, what });
    }
}

/// Licences and head-ends, where any are planned, cover the openings.
fn covers_openings(cx: &Cx<'_>, plan: &CapacityPlan) -> Vec<(Place, String)> {
    let covered = |id: &DeviceId, count: u32| {
        let limit = cx.catalogue.devices.get(id).and_then(|device| device.limits.openings).unwrap_or(0);
        u64::from(limit) * u64::from(count)
    };
    let openings = u64::from(plan.openings);
    let mut faults = Vec::new();
    let licensed: u64 = plan.licences.iter().map(|(id, count)| covered(id, *count)).sum();
    if !plan.licences.is_empty() && licensed < openings {
        faults.push((Place::job(), format!("{openings} openings, licences for {licensed}")));
    }
    let served = plan.head_end.as_ref().map(|id| covered(id, plan.head_ends));
    if let Some(served) = served.filter(|served| *served < openings) {
        faults.push((Place::job(), format!("{openings} openings, {} head-ends for {served}", plan.head_ends)));
    }
    faults
}

/// Every card of an order has a number, and every number one card.
fn numbers_once(order: &CardOrder) -> Vec<(Place, String)> {
    if order.blocks.is_empty() {
        return Vec::new();
    }
    let mut faults = Vec::new();
    let mut blocks: Vec<_> = order.blocks.iter().collect();
    blocks.sort_by_key(|block| block.first);
    for pair in blocks.windows(2).filter(|pair| pair[1].first <= pair[0].last) {
        faults.push((
            Place::job(),
            format!("{} and {} share card number {}", pair[0].group, pair[1].group, pair[1].first),
        ));
    }
    let numbers: u64 = blocks.iter().map(|block| (block.last + 1).saturating_sub(block.first)).sum();
    if numbers != u64::from(order.quantity) {
        faults.push((Place::job(), format!("{} cards to order, {numbers} numbers", order.quantity)));
    }
    faults
}

/// Label of the device that decides at an opening; `None` when nobody serves it.
fn decider(equipped: &Equipped, placement: &Placement) -> Option<String> {
    match &equipped.control {
        ControlNeed::None => None,
        ControlNeed::OwnUnit { .. } => Some(equipped.mark.to_string()),
        ControlNeed::Ports { .. } => {
            let index = placement.of(&equipped.mark)?.controller?;
            placement.controllers.get(index).map(|placed| placed.label.clone())
        }
    }
}

fn reads_cards_only(cx: &Cx<'_>, equipped: &Equipped) -> bool {
    let mut readers = equipped.devices.iter().filter(|fitted| fitted.role == Role::ReaderIn).peekable();
    let only = |id: &DeviceId| cx.catalogue.devices.get(id).is_some_and(|it| it.reading.factors == [Factor::Card]);
    readers.peek().is_some() && readers.all(|fitted| only(&fitted.device))
}
