//! A small site for tests of reach, route, schedule and place: one building of two storeys, another one beside it, a
//! catalogue of a dozen devices. Drops and slack are 0, so that lengths are what is drawn.

use std::collections::BTreeMap;

use dw_core::{BuildingId, CableWayId, Celsius, DeviceId, Id, Metres, OpeningId, RoomId, StoreyId};
use dw_job::catalogue::CableUse;
use dw_job::model::{
    Apart, ArrangementKind, BlockedArea, Building, CableWay, CableWayKind, Issued, Opening, Pin, Storey,
};
use dw_job::{Catalogue, Document, Job, Profile};
use rust_decimal::Decimal;

use super::{CableSchedule, Reach, Routes};
use crate::Cx;
use crate::equip::{Action, Arrangement, Arrangements, CableNeed, ControlNeed, Equipment, Equipped, Fitted, Role};
use crate::place::{Placement, Served};
use crate::power::PowerPlan;
use crate::survey::{MoneySettings, Settings, Survey, Surveyed, SurveyedRoom, Uplink};
use crate::testing;

const CATALOGUE: &str = r#"
device = [
  { id = "R-DL", kind = "reader", price = "90.00", interfaces = ["data-lines"] },
  { id = "R-BUS", kind = "reader", price = "120.00", interfaces = ["multidrop"] },
  { id = "U-1", kind = "standalone-unit", price = "300.00", interfaces = ["network"], electrical = { network_power_w = 10 } },
  { id = "K1", kind = "controller", price = "420.00", control = { ports = 1, interfaces = ["data-lines", "multidrop"], enclosure_units = 1 } },
  { id = "K2", kind = "controller", price = "610.00", control = { ports = 2, interfaces = ["data-lines", "multidrop"], enclosure_units = 2 } },
  { id = "K4", kind = "controller", price = "940.00", control = { ports = 4, interfaces = ["data-lines", "multidrop"], enclosure_units = 4 } },
  { id = "F2", kind = "controller", price = "800.00", control = { ports = 2, interfaces = ["multidrop"], enclosure_units = 2 } },
  { id = "CR8", kind = "cable", price = "1.00", cable = { uses = ["reader"], cores = 8, diameter_mm = 5, reel_m = 305 } },
  { id = "CL2", kind = "cable", price = "0.80", cable = { uses = ["lock"], cores = 2, diameter_mm = 6, reel_m = 100 } },
  { id = "CC4", kind = "cable", price = "0.50", cable = { uses = ["contact", "exit-request"], cores = 4, diameter_mm = 4 } },
  { id = "CN8", kind = "cable", price = "0.60", cable = { uses = ["network"], cores = 8, diameter_mm = 6, max_length_m = 90 } },
  { id = "RB1", kind = "radio-bridge", price = "400.00", network = { range_m = 100 } },
  { id = "RB5", kind = "radio-bridge", price = "700.00", network = { range_m = 500 } },
  { id = "SP", kind = "surge-protector", price = "40.00", interfaces = ["data-lines", "contact"] },
  { id = "E4", kind = "enclosure", price = "200.00", enclosure_units = 4 },
  { id = "P1", kind = "power-supply", price = "150.00" },
  { id = "B1", kind = "battery", price = "30.00" },
]
grade = [{ id = "installer", rate_per_hour = "50.00" }]
task = [{ id = "mains", grade = "installer", per = "enclosure", hours_h = 2 }]
"#;

/// A job with its survey and equipment, built by hand.
pub(crate) struct Scene {
    pub(crate) job: Job,
    pub(crate) catalogue: Catalogue,
    pub(crate) survey: Survey,
    pub(crate) equipment: Equipment,
    pub(crate) placement: Placement,
}

fn m(metres: f64) -> Metres {
    Metres::new(metres)
}

/// The usual policy without growth, spare ports, slack, drops, waste and interest.
fn settings() -> Settings {
    let usual = testing::survey().settings;
    let money = MoneySettings { out_of_hours_factor: Decimal::ONE, discount_share: 0.0, ..usual.money };
    Settings {
        spare_percent: 0,
        growth_share: 0.0,
        slack_m: m(0.0),
        drop_opening_m: m(0.0),
        drop_room_m: m(0.0),
        waste_share: 0.0,
        money,
        ..usual
    }
}

impl Scene {
    /// Building B with storeys S0 at 0 m and S1 at 4 m, building A with storey A0, both entered at the origin.
    pub(crate) fn new() -> Self {
        let mut job = Job::default();
        for id in ["A", "B"] {
            let (entry_x, entry_y) = (Some(m(0.0)), Some(m(0.0)));
            job.buildings.push(Building { entry_x, entry_y, ..Building::new(id) });
        }
        for (id, building, elevation) in
            [("S0", Some("B"), 0.0), ("S1", Some("B"), 4.0), ("A0", Some("A"), 0.0), ("OUT", None, 0.0)]
        {
            let building = building.map(BuildingId::new);
            job.storeys.push(Storey { building, elevation: Some(m(elevation)), ..Storey::new(id) });
        }
        let document = Document { name: "catalogue.toml".to_owned(), bytes: CATALOGUE.as_bytes().to_vec() };
        let (catalogue, sink) = Catalogue::read(&[document]);
        assert!(sink.findings.is_empty(), "{:?}", sink.findings);
        let survey = Survey { settings: settings(), openings: Vec::new(), rooms: Vec::new(), groups: BTreeMap::new() };
        Self { job, catalogue, survey, equipment: Equipment { openings: Vec::new() }, placement: testing::placement() }
    }

    /// Openings that must not share a controller.
    pub(crate) fn apart(&mut self, marks: &[&str]) {
        let openings = marks.iter().map(|mark| OpeningId::new(mark)).collect();
        self.job.apart.push(Apart { openings, ..Apart::default() });
    }

    /// A telecom room without limits.
    pub(crate) fn room(&mut self, id: &str, storey: &str, x: f64, y: f64) -> &mut SurveyedRoom {
        let id = RoomId::new(id);
        let room = SurveyedRoom {
            id: id.clone(),
            name: id.to_string(),
            storey: StoreyId::new(storey),
            x_m: m(x),
            y_m: m(y),
            max_controllers: None,
            enclosure_places: None,
            network_ports: None,
            network_power_w: None,
            mains: true,
            temperature_max_c: Celsius::new(30.0),
            temperature_min_c: Celsius::new(10.0),
            uplink: None,
        };
        self.survey.rooms.push(room);
        self.survey.rooms.sort_by(|a, b| a.id.cmp(&b.id));
        self.survey.rooms.iter_mut().find(|room| room.id == id).unwrap()
    }

    /// A single door with a reader on data lines, a lock and a contact: one port on any of K1, K2, K4.
    pub(crate) fn opening(&mut self, mark: &str, storey: &str, x: f64, y: f64) -> &mut Equipped {
        let id = OpeningId::new(mark);
        self.job.openings.push(Opening::new(mark));
        self.survey.openings.push(surveyed(&id, storey, x, y));
        self.survey.openings.sort_by(|a, b| a.mark.cmp(&b.mark));
        let needs = [(CableUse::Reader, 6), (CableUse::Lock, 2), (CableUse::Contact, 2)];
        let cables = needs.map(|(purpose, n_cores)| need(purpose, n_cores)).to_vec();
        let models = ["K1", "K2", "K4"].map(DeviceId::new).to_vec();
        self.equipment.openings.push(Equipped {
            mark: id.clone(),
            control: ControlNeed::Ports { ports: 1, models },
            fail_mode: None,
            holds_escape: false,
            provisional: None,
            devices: vec![Fitted { device: DeviceId::new("R-DL"), count: 1, role: Role::ReaderIn, kept: false }],
            cables,
            action: Action { normal: String::new(), fire: String::new(), power_loss: String::new() },
            choices: Vec::new(),
        });
        self.equipment.openings.sort_by(|a, b| a.mark.cmp(&b.mark));
        self.equipment.openings.iter_mut().find(|equipped| equipped.mark == id).unwrap()
    }

    /// The same with a number of ports.
    pub(crate) fn wide(&mut self, mark: &str, storey: &str, x: f64, y: f64, wanted: u32) {
        if let ControlNeed::Ports { ports, .. } = &mut self.opening(mark, storey, x, y).control {
            *ports = wanted;
        }
    }

    /// An opening whose unit decides by itself.
    pub(crate) fn unit(&mut self, mark: &str, storey: &str, x: f64, y: f64) {
        let unit = DeviceId::new("U-1");
        let equipped = self.opening(mark, storey, x, y);
        equipped.devices[0].device = unit.clone();
        equipped.control = ControlNeed::OwnUnit { unit };
        equipped.cables = vec![need(CableUse::Network, 8)];
    }

    /// A tray.
    pub(crate) fn way(&mut self, id: &str, storey: &str, from: (f64, f64), to: (f64, f64)) -> &mut CableWay {
        self.job.cable_ways.push(CableWay {
            kind: Some(CableWayKind::Tray),
            storey: Some(StoreyId::new(storey)),
            x1: Some(m(from.0)),
            y1: Some(m(from.1)),
            x2: Some(m(to.0)),
            y2: Some(m(to.1)),
            ..CableWay::new(id)
        });
        self.job.cable_ways.last_mut().unwrap()
    }

    /// An area that no cable may cross.
    pub(crate) fn blocked(&mut self, id: &str, storey: &str, from: (f64, f64), to: (f64, f64)) {
        self.job.blocked_areas.push(BlockedArea {
            storey: Some(StoreyId::new(storey)),
            x1: Some(m(from.0)),
            y1: Some(m(from.1)),
            x2: Some(m(to.0)),
            y2: Some(m(to.1)),
            ..BlockedArea::new(id)
        });
    }

    /// A riser from S0 to S1.
    pub(crate) fn riser(&mut self, id: &str, at: (f64, f64)) -> CableWayId {
        let way = self.way(id, "S0", at, at);
        way.kind = Some(CableWayKind::Riser);
        way.to_storey = Some(StoreyId::new("S1"));
        way.id.clone()
    }

    /// Brings the network of a room over radio.
    pub(crate) fn bridge(&mut self, room: &str, from: &str, distance: f64) {
        let room = self.survey.rooms.iter_mut().find(|it| it.id == RoomId::new(room)).unwrap();
        room.uplink = Some(Uplink { from: RoomId::new(from), bridge_m: Some(m(distance)), trench_m: None });
    }

    /// Offers a trench of this length beside the bridge of a room, at so much a metre.
    pub(crate) fn trench(&mut self, room: &str, length: f64, cents: Option<i64>) {
        let room = self.survey.rooms.iter_mut().find(|it| it.id == RoomId::new(room)).unwrap();
        room.uplink.as_mut().unwrap().trench_m = Some(m(length));
        self.survey.settings.money.trench_metre = cents.map(dw_core::Money::from_cents);
    }

    /// Serves an opening by hand.
    pub(crate) fn serve(&mut self, mark: &str, room: &str, length: f64) {
        self.placement.served.push(Served {
            mark: OpeningId::new(mark),
            room: RoomId::new(room),
            controller: None,
            first_port: 1,
            length_m: m(length),
            fixed: false,
            arrangement: ArrangementKind::Ports,
            way: 0,
        });
        self.placement.served.sort_by(|a, b| a.mark.cmp(&b.mark));
    }

    /// Pins an opening to a room.
    pub(crate) fn pin(&mut self, mark: &str, room: &str) {
        let (opening, room) = (Some(OpeningId::new(mark)), Some(RoomId::new(room)));
        self.job.pins.push(Pin { opening, room, ..Pin::default() });
    }

    /// States where an opening stood in the issued revision.
    pub(crate) fn issued(&mut self, mark: &str, room: &str, controller: &str, number: u32, port: u32) {
        self.job.issued.push(Issued {
            opening: Some(OpeningId::new(mark)),
            revision: Some("A".to_owned()),
            room: Some(RoomId::new(room)),
            controller: Some(DeviceId::new(controller)),
            number: Some(number),
            port: Some(port),
            arrangement: None,
        });
    }

    /// Issues a placement.
    pub(crate) fn issue(&mut self, placement: &Placement) {
        for served in placement.served.iter().filter(|served| served.controller.is_none()) {
            self.job.issued.push(Issued {
                opening: Some(served.mark.clone()),
                revision: Some("A".to_owned()),
                room: Some(served.room.clone()),
                arrangement: Some(served.arrangement),
                ..Issued::default()
            });
        }
        for served in &placement.served {
            if let Some(controller) = served.controller.map(|idx| &placement.controllers[idx]) {
                let (room, device) = (served.room.text(), controller.device.text());
                self.issued(served.mark.text(), room, device, controller.number, served.first_port);
            }
        }
    }

    /// The placement among several ways to arrange openings, with what it raises; equipment is not judged.
    pub(crate) fn place_among(&self, arrangements: &Arrangements, fresh: bool) -> (Placement, Vec<&'static str>) {
        let (job, survey) = (&self.job, &self.survey);
        self.run(|cx| {
            let reach = super::reach(cx, job, survey, arrangements);
            let mut hear = crate::unwatched;
            let mut watch = crate::Watch::new(&mut hear);
            let unrefused = || arrangements.clone();
            let ask = crate::place::Ask { fresh, effort: crate::Effort::Normal, unrefused: &unrefused };
            crate::place::place(cx, job, survey, arrangements, &reach, ask, &mut watch)
        })
    }

    /// Every opening as it is.
    pub(crate) fn settled(&self) -> Arrangements {
        Arrangements::settled(&self.equipment, &self.catalogue, &self.survey.settings.money)
    }

    /// Every opening as it is, or with a unit of its own that costs so much more there and is fed over the network.
    pub(crate) fn with_units(&self, more: dw_core::Money) -> Arrangements {
        let mut arrangements = self.settled();
        for ways in &mut arrangements.openings {
            let mut equipped = ways[0].equipped.clone();
            let unit = DeviceId::new("U-1");
            let fitted = |device: DeviceId, role| Fitted { device, count: 1, role, kept: false };
            equipped.devices = vec![fitted(unit.clone(), Role::ReaderIn), fitted(DeviceId::new("N-1"), Role::Splitter)];
            equipped.control = ControlNeed::OwnUnit { unit };
            equipped.cables = vec![need(CableUse::Network, 8)];
            ways.push(Arrangement { kind: ArrangementKind::OwnUnit, equipped, at_opening: more });
        }
        arrangements
    }

    /// The placement, judged.
    pub(crate) fn place(&self, fresh: bool) -> (Placement, Vec<&'static str>) {
        let reach = self.reach().0;
        self.run(|cx| {
            let mut hear = crate::unwatched;
            let mut watch = crate::Watch::new(&mut hear);
            let arrangements = self.settled();
            let unrefused = || arrangements.clone();
            let ask = crate::place::Ask { fresh, effort: crate::Effort::Normal, unrefused: &unrefused };
            let (job, survey) = (&self.job, &self.survey);
            let placement = crate::place::place(cx, job, survey, &arrangements, &reach, ask, &mut watch);
            crate::place::verify(cx, &self.job, &self.survey, &self.equipment, &placement);
            placement
        })
    }

    /// What placement finds.
    pub(crate) fn findings(&self) -> Vec<dw_core::Finding> {
        let reach = self.reach().0;
        let profile = Profile::default();
        let mut cx = Cx::new(&self.catalogue, &profile);
        let mut hear = crate::unwatched;
        let mut watch = crate::Watch::new(&mut hear);
        let arrangements = self.settled();
        let unrefused = || arrangements.clone();
        let ask = crate::place::Ask { fresh: false, effort: crate::Effort::Normal, unrefused: &unrefused };
        crate::place::place(&mut cx, &self.job, &self.survey, &arrangements, &reach, ask, &mut watch);
        cx.sink.findings
    }

    /// What a pass gives, and the codes it raises.
    pub(crate) fn run<T>(&self, pass: impl FnOnce(&mut Cx<'_>) -> T) -> (T, Vec<&'static str>) {
        let profile = Profile::default();
        let mut cx = Cx::new(&self.catalogue, &profile);
        let result = pass(&mut cx);
        (result, cx.sink.findings.iter().map(|finding| finding.code).collect())
    }

    /// Lengths.
    pub(crate) fn reach(&self) -> (Reach, Vec<&'static str>) {
        let arrangements = self.settled();
        self.run(|cx| super::reach(cx, &self.job, &self.survey, &arrangements))
    }

    /// Routes of the openings served by hand.
    pub(crate) fn route(&self) -> (Routes, Vec<&'static str>) {
        self.run(|cx| super::route(cx, &self.job, &self.survey, &self.equipment, &self.placement))
    }

    /// Cables of the openings served by hand, judged.
    pub(crate) fn schedule(&self) -> (CableSchedule, Vec<&'static str>) {
        let routes = self.route().0;
        let power =
            PowerPlan { enclosures: Vec::new(), locks: Vec::new(), devices: Vec::new(), network_feeds: Vec::new() };
        self.run(|cx| {
            let schedule = super::schedule(cx, &self.job, &self.survey, &self.equipment, &routes, &power);
            super::verify(cx, &self.job, &self.survey, &self.equipment, &self.placement, &routes, &schedule);
            schedule
        })
    }
}

/// Cores named after nothing in particular.
pub(crate) fn need(purpose: CableUse, n_cores: usize) -> CableNeed {
    CableNeed {
        purpose,
        cores: (1..=n_cores).map(|core| format!("core {core}")).collect(),
        existing: false,
        local: false,
    }
}

fn surveyed(mark: &OpeningId, storey: &str, x: f64, y: f64) -> Surveyed {
    let storey = StoreyId::new(storey);
    Surveyed { storey, x_m: m(x), y_m: m(y), watch_position: true, ..testing::surveyed(mark) }
}

/// The site of an estate instance: its storeys, rooms and openings, without drawn ways.
pub(crate) fn estate(text: &str) -> Scene {
    let data: serde_json::Value = serde_json::from_str(text).unwrap();
    let metres = |value: &serde_json::Value| value.as_f64().unwrap() / 10.0;
    let storey = |it: &serde_json::Value| match it["b"].as_i64().unwrap() {
        -1 => "OUT".to_owned(),
        building => format!("b{building}-{}", it["l"]),
    };
    let mut scene = Scene::new();
    scene.job.buildings.clear();
    scene.job.storeys.retain(|it| it.id == StoreyId::new("OUT"));
    for (idx, building) in data["buildings"].as_array().unwrap().iter().enumerate() {
        let id = format!("b{idx}");
        let [entry_x, entry_y] = [0, 1].map(|axis| Some(m(metres(&building["riser"][axis]))));
        scene.job.buildings.push(Building { entry_x, entry_y, ..Building::new(&id) });
        for level in 0..building["levels"].as_u64().unwrap() {
            let (building, elevation) = (Some(BuildingId::new(&id)), Some(m(4.0 * level as f64)));
            scene.job.storeys.push(Storey { building, elevation, ..Storey::new(&format!("{id}-{level}")) });
        }
    }
    scene.survey.settings.drop_opening_m = m(3.0);
    scene.survey.settings.drop_room_m = m(2.0);
    scene.survey.settings.spare_percent = u32::try_from(data["rules"]["spare_percent"].as_u64().unwrap()).unwrap();
    for room in data["rooms"].as_array().unwrap() {
        let id = room["id"].as_str().unwrap();
        scene.room(id, &storey(room), metres(&room["x"]), metres(&room["y"])).max_controllers = Some(8);
    }
    for it in data["openings"].as_array().unwrap() {
        let ports = u32::try_from(it["ports"].as_u64().unwrap()).unwrap();
        scene.wide(it["id"].as_str().unwrap(), &storey(it), metres(&it["x"]), metres(&it["y"]), ports);
    }
    scene
}
