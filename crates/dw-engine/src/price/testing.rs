//! Hand-built inputs for tests: each a plain, harmless value of its kind that a test then changes.

use dw_core::{
    AmpHours, Amps, Celsius, Currency, DeviceId, EnclosureId, GradeId, GroupId, Hours, Metres, Money, OpeningId,
    RoomId, StoreyId, Volts, Watts,
};
use dw_job::catalogue::{CableUse, Catalogue, Device, DeviceKind, DeviceLabour, Grade, Interface, Task, TaskBasis};
use dw_job::{Job, Profile};
use rust_decimal::Decimal;

use super::{Price, verify};
use crate::Cx;
use crate::capacity::CapacityPlan;
use crate::equip::{Action, ControlNeed, Equipment, Equipped, Fitted, Role};
use crate::place::{PlacedController, Placement, Served};
use crate::power::{EnclosurePlan, PowerPlan};
use crate::route::{CablePurchase, CableRun, CableSchedule, Routes};
use crate::survey::{Population, Survey, SurveyedRoom};
pub(crate) use crate::testing::{placement, survey, surveyed};

/// Equipment of one opening.
pub(crate) fn equipped(mark: &OpeningId, control: ControlNeed, devices: Vec<Fitted>) -> Equipped {
    Equipped {
        mark: mark.clone(),
        control,
        fail_mode: None,
        holds_escape: false,
        provisional: None,
        devices,
        cables: Vec::new(),
        action: Action { normal: String::new(), fire: String::new(), power_loss: String::new() },
        choices: Vec::new(),
    }
}

/// A telecom room with mains and no limits.
pub(crate) fn room(id: &str) -> SurveyedRoom {
    SurveyedRoom {
        id: RoomId::new(id),
        name: id.to_owned(),
        storey: StoreyId::new("ground"),
        x_m: Metres::ZERO,
        y_m: Metres::ZERO,
        max_controllers: None,
        enclosure_places: None,
        network_ports: None,
        network_power_w: None,
        mains: true,
        temperature_max_c: Celsius::new(30.0),
        temperature_min_c: Celsius::new(10.0),
        uplink: None,
    }
}

/// An enclosure around one controller.
pub(crate) fn enclosure(number: u32, controller: usize, parts: [Option<DeviceId>; 3]) -> EnclosurePlan {
    let [enclosure, supply, battery] = parts;
    EnclosurePlan {
        id: EnclosureId::new(&format!("T/E{number}")),
        room: RoomId::new("T"),
        controllers: vec![controller],
        units: Vec::new(),
        enclosure,
        supply,
        supplies: 1,
        battery,
        batteries: 2,
        nominal_v: Volts::new(12.0),
        standby_a: Amps::ZERO,
        active_a: Amps::ZERO,
        peak_a: Amps::ZERO,
        needed_ah: AmpHours::ZERO,
        fitted_ah: AmpHours::ZERO,
        standby_h: Hours::ZERO,
        recharge_h: Hours::ZERO,
        charger_a: Amps::ZERO,
        battery_years: None,
        heat_w: Watts::ZERO,
        mains_w: Watts::ZERO,
        inside_c: Celsius::new(20.0),
        loads: Vec::new(),
        outputs: Vec::new(),
        without_output: Vec::new(),
    }
}

/// Everything the price pass reads.
#[derive(Debug)]
pub(crate) struct Site {
    pub(crate) job: Job,
    pub(crate) catalogue: Catalogue,
    pub(crate) survey: Survey,
    pub(crate) equipment: Equipment,
    pub(crate) placement: Placement,
    pub(crate) power: PowerPlan,
    pub(crate) cables: CableSchedule,
    pub(crate) routes: Routes,
    pub(crate) capacity: CapacityPlan,
}

/// The price of a site.
pub(crate) fn price(site: &Site) -> Price {
    run(site).0
}

/// The codes raised while a site is priced.
pub(crate) fn codes(site: &Site) -> Vec<&'static str> {
    run(site).1.sink.findings.iter().map(|finding| finding.code).collect()
}

/// The headlines raised while a site is priced.
pub(crate) fn headlines(site: &Site) -> Vec<String> {
    run(site).1.sink.findings.iter().map(|finding| finding.headline.clone()).collect()
}

/// The codes the judge raises over a price.
pub(crate) fn verified(site: &Site, price: &Price) -> Vec<&'static str> {
    let profile = Profile::default();
    let mut cx = Cx::new(&site.catalogue, &profile);
    verify(&mut cx, &site.survey, price);
    cx.sink.findings.iter().map(|finding| finding.code).collect()
}

static PROFILE: std::sync::LazyLock<Profile> = std::sync::LazyLock::new(Profile::default);

/// Price and context after the pass.
pub(crate) fn run(site: &Site) -> (Price, Cx<'_>) {
    let mut cx = Cx::new(&site.catalogue, &PROFILE);
    let price = super::price(
        &mut cx,
        &site.job,
        &site.survey,
        &site.equipment,
        &site.placement,
        &site.power,
        &site.cables,
        &site.routes,
        &site.capacity,
    );
    (price, cx)
}

impl Site {
    /// Nothing at all, with mark-up 22 % and 15 %, tax 20 %.
    pub(crate) fn empty(catalogue: Catalogue) -> Self {
        let mut survey = survey();
        survey.settings.money.equipment_markup = Decimal::new(22, 2);
        survey.settings.money.labour_markup = Decimal::new(15, 2);
        survey.settings.money.tax = Decimal::new(20, 2);
        let mut job = Job::default();
        job.policy.money.tax_percent = Some(20.0);
        Self {
            job,
            catalogue,
            survey,
            equipment: Equipment { openings: Vec::new() },
            placement: placement(),
            power: PowerPlan {
                enclosures: Vec::new(),
                locks: Vec::new(),
                devices: Vec::new(),
                network_feeds: Vec::new(),
            },
            cables: CableSchedule { runs: Vec::new(), fills: Vec::new(), pulls: Vec::new(), purchases: Vec::new() },
            routes: Routes { openings: Vec::new(), links: Vec::new() },
            capacity: CapacityPlan {
                holders: Vec::new(),
                head_end: None,
                head_ends: 0,
                licences: Vec::new(),
                openings: 0,
                credentials: Vec::new(),
                card_order: None,
            },
        }
    }

    /// New single doors `D-1` and on, each with reader, lock, contact and 30 m of cable, on controllers with four ports
    /// in one room; 250 people.
    pub(crate) fn doors(count: u32) -> Self {
        let mut site = Self::empty(small_catalogue());
        site.survey.rooms.push(room("T"));
        site.survey
            .groups
            .insert(GroupId::new("staff"), Population { today: 250, planned: 275, ..Population::default() });
        for number in 0..count {
            site.door(number, Metres::new(30.0));
        }
        let cut: f64 = site.cables.runs.iter().map(|run| run.length_m.get()).sum();
        site.cables.purchases.push(CablePurchase::by_metre(
            DeviceId::new("cable"),
            Metres::new(cut),
            Metres::new(cut * 1.08),
        ));
        site.capacity.credentials.push((DeviceId::new("card"), 275));
        site
    }

    fn door(&mut self, number: u32, length_m: Metres) {
        let mark = OpeningId::new(&format!("D-{}", number + 1));
        self.survey.openings.push(surveyed(&mark));
        let fitted = |id: &str, role| Fitted { device: DeviceId::new(id), count: 1, role, kept: false };
        let devices =
            vec![fitted("reader", Role::ReaderIn), fitted("lock", Role::Lock), fitted("contact", Role::DoorContact)];
        let control = ControlNeed::Ports { ports: 1, models: vec![DeviceId::new("controller")] };
        self.equipment.openings.push(equipped(&mark, control, devices));
        if number.is_multiple_of(4) {
            let count = number / 4 + 1;
            let controller = self.placement.controllers.len();
            self.placement.controllers.push(PlacedController {
                label: format!("T/C{count}"),
                room: RoomId::new("T"),
                device: DeviceId::new("controller"),
                number: count,
                ports: vec![None; 4],
                kept: false,
            });
            let parts = ["enclosure", "supply", "battery"].map(|id| Some(DeviceId::new(id)));
            self.power.enclosures.push(enclosure(count, controller, parts));
        }
        let controller = self.placement.controllers.len() - 1;
        self.placement.controllers[controller].ports[number as usize % 4] = Some(mark.clone());
        self.placement.served.push(Served {
            mark: mark.clone(),
            room: RoomId::new("T"),
            controller: Some(controller),
            first_port: number % 4,
            length_m,
            fixed: false,
            arrangement: dw_job::model::ArrangementKind::Ports,
            way: 0,
        });
        self.cables.runs.push(run_of(&mark, "cable", CableUse::Reader, length_m));
    }

    /// A device of the catalogue, to change.
    pub(crate) fn device(&mut self, id: &str) -> &mut Device {
        self.catalogue.devices.get_mut(&DeviceId::new(id)).unwrap()
    }
}

/// A cable from an opening to the room.
pub(crate) fn run_of(mark: &OpeningId, cable: &str, purpose: CableUse, length_m: Metres) -> CableRun {
    CableRun {
        label: format!("{mark}/1"),
        mark: mark.clone(),
        room: RoomId::new("T"),
        device: Some(DeviceId::new(cable)),
        purpose,
        length_m,
        cores: Vec::new(),
        existing: false,
        local: false,
    }
}

fn small_catalogue() -> Catalogue {
    use DeviceKind as K;
    let rows = [
        ("reader", K::Reader, 14_200, 0.5),
        ("lock", K::Lock, 9800, 1.0),
        ("contact", K::DoorContact, 2250, 0.25),
        ("controller", K::Controller, 98_000, 1.0),
        ("enclosure", K::Enclosure, 14_200, 0.75),
        ("supply", K::PowerSupply, 17_600, 0.5),
        ("battery", K::Battery, 2400, 0.25),
        ("switch", K::Switch, 26_500, 0.5),
        ("surge", K::SurgeProtector, 6400, 0.5),
        ("camera", K::PlateCamera, 164_000, 3.0),
        ("card", K::Credential, 320, 0.0),
        ("cable", K::Cable, 42, 0.0),
    ];
    let mut catalogue = Catalogue::default();
    for (id, kind, cents, fit) in rows {
        let mut device = Device::new(id);
        device.kind = Some(kind);
        device.price = Some(Money::from_cents(cents));
        device.life_years = Some(4.0);
        device.labour = DeviceLabour { fit: Some(Hours::new(fit)), commission: Some(Hours::new(fit / 2.0)) };
        catalogue.devices.insert(device.id.clone(), device);
    }
    let device = |id: &str| DeviceId::new(id);
    if let Some(cable) = catalogue.devices.get_mut(&device("cable")) {
        cable.cable.labour_per_metre = Some(Hours::new(0.01));
        cable.labour = DeviceLabour::default();
    }
    if let Some(switch) = catalogue.devices.get_mut(&device("switch")) {
        switch.network.ports = Some(8);
        switch.environment.temperature_min = Some(Celsius::new(0.0));
    }
    if let Some(surge) = catalogue.devices.get_mut(&device("surge")) {
        surge.interfaces = vec![Interface::Multidrop];
    }
    catalogue.heading.currency = Currency::new("EUR");
    catalogue.grades = vec![grade("installer", 4800), grade("engineer", 6400)];
    catalogue.tasks = vec![
        task("terminate", "installer", TaskBasis::Opening, 1.5),
        task("configure", "engineer", TaskBasis::Controller, 0.5),
        task("spur", "installer", TaskBasis::Enclosure, 0.75),
        task("enrol", "engineer", TaskBasis::HundredPeople, 4.0),
        task("manage", "engineer", TaskBasis::Job, 8.0),
    ];
    catalogue
}

fn grade(id: &str, cents: i64) -> Grade {
    Grade { rate_per_hour: Some(Money::from_cents(cents)), ..Grade::new(id) }
}

fn task(id: &str, grade: &str, per: TaskBasis, hours: f64) -> Task {
    Task { grade: Some(GradeId::new(grade)), per: Some(per), hours: Some(Hours::new(hours)), ..Task::new(id) }
}
