//! Readers: what excludes one on the way in or out, and the false matches of a search.

use dw_core::{DeviceId, Hours};
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::{Factor, OpeningKind, ReaderPlace};

use super::bench::Bench;
use super::exclude::{Ground, Reason, common};
use super::flow::Flow;
use super::situation::{Surroundings, is_vehicle, millimetres};
use super::whole_life::WholeLife;
use crate::identity::searches::false_positive_identification;

/// Largest share of users whose fingers may fail, in thousandths: with more than one in ten the second method makes
/// the queue (*common practice*; enrolment trouble alone is planned at 2 to 5 %).
pub(super) const FINGERS_UNFIT_LIMIT: i64 = 100;

/// What one direction of an opening asks of its reader.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Direction {
    pub kind: OpeningKind,
    pub factors: u32,
    pub demanded: Vec<Factor>,
    pub refused: Vec<Factor>,
    pub around: Surroundings,
    /// The same for a camera in a housing of its own.
    pub around_body: Surroundings,
    pub place: ReaderPlace,
    pub width_mm: Option<i64>,
    pub picture: bool,
    /// Share of users whose fingers are expected to fail, thousandths.
    pub fingers_unfit: i64,
    /// Share of users in gloves, thousandths.
    pub gloved: i64,
    pub people: u32,
    pub finger_templates: u32,
    pub vehicles: u32,
    pub flow: Flow,
}

impl Direction {
    /// Factors asked for: the number demanded, and at least every one named.
    fn wanted(&self) -> usize {
        (self.factors as usize).max(self.demanded.len()).max(1)
    }

    /// References a search goes through for a factor (ISO/IEC 19795-1 counts references, not persons).
    pub(super) fn references(&self, factor: Factor) -> u32 {
        match factor {
            Factor::Finger => self.finger_templates.max(self.people),
            Factor::Plate => self.vehicles,
            _ => self.people,
        }
    }
}

/// A reader looked at for one direction, before anything is known of controllers.
#[derive(Clone, Debug)]
pub(super) struct Checked<'a> {
    pub device: &'a Device,
    pub used: Vec<Factor>,
    pub reasons: Vec<Reason>,
    pub cost: WholeLife,
    /// False match rate and references of the search it makes, when it makes one.
    pub search: Option<(f64, u32)>,
}

impl Checked<'_> {
    pub(super) fn excluded(&self) -> bool {
        self.reasons.iter().any(Reason::excludes)
    }
}

/// Every reader, unit and plate camera of the catalogue, each with what speaks against it in this direction.
pub(super) fn check_all<'a>(
    bench: &Bench<'a>,
    direction: &Direction,
    kept: Option<(&DeviceId, Option<i64>)>,
    pinned: Option<&DeviceId>,
) -> Vec<Checked<'a>> {
    let kinds = [DeviceKind::Reader, DeviceKind::StandaloneUnit, DeviceKind::PlateCamera];
    let named = pinned.and_then(|id| bench.catalogue.devices.get(id));
    let named = named.filter(|device| !device.kind.is_some_and(|kind| kinds.contains(&kind)));
    let all = kinds.into_iter().flat_map(|kind| bench.catalogue.of_kind(kind)).chain(named);
    all.map(|device| check(bench, direction, kept, pinned, device)).collect()
}

fn check<'a>(
    bench: &Bench<'a>,
    direction: &Direction,
    kept: Option<(&DeviceId, Option<i64>)>,
    pinned: Option<&DeviceId>,
    device: &'a Device,
) -> Checked<'a> {
    let camera = device.kind == Some(DeviceKind::PlateCamera);
    let around = if camera { &direction.around_body } else { &direction.around };
    let mut reasons = common(device, &bench.refused, around);
    kind_and_place(direction, device, &mut reasons);
    let used = factors(direction, device, pinned == Some(&device.id), &mut reasons);
    if direction.picture && device.reading.picture != Some(true) {
        reasons.push(Reason::hard(Ground::Picture, "takes no picture, one is wanted at each passage"));
    }
    let search = search(bench, direction, device, &used, &mut reasons);
    passage(direction, device, &mut reasons);
    let adapt = kept.filter(|(id, _)| **id == device.id).map(|(_, hours)| hours);
    let cost = match adapt {
        Some(hours) => bench.costs.kept(device, hours.map(|hours| Hours::new(hours as f64 / 1000.0))),
        None => bench.costs.of(device).copied().unwrap_or_else(|| bench.costs.kept(device, None)),
    };
    Checked { device, used, reasons, cost, search }
}

fn kind_and_place(direction: &Direction, device: &Device, reasons: &mut Vec<Reason>) {
    let reads = matches!(device.kind, Some(DeviceKind::Reader | DeviceKind::StandaloneUnit | DeviceKind::PlateCamera));
    if !reads {
        reasons.push(Reason::hard(Ground::OtherKind, "is no reader"));
    }
    let only_plates = device.kind == Some(DeviceKind::PlateCamera);
    if only_plates && !is_vehicle(direction.kind) {
        reasons.push(Reason::hard(Ground::Suits, format!("reads plates, a {} is for people", direction.kind)));
    }
    if !device.suits.is_empty() && !device.suits.contains(&direction.kind) {
        reasons.push(Reason::hard(Ground::Suits, format!("does not suit {} openings", direction.kind)));
    }
    let places = &device.reading.places;
    if places.is_empty() {
        reasons.push(Reason::missing("mounting place"));
    } else if !places.contains(&direction.place) {
        let sits = places.iter().map(|place| place.word()).collect::<Vec<_>>().join(" or ");
        reasons.push(Reason::hard(Ground::Place, format!("sits on {sits}, the place is a {}", direction.place)));
    }
    // A box is in the wall and a post takes a bracket: only a mullion limits the width.
    let mullion = direction.place == ReaderPlace::Mullion;
    if let (Some(room), Some(width), true) = (direction.width_mm, device.size.width.map(millimetres), mullion)
        && width > room
    {
        reasons.push(Reason::hard(Ground::Width, format!("is {width} mm wide, the place takes {room} mm")));
    }
}

/// Order in which factors are asked for when the job names none: what most people carry first.
const USUAL_ORDER: [Factor; 6] = [Factor::Card, Factor::Plate, Factor::Pin, Factor::Finger, Factor::Face, Factor::Vein];

/// Order for a pinned reader: a reader of fingers is pinned for fingers, not for the card it takes as well.
const PINNED_ORDER: [Factor; 6] =
    [Factor::Finger, Factor::Face, Factor::Vein, Factor::Plate, Factor::Card, Factor::Pin];

/// The factors the reader would ask for here.
fn factors(direction: &Direction, device: &Device, pinned: bool, reasons: &mut Vec<Reason>) -> Vec<Factor> {
    let offered: Vec<Factor> =
        device.reading.factors.iter().copied().filter(|factor| !direction.refused.contains(factor)).collect();
    let fit: Vec<Factor> =
        offered.iter().copied().filter(|factor| unfit(direction, device, *factor).is_none()).collect();
    let chosen = if pinned {
        among(direction, &offered, PINNED_ORDER)
    } else {
        among(direction, &fit, USUAL_ORDER).or_else(|| among(direction, &offered, USUAL_ORDER))
    };
    let Some(used) = chosen else {
        reasons.push(short_of_factors(direction, &offered));
        return offered;
    };
    most_at_once(device, direction.wanted(), reasons);
    // Hands or sun alone stand in the way of what it would ask for.
    reasons.extend(used.iter().filter_map(|factor| unfit(direction, device, *factor)));
    used
}

/// Demanded factors first, then the order given, until enough; `None` when they do not suffice.
fn among(direction: &Direction, usable: &[Factor], order: [Factor; 6]) -> Option<Vec<Factor>> {
    let mut used: Vec<Factor> = Vec::new();
    for factor in &direction.demanded {
        if !usable.contains(factor) {
            return None;
        }
        if !used.contains(factor) {
            used.push(*factor);
        }
    }
    for factor in order.into_iter().filter(|factor| usable.contains(factor)) {
        if used.len() < direction.wanted() && !used.contains(&factor) {
            used.push(factor);
        }
    }
    (used.len() >= direction.wanted()).then_some(used)
}

fn most_at_once(device: &Device, wanted: usize, reasons: &mut Vec<Reason>) {
    if let Some(most) = device.reading.max_factors
        && (most as usize) < wanted
    {
        reasons.push(Reason::hard(Ground::Factors, format!("asks for {most} factors at once, {wanted} are demanded")));
    }
}

fn short_of_factors(direction: &Direction, offered: &[Factor]) -> Reason {
    let list = |factors: &[Factor]| {
        if factors.is_empty() {
            return "nothing allowed here".to_owned();
        }
        factors.iter().map(|factor| factor.word()).collect::<Vec<_>>().join(", ")
    };
    let text = if direction.demanded.is_empty() {
        format!("takes {}; {} factors are demanded", list(offered), direction.wanted())
    } else {
        let named = list(&direction.demanded);
        format!("takes {}; {} factors are demanded, {named} among them", list(offered), direction.wanted())
    };
    Reason::hard(Ground::Factors, text)
}

/// Why a factor does not work for the people or in the light there.
fn unfit(direction: &Direction, device: &Device, factor: Factor) -> Option<Reason> {
    let percent = |thousandths: i64| format!("{}.{} %", thousandths / 10, thousandths % 10);
    let limit = percent(FINGERS_UNFIT_LIMIT);
    match factor {
        Factor::Finger if direction.fingers_unfit > FINGERS_UNFIT_LIMIT => {
            let share = percent(direction.fingers_unfit);
            Some(Reason::hard(
                Ground::Hands,
                format!("reads fingers; {share} of the users are expected to fail, {limit} is the limit"),
            ))
        }
        Factor::Vein if direction.gloved > FINGERS_UNFIT_LIMIT => {
            let share = percent(direction.gloved);
            Some(Reason::hard(
                Ground::Hands,
                format!("reads veins of bare hands; {share} of the users wear gloves, {limit} is the limit"),
            ))
        }
        Factor::Face | Factor::Vein if direction.around.sun && device.environment.sun != Some(true) => Some(
            Reason::hard(Ground::Sun, format!("reads a {factor} and is not made for direct sun, which the place has")),
        ),
        _ => None,
    }
}

/// A biometric factor without a card to claim an identity is searched for among everybody enrolled.
fn search(
    bench: &Bench<'_>,
    direction: &Direction,
    device: &Device,
    used: &[Factor],
    reasons: &mut Vec<Reason>,
) -> Option<(f64, u32)> {
    let biometric = |factor: &&Factor| matches!(factor, Factor::Finger | Factor::Face | Factor::Vein);
    let factor = used.iter().find(biometric).copied()?;
    if used.contains(&Factor::Card) {
        return None;
    }
    if device.reading.searches == Some(false) {
        reasons.push(Reason::hard(
            Ground::Factors,
            format!("checks one claimed identity; no card is among the factors ({factor}) asked for"),
        ));
        return None;
    }
    let Some(rate) = device.reading.false_match_rate else {
        reasons.push(Reason::missing("false match rate"));
        return None;
    };
    let references = direction.references(factor);
    let chance = false_positive_identification(rate, f64::from(references), 0.0);
    if chance > bench.max_false_match {
        reasons.push(Reason::hard(
            Ground::FalseMatch,
            format!(
                "passes a wrong person with chance {chance:.2e} a search among {references} references, the limit is {:.2e}",
                bench.max_false_match
            ),
        ));
    }
    Some((rate, references))
}

/// A slow reader still passes people, so it only ranks behind.
const SLOW: u32 = 4;

fn passage(direction: &Direction, device: &Device, reasons: &mut Vec<Reason>) {
    if direction.flow == Flow::Unknown {
        return;
    }
    match Flow::through(device) {
        None => reasons.push(Reason::missing("passage time")),
        Some(rate) => {
            reasons.extend(direction.flow.too_slow(rate).map(|text| Reason::soft(Ground::Passage, SLOW, text)));
        }
    }
}
