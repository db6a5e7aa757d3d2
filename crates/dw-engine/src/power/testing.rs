//! A small site for the tests of this pass: one room, one controller, one opening, all in order until a test spoils it.

use dw_core::{AmpHours, Amps, DeviceId, Finding, Metres, Money, OpeningId, RoomId, Watts};
use dw_job::catalogue::{CableUse, Device};
use dw_job::model::{FailMode, Opening};
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};

use super::{PowerPlan, power, verify};
use crate::Cx;
use crate::equip::{Action, CableNeed, ControlNeed, Equipment, Equipped, Fitted, Role};
use crate::place::{PlacedController, Placement, Served};
use crate::route::{RoutedOpening, Routes};

const CATALOGUE: &str = r#"
[[device]]
id = "ctrl"
kind = "controller"
electrical = { nominal_v = 12, min_v = 10, max_v = 30, standby_a = 0.2, active_a = 0.3 }
control = { ports = 4, enclosure_units = 2, output_a = 10 }
[[device]]
id = "kit"
kind = "kit"
electrical = { nominal_v = 12, min_v = 10, max_v = 15, standby_a = 0.2, active_a = 0.3 }
control = { ports = 4, enclosure_units = 2, output_a = 10 }
supply = { output_voltage_v = 13.8, output_a = 5, efficiency_percent = 86, charger_a = 1, max_battery_ah = 18 }
size = { width_mm = 400, height_mm = 400, depth_mm = 120 }
[[device]]
id = "unit"
kind = "standalone-unit"
electrical = { nominal_v = 12, min_v = 10, standby_a = 0.2, active_a = 0.3 }
[[device]]
id = "reader"
kind = "reader"
electrical = { nominal_v = 12, min_v = 9, standby_a = 0.08, active_a = 0.1 }
[[device]]
id = "contact"
kind = "door-contact"
electrical = { standby_a = 0 }
[[device]]
id = "lock"
kind = "lock"
lock = { kind = "electric-strike", fail_modes = ["fail-safe", "fail-secure"], on_leaf = false }
electrical = { nominal_v = 12, min_v = 9.6, max_v = 14.5, standby_a = 0.3, active_a = 0.4, inrush_a = 0.6, inrush_time_s = 1 }
[[device]]
id = "lock-24"
kind = "lock"
lock = { kind = "electric-strike", fail_modes = ["fail-safe"], on_leaf = false }
electrical = { nominal_v = 24, min_v = 19.2, max_v = 28.5, standby_a = 0.2, active_a = 0.2 }
[[device]]
id = "splitter"
kind = "splitter"
electrical = { nominal_v = 12 }
supply = { output_voltage_v = 12, output_a = 2, efficiency_percent = 88 }
network = { class = 5 }
[[device]]
id = "camera"
kind = "plate-camera"
electrical = { network_power_w = 12 }
[[device]]
id = "supply-5"
kind = "power-supply"
price = "100"
electrical = { nominal_v = 12 }
supply = { output_voltage_v = 13.8, output_a = 5, efficiency_percent = 85, charger_a = 1, max_battery_ah = 40 }
[[device]]
id = "supply-10"
kind = "power-supply"
price = "200"
electrical = { nominal_v = 12 }
supply = { output_voltage_v = 13.8, output_a = 10, efficiency_percent = 85, charger_a = 2.5, max_battery_ah = 40 }
[[device]]
id = "supply-24"
kind = "power-supply"
price = "150"
electrical = { nominal_v = 24 }
supply = { output_voltage_v = 27.6, output_a = 5, efficiency_percent = 85, charger_a = 1, max_battery_ah = 18 }
[[device]]
id = "battery-1"
kind = "battery"
price = "15"
battery = { capacity_ah = 1, rated_h = 20, nominal_v = 12, end_v = 10.5, peukert = 1.1 }
[[device]]
id = "battery-7"
kind = "battery"
price = "20"
battery = { capacity_ah = 7, rated_h = 20, nominal_v = 12, end_v = 10.5, peukert = 1.1 }
[[device]]
id = "battery-18"
kind = "battery"
price = "50"
battery = { capacity_ah = 18, rated_h = 20, nominal_v = 12, end_v = 10.5, peukert = 1.1 }
[[device]]
id = "box"
kind = "enclosure"
price = "80"
enclosure_units = 4
size = { width_mm = 400, height_mm = 500, depth_mm = 150 }
[[device]]
id = "loop-1"
kind = "power-transfer"
price = "40"
cable = { cores = 8, resistance_ohm_per_km = 50 }
size = { height_mm = 700 }
[[device]]
id = "signal-6"
kind = "cable"
price = "0.40"
cable = { uses = ["reader"], cores = 6, area_mm2 = 0.22, resistance_ohm_per_km = 78.4, outdoor = false }
[[device]]
id = "signal-8"
kind = "cable"
price = "0.55"
cable = { uses = ["reader"], cores = 8, area_mm2 = 0.22, resistance_ohm_per_km = 78.4, outdoor = true }
[[device]]
id = "cable-thin"
kind = "cable"
price = "0.50"
cable = { uses = ["lock"], cores = 2, area_mm2 = 0.75, resistance_ohm_per_km = 26, outdoor = false }
[[device]]
id = "cable-thick"
kind = "cable"
price = "0.90"
cable = { uses = ["lock"], cores = 2, area_mm2 = 2.5, resistance_ohm_per_km = 7.98, outdoor = true }
"#;

const JOB: &str = r#"
[policy.power]
standby_h = 4
alarm_min = 5
recharge_h = 48
battery_margin_percent = 10
battery_end_of_life_percent = 80
supply_load_percent = 80
conductor_temperature_c = 20
[[storey]]
id = "L0"
[[room]]
id = "TR-1"
storey = "L0"
mains = true
temperature_min_c = 20
temperature_max_c = 25
x_m = 0
y_m = 0
"#;

/// Everything the pass reads, open to be spoilt.
pub(crate) struct Site {
    pub(crate) job: Job,
    pub(crate) catalogue: Catalogue,
    pub(crate) equipment: Equipment,
    pub(crate) placement: Placement,
    pub(crate) routes: Routes,
    pub(crate) profile: Profile,
}

/// The site in order: D-1 with reader, contact and a fail-secure lock, 20 m from TR-1.
pub(crate) fn site() -> Site {
    let document = |name: &str, text: &str| Document { name: name.to_owned(), bytes: text.as_bytes().to_vec() };
    let (catalogue, read) = Catalogue::read(&[document("catalogue.toml", CATALOGUE)]);
    assert_eq!(read.findings, [], "the test's own catalogue must be lawful");
    let (job, read) = Job::read(&[document(JOB_FILE, JOB)]);
    assert_eq!(read.findings, [], "the test's own job must be lawful");
    let controller = PlacedController {
        label: "TR-1/C1".to_owned(),
        room: RoomId::new("TR-1"),
        device: DeviceId::new("ctrl"),
        number: 1,
        ports: vec![None; 4],
        kept: false,
    };
    let placement = Placement {
        controllers: vec![controller],
        served: Vec::new(),
        unserved: Vec::new(),
        cost: Money::ZERO,
        bound: Money::ZERO,
        gap: 0.0,
        clashes: Vec::new(),
        staying_put: None,
        stopped: false,
        architecture: None,
        apart: Vec::new(),
        apart_costs: None,
    };
    let mut site = Site {
        job,
        catalogue,
        equipment: Equipment { openings: Vec::new() },
        placement,
        routes: Routes { openings: Vec::new(), links: Vec::new() },
        profile: Profile::default(),
    };
    site.add_opening("D-1");
    site
}

/// Codes of findings, in the order of paper.
pub(crate) fn codes(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.code).collect()
}

fn fitted(device: &str, count: u32, role: Role) -> Fitted {
    Fitted { device: DeviceId::new(device), count, role, kept: false }
}

impl Site {
    pub(crate) fn device(&mut self, id: &str) -> &mut Device {
        self.catalogue.devices.get_mut(&DeviceId::new(id)).unwrap()
    }

    pub(crate) fn opening(&mut self, mark: &str) -> &mut Opening {
        self.job.openings.iter_mut().find(|opening| opening.mark == OpeningId::new(mark)).unwrap()
    }

    pub(crate) fn equipped(&mut self, mark: &str) -> &mut Equipped {
        self.equipment.openings.iter_mut().find(|equipped| equipped.mark == OpeningId::new(mark)).unwrap()
    }

    /// One more opening on the controller, equipped as D-1; marks must be added in order.
    pub(crate) fn add_opening(&mut self, mark: &str) {
        let mark = OpeningId::new(mark);
        let text = format!(
            "{JOB}\n[[opening]]\nmark = \"{mark}\"\nstorey = \"L0\"\nx_m = 5\ny_m = 0\nkind = \"single\"\npeak_flow = 36"
        );
        let document = Document { name: JOB_FILE.to_owned(), bytes: text.into_bytes() };
        self.job.openings.extend(Job::read(&[document]).0.openings);
        let needs = |purpose, cores: &[&str]| CableNeed {
            purpose,
            cores: cores.iter().map(|core| (*core).to_owned()).collect(),
            existing: false,
            local: false,
        };
        self.equipment.openings.push(Equipped {
            mark: mark.clone(),
            control: ControlNeed::Ports { ports: 1, models: vec![DeviceId::new("ctrl")] },
            fail_mode: Some(FailMode::Secure),
            holds_escape: false,
            provisional: None,
            devices: vec![
                fitted("reader", 1, Role::ReaderIn),
                fitted("lock", 1, Role::Lock),
                fitted("contact", 1, Role::DoorContact),
            ],
            cables: vec![needs(CableUse::Lock, &["lock +", "lock -"])],
            action: Action { normal: String::new(), fire: String::new(), power_loss: String::new() },
            choices: Vec::new(),
        });
        let port = self.placement.served.len();
        self.placement.controllers[0].ports[port] = Some(mark.clone());
        self.placement.served.push(Served {
            mark: mark.clone(),
            room: RoomId::new("TR-1"),
            controller: Some(0),
            first_port: u32::try_from(port).unwrap() + 1,
            length_m: Metres::new(20.0),
            fixed: false,
            arrangement: dw_job::model::ArrangementKind::Ports,
            way: 0,
        });
        self.routes.openings.push(RoutedOpening {
            mark,
            room: RoomId::new("TR-1"),
            length_m: Metres::new(20.0),
            ways: Vec::new(),
            off_way_m: Metres::ZERO,
            outdoors: false,
            detour_m: Metres::ZERO,
        });
    }

    /// Lays a cable to the reader of an opening.
    pub(crate) fn wire_reader(&mut self, mark: &str) {
        let cores = ["supply +", "supply -", "data 0", "data 1", "indicator", "sounder"].map(str::to_owned).to_vec();
        let need = CableNeed { purpose: CableUse::Reader, cores, existing: false, local: false };
        self.equipped(mark).cables.insert(0, need);
    }

    /// Fits a power transfer of this model at D-1.
    pub(crate) fn fit_transfer(&mut self, model: &str) {
        self.equipped("D-1").devices.push(fitted(model, 1, Role::PowerTransfer));
    }

    pub(crate) fn length(&mut self, mark: &str, metres: f64) {
        let routed = self.routes.openings.iter_mut().find(|routed| routed.mark == OpeningId::new(mark)).unwrap();
        routed.length_m = Metres::new(metres);
    }

    /// Leaves the thick cable only, and sets the lock so high that the most conductors are taken.
    pub(crate) fn thickest_only(&mut self) -> &mut Self {
        self.catalogue.devices.remove(&DeviceId::new("cable-thin"));
        self.device("lock").electrical.min = Some(dw_core::Volts::new(14.0));
        self
    }

    /// Leaves one battery, of this capacity.
    pub(crate) fn only_battery(&mut self, capacity: AmpHours) {
        self.catalogue.devices.remove(&DeviceId::new("battery-1"));
        self.catalogue.devices.remove(&DeviceId::new("battery-7"));
        self.device("battery-18").battery.capacity = Some(capacity);
    }

    /// Gives the supplies of 12 V this many outputs of this rating, listed as class 2 or not.
    pub(crate) fn outputs(&mut self, outputs: u32, rating: f64, listed: bool) {
        for id in ["supply-5", "supply-10"] {
            let supply = &mut self.device(id).supply;
            (supply.outputs, supply.output_rating) = (Some(outputs), Some(Amps::new(rating)));
            supply.class_2 = Some(listed);
        }
    }

    /// Leaves one supply of 12 V, of this output.
    pub(crate) fn only_supply(&mut self, output: Amps) {
        self.catalogue.devices.remove(&DeviceId::new("supply-10"));
        self.device("supply-5").supply.output = Some(output);
    }

    /// Puts a unit at D-1, fed by a splitter, with these devices behind it.
    pub(crate) fn split(&mut self, splitter: &str, devices: &[(&str, u32)]) {
        self.job.policy.power.standby = Some(dw_core::Hours::ZERO);
        let role = |device: &str| if device == "lock" { Role::Lock } else { Role::ReaderIn };
        let equipped = self.equipped("D-1");
        equipped.control = ControlNeed::OwnUnit { unit: DeviceId::new("unit") };
        equipped.devices = devices.iter().map(|(device, count)| fitted(device, *count, role(device))).collect();
        equipped.devices.push(fitted(splitter, 1, Role::Splitter));
        self.placement.controllers.clear();
        self.placement.served[0].controller = None;
    }

    /// Puts a device at D-1 that takes this power from the network cable, and nothing else.
    pub(crate) fn network_unit(&mut self, watts: f64) {
        self.device("camera").electrical.network_power = Some(Watts::new(watts));
        self.split("splitter", &[]);
        self.equipped("D-1").control = ControlNeed::OwnUnit { unit: DeviceId::new("camera") };
        self.equipped("D-1").devices = vec![fitted("camera", 1, Role::ReaderIn)];
    }

    /// Runs the pass and its judge; notes about switches without battery and about thin margins are left out.
    pub(crate) fn check(&mut self) -> (PowerPlan, Vec<Finding>) {
        let (plan, mut findings) = self.check_all();
        findings.retain(|finding| !["POW-021", "POW-023"].contains(&finding.code));
        (plan, findings)
    }

    /// Runs the pass and its judge.
    pub(crate) fn check_all(&mut self) -> (PowerPlan, Vec<Finding>) {
        self.run(|_| ())
    }

    /// What the judge says of the plan after somebody edited it.
    pub(crate) fn judge(&mut self, edit: impl FnOnce(&mut PowerPlan)) -> Vec<Finding> {
        let (_, mut findings) = self.run(edit);
        findings.retain(|finding| finding.code > "POW-900");
        findings.dedup_by_key(|finding| finding.code);
        findings
    }

    fn run(&mut self, edit: impl FnOnce(&mut PowerPlan)) -> (PowerPlan, Vec<Finding>) {
        let mut quiet = Cx::new(&self.catalogue, &self.profile);
        let survey = crate::survey::survey(&mut quiet, &self.job);
        let mut cx = Cx::new(&self.catalogue, &self.profile);
        let mut plan = power(&mut cx, &self.job, &survey, &self.equipment, &self.placement, &self.routes);
        edit(&mut plan);
        verify(&mut cx, &survey, &self.equipment, &self.placement, &plan);
        let mut findings = cx.sink.findings;
        findings.sort_by(Finding::order);
        (plan, findings)
    }
}
