//! Copper cables between buildings, and the surge protectors that lines leaving a building want.

use std::collections::BTreeMap;

use dw_core::{BuildingId, Money, OpeningId, StoreyId};
use dw_job::catalogue::{CableUse, Device, DeviceKind, Interface};
use dw_job::model::OpeningKind;
use dw_job::{Catalogue, Job};

use super::cables::is_outdoors;
use super::rules::CopperBetweenBuildings;
use super::{CableRun, Routes};
use crate::Cx;
use crate::survey::{Survey, Surveyed};

/// Ends of each line of an opening that want a surge protector: both between buildings, the one in the room for a gate, lane
/// or barrier standing outdoors (*common practice*).
pub(crate) fn ends(opening: &Surveyed, apart: bool) -> u32 {
    use OpeningKind as K;
    let free = matches!(opening.kind, K::Gate | K::TurnstileLane | K::WideLane | K::VehicleBarrier | K::VehicleGate);
    match (apart, free && is_outdoors(opening)) {
        (true, _) => 2,
        (false, true) => 1,
        (false, false) => 0,
    }
}

/// The protector of each line in a cable: with an interface that suits it, of the least price, then by id; `None` for a line
/// that none is offered for.
pub(crate) fn protectors(catalogue: &Catalogue, purpose: CableUse) -> impl Iterator<Item = Option<&Device>> {
    lines(purpose).iter().map(|interfaces| {
        let offered = catalogue.offered(DeviceKind::SurgeProtector);
        let fits = offered.filter(|device| device.interfaces.iter().any(|interface| interfaces.contains(interface)));
        fits.min_by_key(|device| (device.price.is_none(), device.price, &device.id))
    })
}

/// Price of the protectors at one end of a cable; a line without one, or one without a price, costs nothing.
pub(super) fn price(catalogue: &Catalogue, purpose: CableUse) -> Money {
    protectors(catalogue, purpose).filter_map(|device| device?.price).sum()
}

/// Lines in a cable that want a protector, each with the interfaces one of which it must suit.
fn lines(purpose: CableUse) -> &'static [&'static [Interface]] {
    const DATA: &[Interface] = &[Interface::Multidrop, Interface::DataLines, Interface::FingerBus];
    const POWER: &[Interface] = &[Interface::Contact];
    match purpose {
        CableUse::Reader => &[DATA],
        CableUse::Lock | CableUse::Contact | CableUse::ExitRequest => &[POWER],
        CableUse::Network => &[&[Interface::Network]],
        CableUse::Composite => &[DATA, POWER],
        // Glass carries no surge.
        CableUse::Fibre => &[],
    }
}

/// Tells of every opening whose copper cables run to another building.
pub(super) fn check(cx: &mut Cx<'_>, job: &Job, survey: &Survey, routes: &Routes, runs: &[CableRun]) {
    let buildings: BTreeMap<&StoreyId, &BuildingId> =
        job.storeys.iter().filter_map(|storey| Some((&storey.id, storey.building.as_ref()?))).collect();
    let mut cables: BTreeMap<&OpeningId, usize> = BTreeMap::new();
    for run in runs.iter().filter(|run| !run.local) {
        *cables.entry(&run.mark).or_default() += 1;
    }
    for routed in &routes.openings {
        let (Some(opening), Some(room)) = (survey.opening(&routed.mark), survey.room(&routed.room)) else { continue };
        let there = buildings.get(&opening.storey).zip(buildings.get(&room.storey));
        let cables = cables.get(&routed.mark).copied().unwrap_or(0);
        if there.is_some_and(|(here, there)| here != there) && cables > 0 {
            let (opening, room, length) = (routed.mark.clone(), routed.room.clone(), routed.length_m);
            cx.sink.report(&CopperBetweenBuildings { opening, room, cables, length });
        }
    }
}
