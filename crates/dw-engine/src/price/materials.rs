//! The bill of materials.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Money, OpeningId};
use dw_job::catalogue::{Device, DeviceKind};
use rust_decimal::Decimal;

use super::MaterialLine;
use super::rates::Exchange;
use super::rules::DevicePriceMissing;
use super::takeoff::{Design, Piece};
use crate::Cx;

/// Parts of the bill in the order of paper.
const SECTIONS: [&str; 10] = [
    "Control",
    "Readers",
    "Lanes and drives",
    "Locks",
    "Door devices",
    "Power",
    "Cable",
    "Network",
    "People",
    "Head-end",
];

/// How much of a device is bought.
#[derive(Clone, Copy, Default)]
struct Tally {
    quantity: Decimal,
    held: Decimal,
}

/// The lines of the bill, by section and device. Each is quantity x unit price to the cent; the unit price is itself
/// whole cents, so that a line can be checked from the paper.
pub(super) fn lines(cx: &mut Cx<'_>, design: Design<'_>, pieces: &[Piece], exchange: Exchange) -> Vec<MaterialLine> {
    let mut tallies: BTreeMap<DeviceId, Tally> = BTreeMap::new();
    for piece in pieces.iter().filter(|piece| piece.bought) {
        let tally = tallies.entry(piece.device.clone()).or_default();
        tally.quantity += piece.quantity;
        tally.held += if piece.held { piece.quantity } else { Decimal::ZERO };
    }
    tallies.extend(cable(design));
    let mut lines: Vec<MaterialLine> = tallies
        .into_iter()
        .filter(|(_, tally)| tally.quantity > Decimal::ZERO)
        .map(|(device, tally)| line(cx, device, tally, exchange))
        .collect();
    lines.sort_by(|a, b| (rank(a.section), &a.device).cmp(&(rank(b.section), &b.device)));
    lines
}

/// Cable by the whole metre (*common practice*); the part of openings that may not be ordered is held back.
fn cable(design: Design<'_>) -> BTreeMap<DeviceId, Tally> {
    let mut held: BTreeMap<&DeviceId, f64> = BTreeMap::new();
    let mut orderable: BTreeMap<&OpeningId, bool> = BTreeMap::new();
    for run in design.cables.runs.iter().filter(|run| !run.existing) {
        let may = *orderable.entry(&run.mark).or_insert_with(|| design.orderable(&run.mark));
        if let (Some(device), false) = (&run.device, may) {
            *held.entry(device).or_default() += run.length_m.get();
        }
    }
    let mut tallies: BTreeMap<DeviceId, Tally> = BTreeMap::new();
    for purchase in &design.cables.purchases {
        let quantity = decimal(purchase.bought_m.get(), 3).ceil();
        let share = held.get(&purchase.device).copied().unwrap_or(0.0) / purchase.cut_m.get().max(f64::MIN_POSITIVE);
        let tally = tallies.entry(purchase.device.clone()).or_default();
        tally.quantity += quantity;
        tally.held += (quantity * decimal(share.min(1.0), 9)).ceil();
    }
    tallies
}

fn line(cx: &mut Cx<'_>, id: DeviceId, tally: Tally, exchange: Exchange) -> MaterialLine {
    let device = cx.device(&id);
    let unit_price = exchange.price(cx, &id);
    if unit_price.is_none() {
        cx.sink.report(&DevicePriceMissing { device: id.clone(), quantity: number(tally.quantity) });
    }
    let kind = device.and_then(|device| device.kind);
    MaterialLine {
        section: section(kind),
        description: device.and_then(described).unwrap_or_else(|| id.to_string()),
        device: id,
        quantity: number(tally.quantity),
        unit: if kind == Some(DeviceKind::Cable) { "m" } else { "each" },
        unit_price,
        total: unit_price.unwrap_or_default().times(tally.quantity),
        held_back: number(tally.held),
    }
}

fn described(device: &Device) -> Option<String> {
    device.description.clone()
}

/// What each opening takes directly: its pieces and the metres cut for it, in the order of the survey.
///
/// The waste of cable, controllers and everything else that no single opening takes is shared.
pub(super) fn by_opening(cx: &Cx<'_>, design: Design<'_>, pieces: &[Piece], exchange: Exchange) -> Vec<Money> {
    let mut direct = vec![Money::ZERO; design.survey.openings.len()];
    for piece in pieces.iter().filter(|piece| piece.bought) {
        if let (Some(index), Some(price)) = (piece.opening, exchange.price(cx, &piece.device)) {
            direct[index] += price.times(piece.quantity);
        }
    }
    for run in design.cables.runs.iter().filter(|run| !run.existing) {
        let price = run.device.as_ref().and_then(|device| exchange.price(cx, device));
        if let (Some(index), Some(price)) = (design.index(&run.mark), price) {
            direct[index] += price.times_quantity(run.length_m.get());
        }
    }
    direct
}

fn section(kind: Option<DeviceKind>) -> &'static str {
    use DeviceKind as K;
    match kind {
        Some(K::Reader | K::PlateCamera | K::StandaloneUnit) => "Readers",
        Some(K::Turnstile | K::VehicleDrive) => "Lanes and drives",
        Some(K::Lock | K::PowerTransfer) => "Locks",
        Some(K::ExitRequest | K::EmergencyRelease | K::DoorContact | K::Sounder) => "Door devices",
        Some(K::PowerSupply | K::Battery | K::Enclosure | K::Splitter) => "Power",
        Some(K::Cable) => "Cable",
        Some(K::Switch | K::RadioBridge | K::SurgeProtector) => "Network",
        Some(
            K::EnrolmentStation
            | K::VisitorDesk
            | K::BadgePrinter
            | K::Credential
            | K::WalkThroughDetector
            | K::HandHeldDetector,
        ) => "People",
        Some(K::HeadEnd | K::Licence) => "Head-end",
        Some(K::Controller | K::Kit | K::LiftController | K::Expander | K::VideoInterface) | None => "Control",
    }
}

fn rank(section: &str) -> usize {
    SECTIONS.iter().position(|known| *known == section).unwrap_or(SECTIONS.len())
}

/// A measured quantity as a decimal. Beyond any estate it is cut off, so that no sum of such quantities overflows.
pub(super) fn decimal(quantity: f64, digits: u32) -> Decimal {
    const MOST: f64 = 1e12;
    Decimal::from_f64_retain(quantity.clamp(-MOST, MOST)).unwrap_or_default().round_dp(digits)
}

/// A decimal quantity as a number for the plan.
pub(super) fn number(quantity: Decimal) -> f64 {
    use rust_decimal::prelude::ToPrimitive;
    quantity.to_f64().unwrap_or(0.0)
}
