//! What the job says about single openings beside the survey: the door, pins, equipment on site, floors, banks.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Hours, OpeningId, SpaceId, StoreyId};
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::{ArrangementKind, FailMode, Keep, Opening, OpeningKind};
use dw_job::{Catalogue, Job};

use super::body;
use super::plan::Role;
use super::situation::is_lane;
use crate::survey::Survey;

/// The pins of one opening, taken together; where two contradict, the first counts.
#[derive(Clone, Debug, Default)]
pub(super) struct Pinned {
    pub reader: Option<DeviceId>,
    pub controller: Option<DeviceId>,
    pub lock: Option<DeviceId>,
    pub fail_mode: Option<FailMode>,
    pub arrangement: Option<ArrangementKind>,
    /// Rows of the pins that name reader, controller and lock, counted from 1, to point at.
    pub rows: PinRows,
    /// Devices that cannot play the part they are pinned for; they are told and not used.
    pub misfits: Vec<Misfit>,
}

/// Rows of pins by field, counted from 1.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PinRows {
    pub reader: usize,
    pub controller: usize,
    pub lock: usize,
    pub arrangement: usize,
}

/// A device pinned for a part it cannot play.
#[derive(Clone, Debug)]
pub(super) struct Misfit {
    pub field: &'static str,
    pub row: usize,
    pub device: DeviceId,
    /// "is a lock, no controller".
    pub text: String,
}

/// A device on site that stays.
#[derive(Clone, Debug)]
pub(super) struct Staying {
    pub device: DeviceId,
    pub role: Role,
    pub adapt: Option<Hours>,
}

/// Where a lane stands in its bank.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct InBank {
    /// Bank, by running number.
    pub bank: usize,
    /// Place in the bank, from 0.
    pub place: u32,
    /// Lanes of the bank.
    pub lanes: u32,
}

/// Look-ups by opening.
pub(super) struct Register<'a> {
    openings: BTreeMap<&'a OpeningId, &'a Opening>,
    pins: BTreeMap<&'a OpeningId, Pinned>,
    staying: BTreeMap<&'a OpeningId, Vec<Staying>>,
    floors: BTreeMap<&'a StoreyId, u32>,
    banks: BTreeMap<&'a OpeningId, InBank>,
    blank: Opening,
    no_pin: Pinned,
}

impl<'a> Register<'a> {
    pub(super) fn new(catalogue: &Catalogue, job: &'a Job, survey: &'a Survey) -> Self {
        let openings: BTreeMap<_, _> = job.openings.iter().map(|opening| (&opening.mark, opening)).collect();
        Self {
            banks: banks(survey, &openings),
            openings,
            pins: pins(catalogue, job, survey),
            staying: staying(catalogue, job),
            floors: floors(job),
            blank: Opening::new(""),
            no_pin: Pinned::default(),
        }
    }

    /// The opening as the job writes it.
    pub(super) fn opening(&self, mark: &OpeningId) -> &Opening {
        self.openings.get(mark).copied().unwrap_or(&self.blank)
    }

    pub(super) fn pinned(&self, mark: &OpeningId) -> &Pinned {
        self.pins.get(mark).unwrap_or(&self.no_pin)
    }

    /// Devices on site that stay at the opening, in a role.
    pub(super) fn staying(&self, mark: &OpeningId, role: Role) -> impl Iterator<Item = &Staying> {
        self.all_staying(mark).iter().filter(move |staying| staying.role == role)
    }

    /// Every device on site that stays at the opening.
    pub(super) fn all_staying(&self, mark: &OpeningId) -> &[Staying] {
        self.staying.get(mark).map_or(&[], Vec::as_slice)
    }

    /// Floors of the building a storey belongs to.
    pub(super) fn floors(&self, storey: &StoreyId) -> u32 {
        self.floors.get(storey).copied().unwrap_or(1)
    }

    pub(super) fn bank(&self, mark: &OpeningId) -> Option<InBank> {
        self.banks.get(mark).copied()
    }
}

/// Pins of devices the catalogue knows; unknown ones are the survey's finding.
fn pins<'a>(catalogue: &Catalogue, job: &'a Job, survey: &Survey) -> BTreeMap<&'a OpeningId, Pinned> {
    let kinds: BTreeMap<&OpeningId, OpeningKind> = survey.openings.iter().map(|one| (&one.mark, one.kind)).collect();
    let mut pins: BTreeMap<&OpeningId, Pinned> = BTreeMap::new();
    for (row, pin) in (1..).zip(&job.pins) {
        let Some(opening) = &pin.opening else { continue };
        let Some(kind) = kinds.get(opening) else { continue };
        let pinned = pins.entry(opening).or_default();
        let Pinned { reader, controller, lock, rows, misfits, .. } = pinned;
        let fields = [
            ("reader", &pin.reader, reader, &mut rows.reader),
            ("controller", &pin.controller, controller, &mut rows.controller),
            ("lock", &pin.lock, lock, &mut rows.lock),
        ];
        for (field, named, slot, its_row) in fields {
            let Some(device) = named.as_ref().and_then(|id| catalogue.devices.get(id)) else { continue };
            match misfit(field, *kind, device) {
                Some(text) => misfits.push(Misfit { field, row, device: device.id.clone(), text }),
                None if slot.is_none() => (*slot, *its_row) = (Some(device.id.clone()), row),
                None => {}
            }
        }
        pinned.fail_mode = pinned.fail_mode.or(pin.fail_mode);
        if pinned.arrangement.is_none() && pin.arrangement.is_some() {
            (pinned.arrangement, pinned.rows.arrangement) = (pin.arrangement, row);
        }
    }
    pins
}

/// Why a device cannot play the part at an opening of this kind at all, whatever its figures.
fn misfit(field: &'static str, kind: OpeningKind, device: &Device) -> Option<String> {
    use DeviceKind as K;
    let lock_kind = body::kind_for(kind);
    let lift = kind == OpeningKind::LiftCar;
    let (plays, part) = match (field, device.kind) {
        ("reader", is) => (matches!(is, Some(K::Reader | K::StandaloneUnit | K::PlateCamera)), "reader".to_owned()),
        ("lock", is) => (is == Some(lock_kind), lock_kind.to_string()),
        (_, Some(K::LiftController)) => (lift, format!("controller of a {kind}")),
        (_, is) => (
            !lift && matches!(is, Some(K::Controller | K::Kit | K::StandaloneUnit)),
            if lift { K::LiftController.to_string() } else { "controller".to_owned() },
        ),
    };
    let is = device.kind.map_or_else(|| "device of no stated kind".to_owned(), |kind| kind.to_string());
    if !plays {
        return Some(format!("is a {is}, no {part}"));
    }
    let portless = field == "controller" && device.control.ports.unwrap_or(0) == 0;
    portless.then(|| format!("has no port for a {kind}"))
}

fn staying<'a>(catalogue: &Catalogue, job: &'a Job) -> BTreeMap<&'a OpeningId, Vec<Staying>> {
    let mut staying: BTreeMap<&OpeningId, Vec<Staying>> = BTreeMap::new();
    for item in &job.existing {
        let (Some(opening), Some(id)) = (&item.opening, &item.device) else { continue };
        if !matches!(item.decision, Some(Keep::Kept | Keep::Adapted)) {
            continue;
        }
        let role = catalogue.devices.get(id).and_then(|device| device.kind).and_then(role_of);
        if let Some(role) = role {
            let adapt = item.adapt.filter(|_| item.decision == Some(Keep::Adapted));
            let list = staying.entry(opening).or_default();
            // Two readers at an opening are the one on the way in and the one on the way out.
            let second = role == Role::ReaderIn && list.iter().any(|other| other.role == Role::ReaderIn);
            let role = if second { Role::ReaderOut } else { role };
            list.push(Staying { device: id.clone(), role, adapt });
            if role == Role::ReaderIn && item.count.is_some_and(|count| count > 1) {
                list.push(Staying { device: id.clone(), role: Role::ReaderOut, adapt });
            }
        }
    }
    staying
}

/// The part a device of a kind plays at an opening.
fn role_of(kind: DeviceKind) -> Option<Role> {
    use DeviceKind as K;
    Some(match kind {
        K::Reader | K::StandaloneUnit | K::PlateCamera => Role::ReaderIn,
        K::Lock | K::Turnstile | K::VehicleDrive => Role::Lock,
        K::PowerTransfer => Role::PowerTransfer,
        K::ExitRequest => Role::ExitRequest,
        K::EmergencyRelease => Role::EmergencyRelease,
        K::DoorContact => Role::DoorContact,
        K::Sounder => Role::Sounder,
        K::Splitter => Role::Splitter,
        _ => return None,
    })
}

/// Storeys of each storey's building; a building without a name counts its own storeys only.
fn floors(job: &Job) -> BTreeMap<&StoreyId, u32> {
    let mut of_building: BTreeMap<_, u32> = BTreeMap::new();
    for storey in &job.storeys {
        *of_building.entry(storey.building.as_ref()).or_default() += 1;
    }
    job.storeys
        .iter()
        .map(|storey| (&storey.id, of_building.get(&storey.building.as_ref()).copied().unwrap_or(1)))
        .collect()
}

/// Lanes between the same two spaces stand side by side, in the order of their marks.
fn banks<'a>(survey: &'a Survey, openings: &BTreeMap<&'a OpeningId, &'a Opening>) -> BTreeMap<&'a OpeningId, InBank> {
    type Sides<'a> = (OpeningKind, &'a StoreyId, &'a SpaceId, &'a SpaceId);
    let mut by_sides: BTreeMap<Sides<'a>, Vec<&'a OpeningId>> = BTreeMap::new();
    for surveyed in survey.openings.iter().filter(|surveyed| is_lane(surveyed.kind)) {
        let Some(opening) = openings.get(&surveyed.mark) else { continue };
        if let (Some(from), Some(to)) = (&opening.from, &opening.to) {
            by_sides.entry((surveyed.kind, &surveyed.storey, from, to)).or_default().push(&surveyed.mark);
        }
    }
    let mut banks = BTreeMap::new();
    for (bank, marks) in by_sides.into_values().enumerate() {
        let lanes = u32::try_from(marks.len()).unwrap_or(u32::MAX);
        for (place, mark) in (0..).zip(marks) {
            banks.insert(mark, InBank { bank, place, lanes });
        }
    }
    banks
}
