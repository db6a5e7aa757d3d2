//! Takes off the design every piece that is bought or worked on, with the opening it belongs to.
//!
//! Materials and labour are both folded from this one list, so that nothing is bought unfitted or fitted unbought.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, OpeningId, RoomId};
use dw_job::Job;
use dw_job::catalogue::DeviceKind;
use dw_job::model::Keep;
use rust_decimal::Decimal;

use super::{enclosures, network, others};
use crate::Cx;
use crate::capacity::CapacityPlan;
use crate::equip::Equipment;
use crate::place::Placement;
use crate::power::PowerPlan;
use crate::route::{CableSchedule, Routes};
use crate::survey::Survey;

/// A number of one device.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Piece {
    pub(super) device: DeviceId,
    /// How many; a part of one where several openings share a body.
    pub(super) quantity: Decimal,
    /// The opening it belongs to, by its place in the survey; `None` when shared.
    pub(super) opening: Option<usize>,
    /// Whether it must not be ordered yet.
    pub(super) held: bool,
    /// Whether we buy it.
    pub(super) bought: bool,
    /// Whether we fit it.
    pub(super) fitted: bool,
    /// Whether we set it to work.
    pub(super) commissioned: bool,
}

impl Piece {
    /// A piece bought, fitted and set to work by us.
    pub(super) fn new(device: &DeviceId, count: u32, opening: Option<usize>, held: bool) -> Self {
        let quantity = Decimal::from(count);
        Self { device: device.clone(), quantity, opening, held, bought: true, fitted: true, commissioned: true }
    }

    /// The same piece, there already: it is only set to work.
    pub(super) fn kept(self) -> Self {
        Self { bought: false, fitted: false, ..self }
    }
}

/// Everything the pass reads.
#[derive(Clone, Copy)]
pub(super) struct Design<'a> {
    pub(super) job: &'a Job,
    pub(super) survey: &'a Survey,
    pub(super) equipment: &'a Equipment,
    pub(super) placement: &'a Placement,
    pub(super) power: &'a PowerPlan,
    pub(super) cables: &'a CableSchedule,
    pub(super) routes: &'a Routes,
    pub(super) capacity: &'a CapacityPlan,
}

impl<'a> Design<'a> {
    /// Place of an opening in the survey.
    pub(super) fn index(&self, mark: &OpeningId) -> Option<usize> {
        self.survey.openings.binary_search_by(|opening| opening.mark.cmp(mark)).ok()
    }

    /// Whether an opening may be ordered.
    pub(super) fn orderable(&self, mark: &OpeningId) -> bool {
        self.survey.opening(mark).is_some_and(|opening| opening.orderable)
    }

    /// Rooms that serve at least one opening that may be ordered.
    pub(super) fn orderable_rooms(&self) -> BTreeSet<&'a RoomId> {
        let served = self.placement.served.iter().filter(|served| self.orderable(&served.mark));
        served.map(|served| &served.room).collect()
    }
}

/// Every piece of the design.
pub(super) fn pieces(cx: &mut Cx<'_>, design: Design<'_>) -> Vec<Piece> {
    let rooms = design.orderable_rooms();
    let mut pieces = at_openings(cx, design);
    pieces.extend(controllers(design));
    pieces.extend(enclosures::pieces(cx, design));
    pieces.extend(network::pieces(cx, design, &rooms));
    pieces.extend(site_wide(cx, design));
    pieces
}

/// Devices fitted at openings. What others supply or fit is left to them; what stays is only set to work.
fn at_openings(cx: &mut Cx<'_>, design: Design<'_>) -> Vec<Piece> {
    let bodies = shared_bodies(cx, design);
    let mut pieces = Vec::new();
    let mut left_out = others::LeftOut::default();
    for equipped in &design.equipment.openings {
        let Some(index) = design.index(&equipped.mark) else { continue };
        let opening = &design.survey.openings[index];
        for fitted in &equipped.devices {
            let piece = Piece::new(&fitted.device, fitted.count, Some(index), !opening.orderable);
            let share = bodies.get(&fitted.device).filter(|_| !fitted.kept).map(Bodies::each);
            let piece = Piece { quantity: share.unwrap_or(piece.quantity), ..piece };
            pieces.push(if fitted.kept { piece.kept() } else { left_out.apply(opening, fitted, piece) });
        }
    }
    left_out.report(cx);
    pieces.retain(|piece| piece.quantity > Decimal::ZERO);
    pieces.extend(rest_of_bodies(&pieces, &bodies));
    pieces
}

/// Bodies with several lanes, and the openings that stand in them.
#[derive(Default)]
struct Bodies {
    count: u32,
    openings: u32,
}

impl Bodies {
    /// What each opening takes of them, a little less rather than more.
    fn each(&self) -> Decimal {
        (Decimal::from(self.count) / Decimal::from(self.openings.max(1))).trunc_with_scale(6)
    }
}

/// Bodies that several lanes may share, by device. The equipment counts a body at one lane and names it with a count of
/// nothing at the others; the price divides them evenly.
fn shared_bodies(cx: &Cx<'_>, design: Design<'_>) -> BTreeMap<DeviceId, Bodies> {
    let mut bodies: BTreeMap<DeviceId, Bodies> = BTreeMap::new();
    let fitted = design.equipment.openings.iter().flat_map(|equipped| &equipped.devices);
    for fitted in fitted.filter(|fitted| !fitted.kept) {
        if cx.device(&fitted.device).and_then(|device| device.lanes).is_some_and(|lanes| lanes > 1) {
            let bodies = bodies.entry(fitted.device.clone()).or_default();
            bodies.count = bodies.count.saturating_add(fitted.count);
            bodies.openings += 1;
        }
    }
    bodies
}

/// What the even shares leave of whole bodies, less than a millionth of one for each opening.
fn rest_of_bodies(pieces: &[Piece], bodies: &BTreeMap<DeviceId, Bodies>) -> Vec<Piece> {
    let mut sums: BTreeMap<&DeviceId, Decimal> = BTreeMap::new();
    for piece in pieces.iter().filter(|piece| piece.bought && bodies.contains_key(&piece.device)) {
        *sums.entry(&piece.device).or_default() += piece.quantity;
    }
    let rest = |(device, sum): (&DeviceId, Decimal)| Piece {
        quantity: sum.ceil() - sum,
        commissioned: false,
        fitted: false,
        ..Piece::new(device, 0, None, false)
    };
    sums.into_iter().map(rest).filter(|piece| !piece.quantity.is_zero()).collect()
}

/// Controllers in rooms; one is held back when none of its openings may be ordered.
fn controllers(design: Design<'_>) -> impl Iterator<Item = Piece> + '_ {
    design.placement.controllers.iter().map(move |placed| {
        let held = !placed.ports.iter().flatten().any(|mark| design.orderable(mark));
        let piece = Piece::new(&placed.device, 1, None, held);
        if placed.kept { piece.kept() } else { piece }
    })
}

/// Head-end, licences, credentials and the extras of the job. Credentials that the job buys as extras count first.
fn site_wide(cx: &Cx<'_>, design: Design<'_>) -> Vec<Piece> {
    let plan = design.capacity;
    let nothing_orderable = !design.survey.openings.iter().any(|opening| opening.orderable);
    let mut there = extras_of_kind(cx, design.job, DeviceKind::Credential);
    let head_end = plan.head_end.iter().map(|device| (device, plan.head_ends));
    let licences = plan.licences.iter().map(|(device, count)| (device, *count));
    let credentials = plan.credentials.iter().map(|(device, count)| {
        let bought_anyway = there.get_mut(device).map_or(0, |stock| take(stock, *count));
        (device, count - bought_anyway)
    });
    let planned = head_end.chain(licences).chain(credentials).map(|row| (row, nothing_orderable));
    let all = planned.chain(extras(design.job).map(|row| (row, false)));
    all.filter(|((_, count), _)| *count > 0)
        .map(|((device, count), held)| Piece::new(device, count, None, held))
        .collect()
}

/// What the job buys by number, each device with its count.
fn extras(job: &Job) -> impl Iterator<Item = (&DeviceId, u32)> {
    job.extras.iter().filter_map(|extra| Some((extra.device.as_ref()?, extra.count.unwrap_or(1))))
}

/// How many of each device of a kind the job buys by number.
pub(super) fn extras_of_kind(cx: &Cx<'_>, job: &Job, kind: DeviceKind) -> BTreeMap<DeviceId, u32> {
    let mut counts: BTreeMap<DeviceId, u32> = BTreeMap::new();
    for (device, count) in extras(job).filter(|row| cx.device(row.0).is_some_and(|device| device.kind == Some(kind))) {
        let stock = counts.entry(device.clone()).or_default();
        *stock = stock.saturating_add(count);
    }
    counts
}

/// How many of each device stay at each room besides controllers: what the design need not buy there.
pub(super) fn kept_in_rooms(cx: &Cx<'_>, job: &Job) -> BTreeMap<(RoomId, DeviceId), u32> {
    let mut kept = BTreeMap::new();
    for row in &job.existing {
        let stays = matches!(row.decision, Some(Keep::Kept | Keep::Adapted));
        if let (true, Some(room), Some(device)) = (stays, &row.room, &row.device) {
            let kind = cx.device(device).and_then(|device| device.kind);
            if matches!(kind, Some(DeviceKind::PowerSupply | DeviceKind::Battery | DeviceKind::Enclosure)) {
                let count: &mut u32 = kept.entry((room.clone(), device.clone())).or_default();
                *count = count.saturating_add(row.count.unwrap_or(1));
            }
        }
    }
    kept
}

/// Takes up to `wanted` out of a stock.
pub(super) fn take(stock: &mut u32, wanted: u32) -> u32 {
    let taken = wanted.min(*stock);
    *stock -= taken;
    taken
}
