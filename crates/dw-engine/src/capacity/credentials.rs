//! Credentials to issue: a card for everybody, a plate permit for every vehicle.

use std::collections::BTreeSet;

use dw_core::{DeviceId, FigureId, Input, Working};
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::Factor;

use super::card_order::Need;
use super::rules::CredentialMissing;
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Role};
use crate::survey::Survey;

/// Cards and plate permits to issue, growth included; only those that some reader of the design takes. Also whether
/// some reader takes cards.
///
/// The price takes credentials that the job buys as extras off this number, so that nobody gets two.
pub(super) fn count(
    cx: &mut Cx<'_>,
    survey: &Survey,
    equipment: &Equipment,
    needs: &[Need],
) -> (Vec<(DeviceId, u32)>, bool) {
    let taken = factors_taken(equipment);
    let cards = needs.iter().fold(0_u32, |sum, need| sum.saturating_add(need.ordered()));
    let plates = survey.groups.values().fold(0_u32, |sum, group| sum.saturating_add(group.vehicles));
    let wanted = [(Factor::Card, "cards_to_issue", cards), (Factor::Plate, "plates_to_list", plates)];
    let mut credentials = Vec::new();
    for (factor, figure, count) in wanted {
        if count == 0 || !taken.contains(&factor) {
            continue;
        }
        match cheapest(cx, factor) {
            Some(device) => credentials.push((device, count)),
            // A plate is on the vehicle already: nothing need be bought for it.
            None if factor == Factor::Plate => {}
            None => cx.sink.report(&CredentialMissing { people: count }),
        }
        cx.sink.show(Working {
            figure: FigureId::new("job", "", figure),
            title: "Credentials to issue, growth included",
            value: count.into(),
            unit: "",
            formula: "sum over groups",
            inputs: vec![Input::new("groups", survey.groups.len() as f64, "")],
            source: "common practice: one for each person less the cards kept and with the spares asked for, one for each vehicle",
        });
    }
    credentials.sort();
    (credentials, taken.contains(&Factor::Card))
}

/// Factors proved at some controlled opening.
fn factors_taken(equipment: &Equipment) -> BTreeSet<Factor> {
    let mut taken = BTreeSet::new();
    for equipped in equipment.openings.iter().filter(|equipped| equipped.control != ControlNeed::None) {
        taken.extend(equipped.factors(Role::ReaderIn));
        taken.extend(equipped.factors(Role::ReaderOut));
    }
    taken
}

/// The credential for a factor with the least price, then by id.
fn cheapest(cx: &Cx<'_>, factor: Factor) -> Option<DeviceId> {
    let fits = |device: &&Device| device.reading.factors.contains(&factor) && device.price.is_some();
    let offered = cx.catalogue.offered(DeviceKind::Credential).filter(fits);
    offered.min_by_key(|device| (device.price, device.id.clone())).map(|device| device.id.clone())
}
