//! Generates sites of any size from a seed: buildings of three storeys on a grid, a telecom room a storey, doors with
//! the mix of kinds, works and people a campus has. Everything is invented.

use dw_core::{GroupId, Metres, Minutes, OpeningId, RoomId, SpaceId, StoreyId, ZoneId};
use dw_job::model::{
    BlockedArea, Building, CableWay, CableWayKind, Duty, EscapeDuty, ExitRequest, Exposure, Group, InsideHandle,
    Material, Opening, OpeningKind, Preparation, ReaderPlace, Right, Room, Space, Status, Storey, TransferPreparation,
    WorkKind, Works, Zone,
};
use dw_job::{Document, Job};

/// Openings on one storey of a generated building.
const OPENINGS_A_STOREY: usize = 14;
/// Storeys of a generated building.
const STOREYS: usize = 3;
/// Side of the square a building stands on, in metres.
const PLOT_M: f64 = 80.0;

/// SplitMix64 (Steele, Lea and Flood 2014): small, fast, the same everywhere.
struct Random(u64);

impl Random {
    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    }

    fn share(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        (low + (high - low) * self.share()).round()
    }
}

/// The documents of a folder of the shipped data, in the order of their names.
pub(crate) fn files(folder: &str) -> Vec<Document> {
    let folder = format!("{}/../../data/{folder}", env!("CARGO_MANIFEST_DIR"));
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    paths.sort();
    let document =
        |path: std::path::PathBuf| Document { name: path.display().to_string(), bytes: std::fs::read(&path).unwrap() };
    paths.into_iter().map(document).collect()
}

/// A site with `n_openings` openings.
pub(crate) fn site(n_openings: usize, seed: u64) -> Job {
    let mut random = Random(seed);
    let mut job = Job::default();
    job.heading.title = Some(format!("Generated site of {n_openings} openings, seed {seed}"));
    job.heading.date = Some("2026-11-25".to_owned());
    job.policy.code_profile = Some("uk-eu".to_owned());
    job.policy.works = works();
    people(&mut job);
    let per_building = OPENINGS_A_STOREY * STOREYS;
    let n_buildings = n_openings.div_ceil(per_building);
    let columns = (n_buildings as f64).sqrt().ceil() as usize;
    for building in 0..n_buildings {
        let corner = ((building % columns) as f64 * PLOT_M, (building / columns) as f64 * PLOT_M);
        add_building(&mut job, building, corner);
        let rest = n_openings - building * per_building;
        for nth in 0..rest.min(per_building) {
            let opening = opening(&mut random, building, nth / OPENINGS_A_STOREY, job.openings.len(), corner);
            job.openings.push(opening);
        }
    }
    job
}

/// One wide storey with `n_openings` openings, a spine of tray with twenty ribs, and two blocked areas beside every rib;
/// those of every fifth rib lie across it.
#[allow(dead_code, reason = "one of the two programs that share this file asks for it")]
pub(crate) fn hall(n_openings: usize, seed: u64) -> Job {
    const RIBS: usize = 20;
    const WIDE_M: f64 = 200.0;
    const RIB_M: f64 = 10.0;
    let mut random = Random(seed);
    let mut job = site(0, seed);
    job.heading.title = Some(format!("Generated hall of {n_openings} openings, seed {seed}"));
    add_building(&mut job, 0, (0.0, 0.0));
    job.cable_ways.clear();
    let storey = storey_id(0, 0);
    let tray = |id: String, (x1, y1), (x2, y2)| CableWay {
        kind: Some(CableWayKind::Tray),
        storey: Some(storey.clone()),
        x1: Some(Metres::new(x1)),
        y1: Some(Metres::new(y1)),
        x2: Some(Metres::new(x2)),
        y2: Some(Metres::new(y2)),
        area: Some(dw_core::SquareMm::new(15_000.0)),
        ..CableWay::new(&id)
    };
    job.cable_ways.push(tray("spine".to_owned(), (0.0, 0.0), (0.0, RIB_M * (RIBS - 1) as f64)));
    let first_room = job.rooms.remove(0);
    job.rooms.clear();
    for rib in 0..RIBS {
        let y = RIB_M * rib as f64;
        job.cable_ways.push(tray(format!("rib-{rib}"), (0.0, y), (WIDE_M, y)));
        let low = if rib % 5 == 0 { y - 2.0 } else { y + 2.0 };
        for x in [60.0, 130.0] {
            job.blocked_areas.push(BlockedArea {
                storey: Some(storey.clone()),
                x1: Some(Metres::new(x)),
                y1: Some(Metres::new(low)),
                x2: Some(Metres::new(x + 10.0)),
                y2: Some(Metres::new(low + 6.0)),
                ..BlockedArea::new(&format!("core-{rib}-{x}"))
            });
        }
        let (x, y) = (Some(Metres::new(if rib % 2 == 0 { 30.0 } else { 100.0 })), Some(Metres::new(y + 1.0)));
        job.rooms.push(Room { x, y, id: RoomId::new(&format!("TR-{rib}")), ..first_room.clone() });
    }
    for nth in 0..n_openings {
        let mut opening = opening(&mut random, 0, 0, nth, (0.0, 0.0));
        let x = random.between(1.0, WIDE_M - 20.0);
        // Doors stand beside the columns of blocked areas.
        let x = x + if x > 120.0 {
            20.0
        } else if x > 60.0 {
            10.0
        } else {
            0.0
        };
        (opening.x, opening.y) = (Some(Metres::new(x)), Some(Metres::new(random.between(0.0, RIB_M * RIBS as f64))));
        job.openings.push(opening);
    }
    job
}

fn works() -> Works {
    let by = |party: &str| Duty { all: Some(party.to_owned()), ..Duty::default() };
    Works {
        lock: by("installer"),
        power_transfer: by("installer"),
        closer: by("joiner"),
        operator: by("door contractor"),
        containment: by("electrician"),
        mains_spur: by("electrician"),
        fire_contact: by("fire alarm contractor"),
        network_port: by("customer"),
    }
}

fn people(job: &mut Job) {
    for (level, zone) in ["public", "staff", "inner", "plant", "core"].into_iter().enumerate() {
        job.zones.push(Zone { level: u32::try_from(level).ok(), ..Zone::new(zone) });
    }
    for (group, heads, soiled, zones) in [
        ("staff", 900, 2.0, &["staff"][..]),
        ("engineers", 120, 35.0, &["staff", "inner", "plant"]),
        ("operators", 40, 0.0, &["staff", "inner", "core"]),
        ("contractors", 60, 50.0, &["staff", "plant"]),
    ] {
        job.groups.push(Group {
            head_count: Some(heads),
            soiled_percent: Some(soiled),
            passages_per_day: Some(6.0),
            ..Group::new(group)
        });
        for zone in zones {
            job.rights.push(Right { group: Some(GroupId::new(group)), zone: Some(ZoneId::new(zone)), schedule: None });
        }
    }
}

fn storey_id(building: usize, storey: usize) -> StoreyId {
    StoreyId::new(&format!("B{building}-L{storey}"))
}

/// A building: its storeys, a room and a tray a storey, a riser through all.
fn add_building(job: &mut Job, building: usize, (x, y): (f64, f64)) {
    let id = dw_core::BuildingId::new(&format!("B{building}"));
    job.buildings.push(Building {
        entry_x: Some(Metres::new(x)),
        entry_y: Some(Metres::new(y)),
        ..Building::new(&id.to_string())
    });
    for storey in 0..STOREYS {
        let storey_id = storey_id(building, storey);
        job.storeys.push(Storey {
            building: Some(id.clone()),
            elevation: Some(Metres::new(storey as f64 * 4.0)),
            height: Some(Metres::new(4.0)),
            ..Storey::new(&storey_id.to_string())
        });
        for zone in ["public", "staff", "inner", "plant", "core"] {
            job.spaces.push(Space {
                storey: Some(storey_id.clone()),
                zone: Some(ZoneId::new(zone)),
                ..Space::new(&format!("{storey_id} {zone}"))
            });
        }
        let room = RoomId::new(&format!("TR-{building}-{storey}"));
        job.rooms.push(Room {
            storey: Some(storey_id.clone()),
            x: Some(Metres::new(x + 10.0)),
            y: Some(Metres::new(y + 25.0)),
            max_controllers: Some(8),
            network_ports: Some(24),
            mains: Some(true),
            ..Room::new(&room.to_string())
        });
        job.cable_ways.push(CableWay {
            kind: Some(CableWayKind::Tray),
            storey: Some(storey_id.clone()),
            x1: Some(Metres::new(x + 5.0)),
            y1: Some(Metres::new(y + 25.0)),
            x2: Some(Metres::new(x + 65.0)),
            y2: Some(Metres::new(y + 25.0)),
            area: Some(dw_core::SquareMm::new(15_000.0)),
            ..CableWay::new(&format!("tray-{building}-{storey}"))
        });
    }
}

fn opening(random: &mut Random, building: usize, storey: usize, number: usize, (x, y): (f64, f64)) -> Opening {
    use OpeningKind as K;
    let storey_id = storey_id(building, storey);
    let kind = match random.share() {
        share if share < 0.85 => K::Single,
        share if share < 0.93 => K::Pair,
        share if share < 0.97 => K::Gate,
        share if share < 0.99 => K::TurnstileLane,
        _ => K::VehicleBarrier,
    };
    let outdoors = matches!(kind, K::Gate | K::VehicleBarrier);
    let zone = match random.share() {
        share if share < 0.6 => "staff",
        share if share < 0.85 => "inner",
        share if share < 0.97 => "plant",
        _ => "core",
    };
    let mut opening = Opening {
        storey: Some(storey_id.clone()),
        x: Some(Metres::new(x + random.between(2.0, 68.0))),
        y: Some(Metres::new(y + random.between(2.0, 48.0))),
        kind: Some(kind),
        from: Some(SpaceId::new(&format!("{storey_id} public"))),
        to: Some(SpaceId::new(&format!("{storey_id} {zone}"))),
        work: Some(if random.share() < 0.6 { WorkKind::New } else { WorkKind::Retrofit }),
        status: Some(Status::Approved),
        exposure: vec![if outdoors { Exposure::Outdoors } else { Exposure::Indoors }],
        escape: Some(if random.share() < 0.15 { EscapeDuty::Exit } else { EscapeDuty::Route }),
        occupant_load: Some(random.between(5.0, 120.0) as u32),
        exit_request: Some(ExitRequest::Sensor),
        peak_flow: Some(random.between(5.0, 200.0) as u32),
        ..Opening::new(&OpeningId::new(&format!("D-{:05}", number + 1)).to_string())
    };
    opening.proof.place = Some(match kind {
        K::TurnstileLane => ReaderPlace::BuiltIn,
        K::VehicleBarrier => ReaderPlace::Post,
        _ => ReaderPlace::WallBox,
    });
    opening.proof.width = Some(Metres::new(0.09));
    let door = &mut opening.door;
    door.leaf = Some(if random.share() < 0.5 { Material::Timber } else { Material::HollowMetal });
    door.frame = Some(Material::HollowMetal);
    door.preparation = Some(if kind == K::Pair { Preparation::ExitDevice } else { Preparation::Strike });
    door.power_transfer = Some(TransferPreparation::Loop);
    door.fire_rating = Some(Minutes::new(if random.share() < 0.3 { 30.0 } else { 0.0 }));
    door.inside_handle = Some(if kind == K::Pair { InsideHandle::PushBar } else { InsideHandle::Free });
    door.closer = Some(true);
    door.latches_unaided = Some(true);
    opening
}
