//! One site for every test of the pass: readers on a controller in room `T`, perhaps a unit, perhaps a bridge from `R`.

use dw_core::{DeviceId, GroupId, Metres, OpeningId, RoomId};
use dw_job::catalogue::{CableUse, Catalogue, Device, DeviceKind, Interface};
use dw_job::model::{Factor, PathObstacle, ReaderPlace, Room};
use dw_job::{Job, Profile};

use super::{Given, LinkPlan, link, verify};
use crate::Cx;
use crate::capacity::{CapacityPlan, Holder};
use crate::equip::{ControlNeed, Equipment, Fitted, Role};
use crate::place::{PlacedController, Placement, Served};
use crate::price::testing as build;
use crate::route::{CableRun, CableSchedule, RoomLink, Routes};
use crate::survey::{Survey, Uplink};

/// What a test varies.
pub(super) struct Case {
    /// Whether readers speak over two data lines instead of a bus.
    pub(super) on_lines: bool,
    /// Length of the cable of each reader; one opening and one port each.
    pub(super) lengths: Vec<f64>,
    pub(super) awg: u32,
    pub(super) pulse_us: Option<f64>,
    /// Buses of the controller.
    pub(super) buses: Option<u32>,
    pub(super) unit_load: Option<f64>,
    /// Highest bit rate of readers and controller.
    pub(super) highest: Option<f64>,
    pub(super) poll_target_ms: Option<f64>,
    /// Network cable of a unit at an opening of its own.
    pub(super) unit_at: Option<f64>,
    pub(super) network_ports: Option<u32>,
    pub(super) pictures_per_hour: u32,
    pub(super) uplink_mbit: Option<f64>,
    pub(super) events_per_day: f64,
    pub(super) backlog_min: Option<f64>,
    pub(super) base_range: Option<&'static str>,
    pub(super) first_vlan: Option<u32>,
    /// Length of a bridge from `R` to `T`.
    pub(super) bridge: Option<f64>,
    /// Whether the catalogue states its figures.
    pub(super) figures: bool,
    /// Distance from `T`, top, growth.
    pub(super) obstacle: Option<(f64, f64, f64)>,
    /// Whether the antennas were surveyed, at 10 m.
    pub(super) antennas: bool,
    pub(super) max_eirp_dbm: Option<f64>,
    pub(super) fade_margin_db: Option<f64>,
    pub(super) rain: Option<f64>,
}

impl Default for Case {
    fn default() -> Self {
        Self {
            on_lines: false,
            lengths: vec![10.0],
            awg: 22,
            pulse_us: None,
            buses: None,
            unit_load: None,
            highest: None,
            poll_target_ms: None,
            unit_at: None,
            network_ports: None,
            pictures_per_hour: 0,
            uplink_mbit: None,
            events_per_day: 0.0,
            backlog_min: None,
            base_range: None,
            first_vlan: None,
            bridge: None,
            figures: true,
            obstacle: None,
            antennas: true,
            max_eirp_dbm: Some(40.0),
            fade_margin_db: None,
            rain: None,
        }
    }
}

/// A bridge of 300 m whose path was surveyed: a hedge stands 50 m from `T`.
pub(super) fn bridge() -> Case {
    Case { bridge: Some(300.0), obstacle: Some((50.0, 2.0, 0.0)), ..Case::default() }
}

/// Runs the pass and compares the codes raised.
pub(super) fn check(case: &Case, codes: &[&str]) {
    let mut raised = planned(case).1;
    raised.sort_unstable();
    assert_eq!(raised, codes);
}

/// Plan and codes.
pub(super) fn planned(case: &Case) -> (LinkPlan, Vec<&'static str>) {
    run(case, |cx, plan| (plan, cx.sink.findings.iter().map(|finding| finding.code).collect()))
}

/// Headlines of the pass.
pub(super) fn headlines(case: &Case) -> Vec<String> {
    run(case, |cx, _| cx.sink.findings.iter().map(|finding| finding.headline.clone()).collect())
}

/// Headlines of the judge over a plan.
pub(super) fn verified(case: &Case, plan: &LinkPlan) -> Vec<String> {
    let site = Site::of(case);
    let profile = Profile::default();
    let mut cx = Cx::new(&site.catalogue, &profile);
    verify(&mut cx, &site.given(), plan);
    cx.sink.findings.iter().map(|finding| finding.headline.clone()).collect()
}

fn run<T>(case: &Case, look: impl FnOnce(&Cx<'_>, LinkPlan) -> T) -> T {
    let site = Site::of(case);
    let profile = Profile::default();
    let mut cx = Cx::new(&site.catalogue, &profile);
    let plan = link(&mut cx, &site.given());
    look(&cx, plan)
}

struct Site {
    job: Job,
    catalogue: Catalogue,
    survey: Survey,
    equipment: Equipment,
    placement: Placement,
    routes: Routes,
    cables: CableSchedule,
    capacity: CapacityPlan,
}

impl Site {
    fn of(case: &Case) -> Self {
        let empty = build::Site::empty(catalogue(case));
        let mut site = Self {
            job: job(case),
            catalogue: empty.catalogue,
            survey: empty.survey,
            equipment: empty.equipment,
            placement: empty.placement,
            routes: empty.routes,
            cables: empty.cables,
            capacity: empty.capacity,
        };
        site.capacity.head_end = Some(DeviceId::new("head-end"));
        site.capacity.head_ends = 1;
        site.rooms(case);
        let ports = case.lengths.len();
        site.placement.controllers.push(PlacedController {
            label: "T/C1".to_owned(),
            room: RoomId::new("T"),
            device: DeviceId::new("controller"),
            number: 1,
            ports: vec![None; ports],
            kept: false,
        });
        for (index, length) in case.lengths.iter().enumerate() {
            let mark = OpeningId::new(&format!("D-{}", index + 1));
            let control = ControlNeed::Ports { ports: 1, models: vec![DeviceId::new("controller")] };
            let cores = if case.on_lines { ["data 0", "data 1"] } else { ["data A", "data B"] };
            site.opening(case, &mark, control, "reader", (CableUse::Reader, &cores, *length));
            site.placement.controllers[0].ports[index] = Some(mark.clone());
            site.serve(&mark, Some(0), u32::try_from(index + 1).unwrap());
        }
        if let Some(length) = case.unit_at {
            let mark = OpeningId::new("U-1");
            let control = ControlNeed::OwnUnit { unit: DeviceId::new("unit") };
            site.opening(case, &mark, control, "unit", (CableUse::Network, &["pair 1 a"], length));
            site.serve(&mark, None, 0);
        }
        site.hold(case);
        site
    }

    fn given(&self) -> Given<'_> {
        Given {
            job: &self.job,
            survey: &self.survey,
            equipment: &self.equipment,
            placement: &self.placement,
            routes: &self.routes,
            cables: &self.cables,
            capacity: &self.capacity,
        }
    }

    fn rooms(&mut self, case: &Case) {
        let mut room = build::room("T");
        room.network_ports = case.network_ports;
        if let Some(length) = case.bridge {
            let length_m = Metres::new(length);
            room.uplink = Some(Uplink { from: RoomId::new("R"), bridge_m: Some(length_m), trench_m: None });
            self.survey.rooms.push(build::room("R"));
            let (from, to, device) = (RoomId::new("R"), RoomId::new("T"), Some(DeviceId::new("bridge")));
            self.routes.links.push(RoomLink {
                from,
                to,
                device,
                length_m,
                trench: None,
                bridge_cost: None,
                trench_cost: None,
            });
        }
        self.survey.rooms.push(room);
    }

    fn opening(
        &mut self,
        case: &Case,
        mark: &OpeningId,
        control: ControlNeed,
        device: &str,
        run: (CableUse, &[&str], f64),
    ) {
        let mut opening = build::surveyed(mark);
        opening.picture = case.pictures_per_hour > 0;
        opening.peak_flow = case.pictures_per_hour;
        self.survey.openings.push(opening);
        let fitted = Fitted { device: DeviceId::new(device), count: 1, role: Role::ReaderIn, kept: false };
        self.equipment.openings.push(build::equipped(mark, control, vec![fitted]));
        self.cables.runs.push(CableRun {
            label: format!("{mark}/1"),
            mark: mark.clone(),
            room: RoomId::new("T"),
            device: Some(DeviceId::new("cable")),
            purpose: run.0,
            length_m: Metres::new(run.2),
            cores: run.1.iter().map(|core| (*core).to_owned()).collect(),
            existing: false,
            local: false,
        });
    }

    fn serve(&mut self, mark: &OpeningId, controller: Option<usize>, first_port: u32) {
        self.placement.served.push(Served {
            mark: mark.clone(),
            room: RoomId::new("T"),
            controller,
            first_port,
            length_m: Metres::new(10.0),
            fixed: false,
            arrangement: dw_job::model::ArrangementKind::Ports,
            way: 0,
        });
    }

    fn hold(&mut self, case: &Case) {
        self.survey.groups.insert(GroupId::new("staff"), crate::survey::Population::default());
        self.capacity.holders.push(Holder {
            label: "T/C1".to_owned(),
            device: DeviceId::new("controller"),
            openings: self.placement.controllers[0].ports.iter().flatten().cloned().collect(),
            stores: Vec::new(),
            events_per_day: case.events_per_day,
            offline_days: None,
        });
    }
}

fn job(case: &Case) -> Job {
    let mut job = Job::default();
    let network = &mut job.network;
    network.base_range = case.base_range.map(str::to_owned);
    network.first_vlan = case.first_vlan;
    network.poll_target_ms = case.poll_target_ms;
    network.uplink_mbit_per_s = case.uplink_mbit;
    network.backlog_min = case.backlog_min;
    network.max_eirp_dbm = case.max_eirp_dbm;
    network.fade_margin_db = case.fade_margin_db;
    network.rain_mm_per_h = case.rain;
    let mut room = Room::new("T");
    if case.antennas {
        (room.antenna, room.antenna_from) = (Some(Metres::new(10.0)), Some(Metres::new(10.0)));
    }
    job.rooms.push(room);
    if let Some((distance, top, growth)) = case.obstacle {
        job.path_obstacles.push(PathObstacle {
            room: Some(RoomId::new("T")),
            what: Some("hedge".to_owned()),
            distance: Some(Metres::new(distance)),
            top: Some(Metres::new(top)),
            growth: Some(Metres::new(growth)),
        });
    }
    job
}

fn catalogue(case: &Case) -> Catalogue {
    let of_kind = |id: &str, kind| Device { kind: Some(kind), ..Device::new(id) };
    let mut controller = of_kind("controller", DeviceKind::Controller);
    controller.interfaces = vec![Interface::Network];
    controller.control.ports = u32::try_from(case.lengths.len()).ok();
    controller.control.interfaces = vec![Interface::Multidrop, Interface::DataLines];
    (controller.link.buses, controller.link.highest_bit_per_s) = (case.buses, case.highest);
    let mut reader = of_kind("reader", DeviceKind::Reader);
    reader.interfaces = vec![if case.on_lines { Interface::DataLines } else { Interface::Multidrop }];
    reader.reading.factors = vec![Factor::Card];
    reader.reading.places = vec![ReaderPlace::WallBox];
    (reader.link.pulse_us, reader.link.unit_load) = (case.pulse_us, case.unit_load);
    reader.link.highest_bit_per_s = case.highest;
    let mut unit = of_kind("unit", DeviceKind::StandaloneUnit);
    unit.interfaces = vec![Interface::Network];
    unit.control.interfaces = vec![Interface::DataLines];
    let mut cable = of_kind("cable", DeviceKind::Cable);
    cable.cable.awg = Some(case.awg);
    let mut bridge = of_kind("bridge", DeviceKind::RadioBridge);
    if case.figures {
        let network = &mut bridge.network;
        (network.frequency_mhz, network.transmit_dbm) = (Some(5500.0), Some(14.0));
        (network.antenna_dbi, network.antenna_loss_db, network.channel_mhz) = (Some(16.0), Some(1.0), Some(20));
    }
    let devices = [controller, reader, unit, cable, bridge, of_kind("head-end", DeviceKind::HeadEnd)];
    Catalogue {
        devices: devices.into_iter().map(|device| (device.id.clone(), device)).collect(),
        ..Catalogue::default()
    }
}
