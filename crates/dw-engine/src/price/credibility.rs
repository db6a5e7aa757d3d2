//! Whether the demo catalogue prices typical openings as a veteran would expect.
//!
//! The bands are *common practice* (hours and price ratios of the trade): cabling, commissioning and a share of the
//! controller included; work done once a job, people and the head-end left out.

use dw_core::{DeviceId, Metres, OpeningId, RoomId};
use dw_job::Document;
use dw_job::catalogue::{CableUse, Catalogue, DeviceKind};
use dw_job::model::{Factor, OpeningKind, WorkKind};
use rust_decimal::prelude::ToPrimitive;

use super::testing::{self, Site, enclosure, run, run_of};
use crate::equip::{ControlNeed, Fitted, Role};
use crate::place::PlacedController;
use crate::route::CablePurchase;

macro_rules! catalogue_file {
    ($name:literal) => {
        Document {
            name: concat!($name, ".toml").to_owned(),
            bytes: include_bytes!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/catalogue/", $name, ".toml"))
                .to_vec(),
        }
    };
}

fn demo_catalogue() -> Catalogue {
    let files = [
        catalogue_file!("control"),
        catalogue_file!("readers"),
        catalogue_file!("locks"),
        catalogue_file!("power"),
        catalogue_file!("cable"),
        catalogue_file!("network"),
        catalogue_file!("people"),
        catalogue_file!("labour"),
    ];
    Catalogue::read(&files).0
}

/// Length of every cable of an opening (*common practice*: 35-60 m in an office).
const ROUTE: Metres = Metres::new(45.0);
/// Openings priced together: those of one controller.
const TOGETHER: u32 = 4;

/// What an opening is made of.
struct Typical {
    kind: OpeningKind,
    work: WorkKind,
    devices: &'static [(&'static str, Role)],
    cables: &'static [(&'static str, CableUse)],
}

const READER: (&str, Role) = ("DW-R1W", Role::ReaderIn);
const SINGLE: &[(&str, Role)] =
    &[READER, ("DW-S1", Role::Lock), ("DW-Y1", Role::DoorContact), ("DW-Q2", Role::ExitRequest)];
const SINGLE_CABLES: &[(&str, CableUse)] = &[
    ("DW-6x0.22", CableUse::Reader),
    ("DW-2x1.0", CableUse::Lock),
    ("DW-4x0.22", CableUse::Contact),
    ("DW-4x0.22", CableUse::ExitRequest),
];

const NEW_SINGLE: Typical =
    Typical { kind: OpeningKind::Single, work: WorkKind::New, devices: SINGLE, cables: SINGLE_CABLES };
const RETROFIT: Typical = Typical { work: WorkKind::Retrofit, ..NEW_SINGLE };
const TAKEOVER: Typical = Typical { work: WorkKind::Takeover, cables: &[], ..NEW_SINGLE };
const RETRACTION_PAIR: Typical = Typical {
    kind: OpeningKind::Pair,
    work: WorkKind::New,
    devices: &[
        READER,
        ("DW-E1P-24", Role::Lock),
        ("DW-H4", Role::PowerTransfer),
        ("DW-Y1", Role::DoorContact),
        ("DW-Y1", Role::DoorContact),
    ],
    cables: &[("DW-6x0.22", CableUse::Reader), ("DW-2x1.5", CableUse::Lock), ("DW-4x0.22", CableUse::Contact)],
};
const LANE: Typical = Typical {
    kind: OpeningKind::TurnstileLane,
    work: WorkKind::New,
    devices: &[("DW-R3B", Role::ReaderIn), ("DW-R3B", Role::ReaderOut), ("DW-T1", Role::Lock)],
    cables: &[("DW-6x0.22", CableUse::Reader), ("DW-6x0.22", CableUse::Reader), ("DW-4x0.22", CableUse::Contact)],
};

/// Hours and net price of one such opening: a quarter of what four on a controller add to a job without openings.
fn installed(catalogue: &Catalogue, typical: &Typical) -> (f64, f64) {
    let (with, without) = (quote(catalogue, Some(typical)), quote(catalogue, None));
    let share = f64::from(TOGETHER);
    ((with.0 - without.0) / share, (with.1 - without.1) / share)
}

fn quote(catalogue: &Catalogue, typical: Option<&Typical>) -> (f64, f64) {
    let mut site = Site::empty(catalogue.clone());
    site.survey.rooms.push(testing::room("T"));
    // An opening without devices: what a job costs whatever its openings are is then on both sides.
    site.survey.openings.push(testing::surveyed(&OpeningId::new("A-0")));
    if let Some(typical) = typical {
        for number in 1..=TOGETHER {
            opening(&mut site, typical, number);
        }
        controller(&mut site);
    }
    let (price, cx) = run(&site);
    let told: Vec<&str> = cx.sink.findings.iter().map(|finding| finding.headline.as_str()).collect();
    assert_eq!(told, [""; 0]);
    let hours = price.labour.iter().map(|line| (line.hours_h + line.out_of_hours_h).get()).sum();
    (hours, price.net.amount().to_f64().unwrap())
}

fn opening(site: &mut Site, typical: &Typical, number: u32) {
    let mark = OpeningId::new(&format!("D-{number}"));
    let mut surveyed = testing::surveyed(&mark);
    (surveyed.kind, surveyed.work) = (typical.kind, typical.work);
    site.survey.openings.push(surveyed);
    let kept = typical.work == WorkKind::Takeover;
    let fitted = |&(id, role): &(&str, Role)| Fitted { device: DeviceId::new(id), count: 1, role, kept };
    let control = ControlNeed::Ports { ports: 1, models: Vec::new() };
    let devices = typical.devices.iter().map(fitted).collect();
    site.equipment.openings.push(testing::equipped(&mark, control, devices));
    for (cable, purpose) in typical.cables {
        site.cables.runs.push(run_of(&mark, cable, *purpose, ROUTE));
        site.cables.purchases.push(CablePurchase::by_metre(DeviceId::new(cable), ROUTE, ROUTE * 1.08));
    }
}

/// A controller for four openings in an enclosure with supply and battery, and licences.
fn controller(site: &mut Site) {
    let ports = (1..=TOGETHER).map(|number| Some(OpeningId::new(&format!("D-{number}")))).collect();
    let (label, room) = ("T/C1".to_owned(), RoomId::new("T"));
    let device = DeviceId::new("DW-C4");
    site.placement.controllers.push(PlacedController { label, room, device, number: 1, ports, kept: false });
    let parts = ["DW-B8", "DW-P12-10", "DW-W18"].map(|id| Some(DeviceId::new(id)));
    site.power.enclosures.push(enclosure(1, 0, parts));
    site.capacity.licences.push((DeviceId::new("DW-LI1"), TOGETHER));
}

fn assert_between(what: &str, value: f64, least: f64, most: f64) {
    assert!((least..=most).contains(&value), "{what}: {value:.2} is not between {least} and {most}");
}

#[test]
fn hours_of_typical_openings_are_those_of_the_trade() {
    let catalogue = demo_catalogue();
    let hours = |typical| installed(&catalogue, typical).0;
    assert_between("new single door", hours(&NEW_SINGLE), 8.0, 12.0);
    assert_between("retrofit", hours(&RETROFIT), 12.0, 16.0);
    assert_between("latch-retraction pair", hours(&RETRACTION_PAIR), 16.0, 24.0);
    assert_between("takeover", hours(&TAKEOVER), 2.0, 4.0);
}

#[test]
fn prices_stand_to_a_single_door_as_in_the_trade() {
    let catalogue = demo_catalogue();
    let single = installed(&catalogue, &NEW_SINGLE).1;
    let ratio = |typical| installed(&catalogue, typical).1 / single;
    assert_between("pair", ratio(&RETRACTION_PAIR), 2.0, 2.5);
    assert_between("takeover", ratio(&TAKEOVER), 0.35, 0.5);
    assert_between("turnstile lane", ratio(&LANE), 8.0, 15.0);
}

#[test]
fn a_biometric_reader_costs_four_to_eight_card_readers() {
    let catalogue = demo_catalogue();
    let price = |device: &dw_job::catalogue::Device| device.price.unwrap().amount().to_f64().unwrap();
    let of_kind = |kind| catalogue.of_kind(kind);
    let readers: Vec<_> = of_kind(DeviceKind::Reader).chain(of_kind(DeviceKind::StandaloneUnit)).collect();
    let card = readers
        .iter()
        .filter(|device| device.kind == Some(DeviceKind::Reader) && device.reading.factors == [Factor::Card])
        .map(|device| price(device))
        .fold(f64::INFINITY, f64::min);
    let biometric = |device: &&&dw_job::catalogue::Device| {
        device.reading.factors.iter().any(|factor| matches!(factor, Factor::Finger | Factor::Face | Factor::Vein))
    };
    let dear: Vec<_> = readers.iter().filter(biometric).collect();
    assert!(dear.len() > 5);
    for device in dear {
        assert_between(&device.id.to_string(), price(device) / card, 4.0, 8.0);
    }
}
