//! A design made by hand, with every kind of row that the papers have: some doors on controllers, a pair that is held
//! back, a gate with a unit of its own, a finding of each severity.

use dw_core::{
    AmpHours, Amps, Assumption, Celsius, Currency, DeviceId, EnclosureId, FigureId, Finding, GroupId, Hours, Input,
    Metres, Minutes, Money, Ohms, OpeningId, Place, RoomId, Severity, Source, SquareMm, StoreyId, Volts, Watts,
    Working,
};
use dw_engine::Design;
use dw_engine::capacity::{CapacityPlan, CardOrder, Holder, NumberBlock, Store};
use dw_engine::design::{Accepted, DESIGN_FORMAT, DesignHeading, DoorFacts, Legend};
use dw_engine::equip::{Action, CableNeed, ControlNeed, Equipment, Equipped, Fitted, Role};
use dw_engine::link::ipv4::Subnet;
use dw_engine::link::{BridgeSheet, Bus, BusReader, LinkPlan, NetworkDevice, Obstacle, PlannedSubnet, Polling};
use dw_engine::place::{Beyond, Growth, Moved, PlacedController, Placement, Served};
use dw_engine::power::{
    DeviceFeed, EnclosurePlan, Load, LockFeed, NetworkFeed, OutputClass, OutputLoad, PowerPlan, SourceCase,
    SupplyOutput,
};
use dw_engine::price::{LabourLine, MaterialLine, OpeningPrice, Price};
use dw_engine::route::{
    CablePurchase, CableRun, CableSchedule, CutReel, PullGroup, RoomLink, RoutedOpening, Routes, Trench, WayFill,
    WayPart, WayStretch,
};
use dw_engine::survey::{DutySplit, MoneySettings, Population, Settings, Survey, Surveyed, SurveyedRoom};
use dw_job::catalogue::{CableUse, Draws, Interface};
use dw_job::model::{
    EscapeDuty, ExitRequest, FailMode, Handing, HeadEndKind, Material, OpeningKind, ReaderPlace, Status, Transport,
    UnitSystem, WorkKind,
};
use rust_decimal::Decimal;

const CORES: [&str; 8] = ["supply +", "supply -", "data A", "data B", "tamper", "screen", "spare", "spare"];

/// Doors D-1 to D-n on controllers of four ports, the last of them a pair, and gate G-1 with its own unit.
pub(crate) fn design(n: u32) -> Design {
    let marks: Vec<String> = (1..=n).map(|number| format!("D-{number}")).chain(["G-1".to_owned()]).collect();
    Design {
        format: DESIGN_FORMAT,
        heading: heading(),
        legend: legend(&marks),
        survey: survey(&marks),
        equipment: Equipment { openings: marks.iter().map(|mark| equipped(mark, n)).collect() },
        placement: placement(&marks),
        growth: growth(&marks),
        routes: routes(&marks),
        power: power(&marks),
        cables: cables(&marks),
        capacity: capacity(),
        link: link(),
        price: price(&marks),
        findings: vec![
            finding("EQP-001", Severity::Stop, "D-1", "door.escape"),
            finding("SUR-002", Severity::Fix, "D-2", "works.mains_spur"),
            finding("POW-003", Severity::Note, "G-1", "door.closer"),
        ],
        accepted: vec![Accepted {
            finding: finding("CAP-004", Severity::Note, "D-2", "proof"),
            name: "E. Ferrier".to_owned(),
            date: "2026-10-01".to_owned(),
            reason: "A second reader follows next year".to_owned(),
        }],
        assumptions: vec![
            Assumption {
                place: Place::named("policy", "").field("power.standby"),
                value: "4 h".to_owned(),
                because: "common practice".to_owned(),
            },
            Assumption {
                place: Place::of(&OpeningId::new("D-1")).field("door.closer"),
                value: "yes".to_owned(),
                because: "hinged doors of this kind have one".to_owned(),
            },
        ],
        workings: vec![working("opening", "D-1", "lock_end_v"), working("opening", "D-1", "nothing_on_paper")],
    }
}

fn heading() -> DesignHeading {
    DesignHeading {
        number: "FT-1".to_owned(),
        title: "Doors of the river ferry".to_owned(),
        customer: "Upper Reach Ferries".to_owned(),
        site: "North landing".to_owned(),
        address: "2 Slip Way".to_owned(),
        date: "2026-10-12".to_owned(),
        revision: "B".to_owned(),
        prepared_by: "Design office".to_owned(),
        checked_by: String::new(),
        validity_days: Some(60),
        exclusions: vec!["Making good".to_owned(), "Ducts under the quay".to_owned()],
        catalogue: "Demo, 2026".to_owned(),
        profile: "A region".to_owned(),
        caution: vec!["Escape: the authority decides.".to_owned(), "Mains: a qualified person.".to_owned()],
    }
}

fn legend(marks: &[String]) -> Legend {
    let devices = [
        ("C-4", "Controller for 4 openings"),
        ("R-1", "Card reader"),
        ("L-24", "Electric strike, 24 V"),
        ("W-8", "Cable 8 x 0.22 mm²"),
    ];
    let door = DoorFacts { leaf: Some(Material::Timber), frame: None };
    Legend {
        devices: devices.map(|(id, text)| (DeviceId::new(id), text.to_owned())).into(),
        storeys: [(StoreyId::new("L0"), "Ground floor".to_owned())].into(),
        doors: marks.iter().map(|mark| (OpeningId::new(mark), door.clone())).collect(),
    }
}

fn survey(marks: &[String]) -> Survey {
    let room = SurveyedRoom {
        id: RoomId::new("TR-1"),
        name: "Comms room".to_owned(),
        storey: StoreyId::new("L0"),
        x_m: Metres::ZERO,
        y_m: Metres::ZERO,
        max_controllers: None,
        enclosure_places: None,
        network_ports: None,
        network_power_w: None,
        mains: true,
        temperature_max_c: Celsius::new(30.0),
        temperature_min_c: Celsius::new(5.0),
        uplink: None,
    };
    Survey {
        settings: settings(),
        openings: marks.iter().enumerate().map(|(idx, mark)| surveyed(idx, mark, marks.len() - 2)).collect(),
        rooms: vec![room],
        groups: std::collections::BTreeMap::new(),
    }
}

fn settings() -> Settings {
    let share = |percent: i64| Decimal::new(percent, 2);
    Settings {
        spare_percent: 20,
        growth_share: 0.1,
        factors_by_level: [0, 1, 1, 2, 3],
        transport: vec![Transport::Wire],
        head_end: HeadEndKind::OwnComputer,
        fail_mode: None,
        max_false_match: 0.001,
        offline_days: 3.0,
        standby_h: Hours::new(4.0),
        alarm_min: Minutes::new(5.0),
        recharge_h: Hours::new(24.0),
        battery_margin: 1.25,
        battery_end_of_life: 1.0,
        supply_load_share: 0.8,
        conductor_temperature_c: Celsius::new(40.0),
        lock_voltage_v: None,
        slack_m: Metres::new(2.0),
        max_span_m: Metres::new(50.0),
        length_growth_share: 0.15,
        drop_opening_m: Metres::new(3.0),
        drop_room_m: Metres::new(2.0),
        waste_share: 0.08,
        fill_share: 0.4,
        cable_families: Vec::new(),
        spare_cores: 0,
        money: MoneySettings {
            currency: Currency::new("EUR").unwrap_or_else(Currency::none),
            exchange_rate: Decimal::ONE,
            equipment_markup: share(22),
            labour_markup: share(15),
            tax: share(20),
            tax_name: "VAT".to_owned(),
            out_of_hours_factor: Decimal::TWO,
            whole_life_years: 10.0,
            discount_share: 0.03,
            trench_metre: Some(Money::from_cents(9_000)),
        },
        units: UnitSystem::Metric,
        locale: "en-GB".to_owned(),
    }
}

fn surveyed(idx: usize, mark: &str, pair: usize) -> Surveyed {
    let gate = mark == "G-1";
    let spur = DutySplit {
        item: "mains spur",
        supply: (idx != 1).then(|| "electrician".to_owned()),
        fit: Some("electrician".to_owned()),
        wire: Some("electrician".to_owned()),
        test: Some("electrician".to_owned()),
    };
    let driven = DutySplit { item: "operator", supply: Some("joiner".to_owned()), ..spur.clone() };
    let lock = DutySplit {
        item: "lock",
        supply: Some("installer".to_owned()),
        fit: Some(if idx == 0 { "joiner" } else { "installer" }.to_owned()),
        wire: Some("installer".to_owned()),
        test: Some("installer".to_owned()),
    };
    Surveyed {
        mark: OpeningId::new(mark),
        name: if gate { "Pontoon gate".to_owned() } else { format!("Office {}", idx + 1) },
        kind: match idx {
            _ if gate => OpeningKind::Gate,
            _ if idx == pair => OpeningKind::Pair,
            _ => OpeningKind::Single,
        },
        storey: StoreyId::new(if gate { "Quay" } else { "L0" }),
        x_m: Metres::ZERO,
        y_m: Metres::ZERO,
        work: if gate { WorkKind::Retrofit } else { WorkKind::New },
        out_of_hours: false,
        status: if idx == pair { Status::Surveyed } else { Status::Approved },
        orderable: idx != pair,
        zone: None,
        from_level: 1,
        to_level: 2,
        factors_in: 1,
        factors_out: 0,
        demanded: Vec::new(),
        refused: Vec::new(),
        exposure: Vec::new(),
        handing: (idx == 0).then_some(Handing::LeftReverse),
        reader_place: ReaderPlace::WallBox,
        reader_width_m: None,
        picture: false,
        fire_rating_min: Minutes::ZERO,
        escape: EscapeDuty::Route,
        occupant_load: 20,
        fire_release: true,
        fail_mode: None,
        exit_request: ExitRequest::Button,
        watch_position: true,
        four_state: false,
        tampers: 0,
        sounder: false,
        users: Population::default(),
        peak_flow: 10,
        duties: vec![lock, spur, driven],
    }
}

fn equipped(mark: &str, n: u32) -> Equipped {
    let fitted = |device: &str, role| Fitted { device: DeviceId::new(device), count: 1, role, kept: false };
    let own = mark == "G-1";
    let unit = if own { fitted("U-7", Role::ReaderIn) } else { fitted("R-1", Role::ReaderIn) };
    let last = mark == format!("D-{n}");
    Equipped {
        mark: OpeningId::new(mark),
        control: if own {
            ControlNeed::OwnUnit { unit: DeviceId::new("U-7") }
        } else {
            ControlNeed::Ports { ports: 1, models: vec![DeviceId::new("C-4")] }
        },
        fail_mode: Some(if own { FailMode::Safe } else { FailMode::Secure }),
        holds_escape: false,
        provisional: last.then(|| "the preparation of the door is not known".to_owned()),
        devices: vec![
            unit,
            Fitted { count: if last { 2 } else { 1 }, ..fitted("L-24", Role::Lock) },
            fitted("X-1", Role::ExitRequest),
            Fitted { kept: true, ..fitted("K-1", Role::DoorContact) },
        ],
        cables: vec![CableNeed {
            purpose: CableUse::Reader,
            cores: CORES.map(str::to_owned).to_vec(),
            existing: false,
            local: false,
        }],
        action: Action {
            normal: "Card to enter; the button releases the lock to leave".to_owned(),
            fire: "Lock released by the fire alarm contact".to_owned(),
            power_loss: "Stays locked; the handle inside frees the way out".to_owned(),
        },
        choices: Vec::new(),
    }
}

fn growth(marks: &[String]) -> Growth {
    Growth {
        share: 0.15,
        now: Money::from_cents(100_000),
        unchanged: None,
        then: Money::from_cents(112_000),
        bound: Money::from_cents(111_000),
        moved: vec![Moved { mark: OpeningId::new(&marks[0]), from: RoomId::new("TR-1"), to: RoomId::new("TR-2") }],
        rearranged: Vec::new(),
        opened: vec![RoomId::new("TR-2")],
        closed: Vec::new(),
        beyond: vec![Beyond {
            mark: OpeningId::new(&marks[0]),
            room: RoomId::new("TR-1"),
            length_m: Metres::new(140.0),
            limit_m: Metres::new(150.0),
            because: "two data lines carry 150 m".to_owned(),
            way_out: "Add a room nearer to it".to_owned(),
            rooms_within: 1,
            then: Some(RoomId::new("TR-2")),
        }],
        unserved: Vec::new(),
    }
}

fn placement(marks: &[String]) -> Placement {
    let doors: Vec<OpeningId> = marks.iter().filter(|mark| *mark != "G-1").map(|mark| OpeningId::new(mark)).collect();
    let controller = |(idx, marks): (usize, &[OpeningId])| PlacedController {
        label: format!("TR-1/C{}", idx + 1),
        room: RoomId::new("TR-1"),
        device: DeviceId::new("C-4"),
        number: u32::try_from(idx + 1).unwrap_or(0),
        ports: (0..4).map(|port| marks.get(port).cloned()).collect(),
        kept: false,
    };
    let served = marks.iter().enumerate().map(|(idx, mark)| Served {
        mark: OpeningId::new(mark),
        room: RoomId::new("TR-1"),
        controller: (mark != "G-1").then_some(idx / 4),
        first_port: (idx % 4) as u32,
        length_m: Metres::new(30.48),
        fixed: false,
        arrangement: dw_job::model::ArrangementKind::Ports,
        way: 0,
    });
    Placement {
        controllers: doors.chunks(4).enumerate().map(controller).collect(),
        served: served.collect(),
        unserved: Vec::new(),
        cost: Money::from_cents(100_000),
        bound: Money::from_cents(99_500),
        gap: 0.005,
        clashes: Vec::new(),
        staying_put: None,
        architecture: None,
        apart: Vec::new(),
        apart_costs: None,
        stopped: false,
    }
}

fn routes(marks: &[String]) -> Routes {
    let route = |mark: &String| RoutedOpening {
        mark: OpeningId::new(mark),
        room: RoomId::new("TR-1"),
        length_m: Metres::new(30.48),
        ways: vec![WayPart { way: dw_core::CableWayId::new("W-1"), from_m: Metres::ZERO, to_m: Metres::new(18.48) }],
        off_way_m: Metres::new(4.0),
        outdoors: false,
        detour_m: Metres::ZERO,
    };
    let trench =
        Trench { length_m: Metres::new(304.8), fibre: Some(DeviceId::new("F-2")), fibre_m: Metres::new(312.0) };
    let link = RoomLink {
        from: RoomId::new("TR-1"),
        to: RoomId::new("TR-2"),
        device: None,
        length_m: Metres::new(304.8),
        trench: Some(trench),
        bridge_cost: Some(Money::from_cents(3_000_000)),
        trench_cost: Some(Money::from_cents(2_774_400)),
    };
    Routes { openings: marks.iter().map(route).collect(), links: vec![link] }
}

fn cables(marks: &[String]) -> CableSchedule {
    let run = |mark: &String, number: u32, device: Option<&str>, purpose, cores: &[&str]| CableRun {
        label: format!("{mark}/{number}"),
        mark: OpeningId::new(mark),
        room: RoomId::new("TR-1"),
        device: device.map(DeviceId::new),
        purpose,
        length_m: Metres::new(30.48),
        cores: cores.iter().map(|core| (*core).to_owned()).collect(),
        existing: device.is_none(),
        local: false,
    };
    let runs = marks.iter().flat_map(|mark| {
        [
            run(mark, 1, Some("W-8"), CableUse::Reader, &CORES),
            run(mark, 2, Some("W-2"), CableUse::Lock, &["lock +", "lock -"]),
            run(mark, 3, None, CableUse::Contact, &["contact", "contact return"]),
        ]
    });
    CableSchedule {
        runs: runs.collect(),
        fills: vec![WayFill {
            way: dw_core::CableWayId::new("W-1"),
            cables: 9,
            taken_mm2: SquareMm::new(645.16),
            area_mm2: Some(SquareMm::new(6451.6)),
            share: Some(0.1),
            stretches: vec![WayStretch {
                from_m: Metres::ZERO,
                to_m: Metres::new(18.48),
                cables: 9,
                taken_mm2: SquareMm::new(645.16),
                share: Some(0.1),
            }],
        }],
        pulls: vec![PullGroup {
            room: RoomId::new("TR-1"),
            openings: marks.iter().map(|mark| OpeningId::new(mark)).collect(),
            cables: 9,
            taken_mm2: SquareMm::new(645.16),
            together_m: Metres::new(18.48),
            ways: vec![dw_core::CableWayId::new("W-1")],
        }],
        purchases: vec![CablePurchase {
            device: DeviceId::new("W-8"),
            cut_m: Metres::new(91.44),
            bought_m: Metres::new(100.0),
            least_bought_m: Metres::new(100.0),
            reels: vec![CutReel {
                length_m: Metres::new(100.0),
                cuts: marks.iter().take(3).map(|mark| (format!("{mark}/1"), Metres::new(30.48))).collect(),
                left_m: Metres::new(8.56),
            }],
            cost: Some(Money::from_cents(10_000)),
            least_cost: Some(Money::from_cents(9_900)),
        }],
    }
}

fn power(marks: &[String]) -> PowerPlan {
    let load = |device: &str, opening: Option<&String>| Load {
        device: DeviceId::new(device),
        opening: opening.map(|mark| OpeningId::new(mark)),
        count: 1,
        standby_a: Amps::new(0.25),
        active_a: Amps::new(0.35),
        inrush_a: Amps::new(0.5),
    };
    let doors = marks.iter().filter(|mark| *mark != "G-1");
    let enclosure = EnclosurePlan {
        id: EnclosureId::new("TR-1/E1"),
        room: RoomId::new("TR-1"),
        controllers: vec![0],
        units: Vec::new(),
        enclosure: Some(DeviceId::new("B-8")),
        supply: Some(DeviceId::new("P-24")),
        supplies: 1,
        battery: None,
        batteries: 0,
        nominal_v: Volts::new(24.0),
        standby_a: Amps::new(0.25 * marks.len() as f64),
        active_a: Amps::new(0.35 * marks.len() as f64),
        peak_a: Amps::new(3.0),
        needed_ah: AmpHours::new(7.0),
        fitted_ah: AmpHours::ZERO,
        standby_h: Hours::ZERO,
        recharge_h: Hours::new(9.0),
        charger_a: Amps::ZERO,
        battery_years: Some(2.8),
        heat_w: Watts::new(24.0),
        mains_w: Watts::new(120.0),
        inside_c: Celsius::new(35.0),
        loads: std::iter::once(load("C-4", None)).chain(doors.clone().map(|mark| load("L-24", Some(mark)))).collect(),
        outputs: vec![SupplyOutput {
            number: 1,
            rating_a: Amps::new(3.0),
            highest_v: Volts::new(28.3),
            limit_a: Some(Amps::new(3.53)),
            class_2: OutputClass::Listed,
            lasting_a: Amps::new(0.35 * marks.len() as f64),
            peak_a: Amps::new(0.35 * marks.len() as f64 + 0.5),
            loads: (0..=doors.clone().count()).map(|load| OutputLoad { load, count: 1 }).collect(),
        }],
        without_output: Vec::new(),
    };
    let lock = |mark: &String| LockFeed {
        mark: OpeningId::new(mark),
        lock: DeviceId::new("L-24"),
        enclosure: Some(EnclosureId::new("TR-1/E1")),
        cable: Some(DeviceId::new("W-2")),
        parallel: 1,
        length_m: Metres::new(30.48),
        loop_ohm: Ohms::new(1.2),
        shared_ohm: Ohms::ZERO,
        lasting_a: Amps::new(0.85),
        current_a: Amps::new(0.85),
        at_mains_v: Volts::new(26.4),
        at_end_v: Volts::new(19.9),
        needs_v: Volts::new(21.6),
    };
    let feed = NetworkFeed {
        mark: OpeningId::new("G-1"),
        room: RoomId::new("TR-1"),
        splitter: Some(DeviceId::new("S-12")),
        class: None,
        load_w: Watts::new(24.0),
        device_w: Watts::new(27.3),
        source_w: Watts::new(31.0),
        length_m: Metres::new(30.48),
    };
    let device = |mark: &String| DeviceFeed {
        mark: OpeningId::new(mark),
        device: DeviceId::new("L-24"),
        role: Role::Lock,
        enclosure: Some(EnclosureId::new("TR-1/E1")),
        on_unit: false,
        need: None,
        cable: Some(DeviceId::new("W-2")),
        parallel: 1,
        length_m: Metres::new(30.48),
        loop_ohm: Ohms::new(1.2),
        draws: Draws::Current,
        current_a: Amps::new(0.85),
        at_mains_v: Volts::new(26.4),
        at_float_v: Volts::new(27.9),
        at_end_v: Some(Volts::new(19.9)),
        needs_v: Some(Volts::new(21.6)),
        bears_v: None,
        governs: SourceCase::End,
        margin_v: Some(Volts::new(-1.7)),
    };
    let devices = doors.clone().map(device).collect();
    PowerPlan { enclosures: vec![enclosure], locks: doors.map(lock).collect(), devices, network_feeds: vec![feed] }
}

/// A bus with a reader, and a bridge with something in its path.
fn link() -> LinkPlan {
    let reader = BusReader {
        mark: OpeningId::new("D-1"),
        device: DeviceId::new("R-1"),
        address: 1,
        port: 1,
        cable: "D-1/1".to_owned(),
        length_m: Metres::new(30.48),
        spare_cores: 2,
    };
    let bus = Bus {
        label: "TR-1/C1 bus 1".to_owned(),
        controller: 0,
        interface: Interface::Multidrop,
        readers: vec![reader],
        trunk_m: Metres::new(30.48),
        branch_m: Metres::ZERO,
        branch_limit_m: Metres::new(4.9),
        unit_loads: 19.6,
        load_ohm: Ohms::new(59.4),
        bias_ohm: Ohms::new(680.0),
        terminators: vec!["reader of D-1/1".to_owned(), "controller".to_owned()],
        bit_rate: 9600,
        longest_m: Metres::new(1200.0),
        polling: Some(Polling { secure: true, cycle_ms: 40.2, wait_ms: 56.9, wait_one_dead_ms: 232.3 }),
    };
    let sheet = BridgeSheet {
        room: RoomId::new("TR-2"),
        from: RoomId::new("TR-1"),
        device: DeviceId::new("B-1"),
        length_m: Metres::new(304.8),
        frequency_mhz: 5500.0,
        channel_mhz: 20,
        eirp_dbm: 29.0,
        free_space_db: 96.9,
        weather_db: 0.1,
        level_dbm: -53.0,
        margin_wanted_db: 20.0,
        margin_db: 29.0,
        modulation: Some("16-QAM 1/2"),
        throughput_bit_per_s: 13e6,
        antenna_m: Metres::new(10.0),
        antenna_from_m: Metres::new(12.0),
        fresnel_m: Metres::new(2.0),
        obstacles: vec![Obstacle {
            what: "poplars".to_owned(),
            distance_m: Metres::new(152.4),
            top_m: Metres::new(9.0),
            path_m: Metres::new(11.0),
            needed_m: Metres::new(10.2),
        }],
    };
    let subnet = PlannedSubnet {
        vlan: 20,
        name: "Site".to_owned(),
        range: Subnet::parse("10.20.0.0/27").unwrap(),
        devices: 1,
        planned: 5,
        router: "10.20.0.1".to_owned(),
        kept: Some(("10.20.0.4".to_owned(), "10.20.0.4".to_owned())),
        leased: Some(("10.20.0.5".to_owned(), "10.20.0.30".to_owned())),
    };
    let device = NetworkDevice {
        label: "TR-1/C1".to_owned(),
        device: DeviceId::new("C-4"),
        room: Some(RoomId::new("TR-1")),
        mark: None,
        link_m: Metres::ZERO,
        subnet: Some(0),
        address: Some("10.20.0.4".to_owned()),
        kept: false,
    };
    LinkPlan {
        buses: vec![bus],
        devices: vec![device],
        subnets: vec![subnet],
        bridges: vec![sheet],
        ..LinkPlan::default()
    }
}

fn capacity() -> CapacityPlan {
    let cards = Store { what: "cards", needed: 412, limit: Some(50_000) };
    CapacityPlan {
        holders: vec![Holder {
            label: "TR-1/C1".to_owned(),
            device: DeviceId::new("C-4"),
            openings: vec![OpeningId::new("D-1")],
            stores: vec![cards, Store { what: "finger templates", needed: 20, limit: None }],
            events_per_day: 300.0,
            offline_days: Some(33.0),
        }],
        head_end: Some(DeviceId::new("H-1")),
        head_ends: 1,
        licences: vec![(DeviceId::new("N-50"), 1)],
        openings: 4,
        credentials: vec![(DeviceId::new("T-1"), 440)],
        card_order: Some(card_order()),
    }
}

fn card_order() -> CardOrder {
    let block = |group: &str, spares, first, last| NumberBlock { group: GroupId::new(group), spares, first, last };
    CardOrder {
        quantity: 440,
        people: 450,
        kept: 31,
        spares: 21,
        technology: None,
        layout: Some("w26".to_owned()),
        facility: Some(90),
        ranges_in_use: 1,
        blocks: vec![block("crew", 20, 1201, 1620), block("visitors", 1, 1621, 1640)],
    }
}

fn price(marks: &[String]) -> Price {
    let cents = Money::from_cents;
    let line = |section, device: &str, description: &str, quantity: u32, unit, each: Option<i64>| MaterialLine {
        section,
        device: DeviceId::new(device),
        description: description.to_owned(),
        quantity: f64::from(quantity),
        unit,
        unit_price: each.map(cents),
        total: each.map_or(Money::ZERO, |each| cents(each) * quantity),
        held_back: if device == "L-24" { 2.0 } else { 0.0 },
    };
    let n = u32::try_from(marks.len()).unwrap_or(0);
    let materials = vec![
        line("Control", "C-4", "Controller for 4 openings", n.div_ceil(4), "each", Some(74_000)),
        line("Readers", "R-1", "Card reader", n, "each", Some(11_937)),
        line("Locks", "L-24", "Electric strike, 24 V", n, "each", Some(8_825)),
        line("Cable", "W-8", "Cable 8 x 0.22 mm²", 100, "m", Some(101)),
        line("Head-end", "H-1", "Server program", 1, "each", None),
    ];
    let labour = vec![LabourLine {
        task: "Fitting".to_owned(),
        grade: "installer".to_owned(),
        hours_h: Hours::new(10.0 * marks.len() as f64),
        out_of_hours_h: Hours::new(2.0),
        rate: cents(5_200),
        total: cents(52_000) * n + cents(20_800),
    }];
    let materials_cost: Money = materials.iter().map(|line| line.total).sum();
    let labour_cost: Money = labour.iter().map(|line| line.total).sum();
    let (materials_markup, labour_markup) =
        (materials_cost.times(Decimal::new(22, 2)), labour_cost.times(Decimal::new(15, 2)));
    let net = materials_cost + materials_markup + labour_cost + labour_markup;
    let tax = net.times(Decimal::new(20, 2));
    let each = cents(90_001);
    Price {
        currency: settings().money.currency,
        materials,
        labour,
        materials_cost,
        labour_cost,
        materials_markup,
        labour_markup,
        net,
        tax,
        tax_name: "VAT 20 %".to_owned(),
        total: net + tax,
        openings: marks
            .iter()
            .map(|mark| OpeningPrice {
                mark: OpeningId::new(mark),
                hours_h: Hours::new(10.0),
                materials: cents(21_000),
                labour: cents(52_000),
                net: each,
            })
            .collect(),
        shared: net - each * n,
        yearly: cents(120_000),
        whole_life: net + cents(1_500_000),
        whole_life_years: 10.0,
    }
}

fn finding(code: &'static str, severity: Severity, mark: &str, field: &str) -> Finding {
    let source = Source { file: "openings.csv".to_owned(), line: 3, column: 8, title: Some(field.to_owned()) };
    Finding {
        code,
        name: "a-rule",
        severity,
        place: Place::of(&OpeningId::new(mark)).field(field).at(Some(source)),
        related: Vec::new(),
        headline: format!("{mark}: {code} has 19.9 V where 21.6 V are needed"),
        notes: vec![format!("because of {code}")],
        help: vec![format!("first way out of {code}"), "second way out".to_owned()],
    }
}

fn working(kind: &str, id: &str, name: &str) -> Working {
    Working {
        figure: FigureId::new(kind, id, name),
        title: "Voltage at the lock with the battery at its end",
        value: 19.9.into(),
        unit: "V",
        formula: "lock = end - current * loop",
        inputs: vec![Input::new("end", 20.92, "V"), Input::new("current", 0.85, "A"), Input::new("loop", 1.2, "Ω")],
        source: "Ohm's law",
    }
}
