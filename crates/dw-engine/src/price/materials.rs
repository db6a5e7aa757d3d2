//! The bill of materials.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Metres, Money, OpeningId};
use dw_job::catalogue::{Device, DeviceKind};
use rust_decimal::Decimal;

use super::MaterialLine;
use super::rates::Exchange;
use super::rules::DevicePriceMissing;
use super::takeoff::{Design, Piece};
use crate::Cx;
use crate::route::{CablePurchase, RoomLink, Trench, reel_price, reels_of};

/// What stands for the model in the line of trenches.
const TRENCH: &str = "TRENCH";

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
    let held = held_share(design);
    tallies.extend(cable(cx, design, &held));
    for (trench, held) in trenches(design) {
        if let Some(fibre) = &trench.fibre {
            let tally = tallies.entry(fibre.clone()).or_default();
            let quantity = whole_metres(trench.fibre_m);
            tally.quantity += quantity;
            tally.held += if held { quantity } else { Decimal::ZERO };
        }
    }
    let mut lines: Vec<MaterialLine> = tallies
        .into_iter()
        .filter(|(_, tally)| tally.quantity > Decimal::ZERO)
        .map(|(device, tally)| line(cx, device, tally, exchange))
        .collect();
    lines.extend(by_reel(cx, design, &held, exchange));
    lines.extend(dug(design));
    lines.sort_by(|a, b| {
        (rank(a.section), &a.device, &a.description).cmp(&(rank(b.section), &b.device, &b.description))
    });
    lines
}

/// Trenches between rooms, and whether each must not be ordered yet.
fn trenches(design: Design<'_>) -> impl Iterator<Item = (&Trench, bool)> {
    let rooms = design.orderable_rooms();
    let dug = move |link: &'_ RoomLink| !rooms.contains(&link.to);
    design.routes.links.iter().filter_map(move |link| Some((link.trench.as_ref()?, dug(link))))
}

/// A line for all trenches, at the price of the policy: it is in the currency of the price.
fn dug(design: Design<'_>) -> Option<MaterialLine> {
    let (mut quantity, mut held_back) = (Decimal::ZERO, Decimal::ZERO);
    for (trench, held) in trenches(design) {
        let length = decimal(trench.length_m.get(), 3);
        quantity += length;
        held_back += if held { length } else { Decimal::ZERO };
    }
    let unit_price = design.survey.settings.money.trench_metre.map(Money::to_cents);
    let line = MaterialLine {
        section: section(Some(DeviceKind::Switch)),
        device: DeviceId::new(TRENCH),
        description: "Trench between rooms, with duct and reinstatement".to_owned(),
        quantity: number(quantity),
        unit: "m",
        unit_price,
        total: unit_price.unwrap_or_default().times(quantity),
        held_back: number(held_back),
    };
    (quantity > Decimal::ZERO).then_some(line)
}

/// Share of each cable that belongs to openings that may not be ordered.
fn held_share(design: Design<'_>) -> BTreeMap<DeviceId, Decimal> {
    let mut held: BTreeMap<&DeviceId, f64> = BTreeMap::new();
    let mut orderable: BTreeMap<&OpeningId, bool> = BTreeMap::new();
    for run in design.cables.runs.iter().filter(|run| !run.existing) {
        let may = *orderable.entry(&run.mark).or_insert_with(|| design.orderable(&run.mark));
        if let (Some(device), false) = (&run.device, may) {
            *held.entry(device).or_default() += run.length_m.get();
        }
    }
    let share = |purchase: &CablePurchase| {
        let share = held.get(&purchase.device).copied().unwrap_or(0.0) / purchase.cut_m.get().max(f64::MIN_POSITIVE);
        (purchase.device.clone(), decimal(share.min(1.0), 9))
    };
    design.cables.purchases.iter().map(share).collect()
}

/// Whether the catalogue prices a reel of this cable, so that it is bought by the reel.
fn is_priced_by_reel(cx: &Cx<'_>, id: &DeviceId) -> bool {
    cx.device(id).is_some_and(|device| reels_of(device).iter().any(|reel| reel.1.is_some()))
}

/// Cable by the whole metre (*common practice*); the part of openings that may not be ordered is held back. Of a cable
/// priced by the reel only what comes beside reels.
fn cable(cx: &Cx<'_>, design: Design<'_>, held: &BTreeMap<DeviceId, Decimal>) -> BTreeMap<DeviceId, Tally> {
    let mut tallies: BTreeMap<DeviceId, Tally> = BTreeMap::new();
    for purchase in &design.cables.purchases {
        let by_reel = is_priced_by_reel(cx, &purchase.device);
        let quantity = whole_metres(if by_reel { beside(purchase) } else { purchase.bought_m });
        let share = held.get(&purchase.device).copied().unwrap_or_default();
        let tally = tallies.entry(purchase.device.clone()).or_default();
        tally.quantity += quantity;
        tally.held += (quantity * share).ceil();
    }
    tallies
}

/// What is bought beside the reels of a purchase.
fn beside(purchase: &CablePurchase) -> Metres {
    purchase.bought_m - purchase.reels.iter().map(|reel| reel.length_m).sum()
}

fn whole_metres(length: Metres) -> Decimal {
    decimal(length.get(), 3).ceil()
}

/// How many reels of each length are bought of a cable, each with its price in the money of the job; `None` where the
/// catalogue states none.
fn reels<'c>(
    device: &'c Device,
    purchase: &'c CablePurchase,
    exchange: Exchange,
) -> impl Iterator<Item = (Metres, Decimal, Option<Money>)> + 'c {
    let counted = reels_of(device).into_iter().map(move |reel| {
        let count = purchase.reels.iter().filter(|cut| cut.length_m == reel.0).count();
        (reel.0, Decimal::from(count), reel_price(device, reel).map(|price| exchange.to_job(price)))
    });
    counted.filter(|reel| reel.1 > Decimal::ZERO)
}

/// Reels of cables that are priced by the reel, a line for each length.
fn by_reel(
    cx: &mut Cx<'_>,
    design: Design<'_>,
    held: &BTreeMap<DeviceId, Decimal>,
    exchange: Exchange,
) -> Vec<MaterialLine> {
    let mut lines = Vec::new();
    for purchase in &design.cables.purchases {
        let Some(device) = cx.device(&purchase.device).filter(|_| is_priced_by_reel(cx, &purchase.device)) else {
            continue;
        };
        for (length, quantity, unit_price) in reels(device, purchase, exchange) {
            if unit_price.is_none() {
                cx.sink.report(&DevicePriceMissing { device: device.id.clone(), quantity: number(quantity) });
            }
            let name = described(device).unwrap_or_else(|| device.id.to_string());
            lines.push(MaterialLine {
                section: section(device.kind),
                description: format!("{name}, reel of {length}"),
                device: device.id.clone(),
                quantity: number(quantity),
                unit: "reel",
                unit_price,
                total: unit_price.unwrap_or_default().times(quantity),
                held_back: number((quantity * held.get(&device.id).copied().unwrap_or_default()).ceil()),
            });
        }
    }
    lines
}

/// What a metre of each cable that is priced by the reel costs: all that is bought of it, by its length.
fn metres_on_reels(cx: &Cx<'_>, design: Design<'_>, exchange: Exchange) -> BTreeMap<DeviceId, Money> {
    let metre = |purchase: &CablePurchase| {
        let device = cx.device(&purchase.device).filter(|_| is_priced_by_reel(cx, &purchase.device))?;
        let reels = reels(device, purchase, exchange).map(|(_, count, price)| price.unwrap_or_default().times(count));
        let loose = exchange.price(cx, &device.id).unwrap_or_default().times(whole_metres(beside(purchase)));
        let all = (reels.sum::<Money>() + loose).amount();
        let metre = all.checked_div(decimal(purchase.bought_m.get(), 3))?;
        Some((device.id.clone(), Money::new(metre.trunc_with_scale(6))))
    };
    design.cables.purchases.iter().filter_map(metre).collect()
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

/// What each opening takes directly: its pieces and the metres cut for it, in the order of the survey; metres of a cable
/// priced by the reel at what they cost there.
///
/// The waste of cable, controllers and everything else that no single opening takes is shared.
pub(super) fn by_opening(cx: &Cx<'_>, design: Design<'_>, pieces: &[Piece], exchange: Exchange) -> Vec<Money> {
    let mut direct = vec![Money::ZERO; design.survey.openings.len()];
    for piece in pieces.iter().filter(|piece| piece.bought) {
        if let (Some(index), Some(price)) = (piece.opening, exchange.price(cx, &piece.device)) {
            direct[index] += price.times(piece.quantity);
        }
    }
    let on_reels = metres_on_reels(cx, design, exchange);
    let metre = |device: &DeviceId| on_reels.get(device).copied().or_else(|| exchange.price(cx, device));
    for run in design.cables.runs.iter().filter(|run| !run.existing) {
        let price = run.device.as_ref().and_then(metre);
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
