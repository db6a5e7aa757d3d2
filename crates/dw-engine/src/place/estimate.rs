//! What the solver counts for using a room, for a controller and for a network port: estimates from the catalogue over the
//! years the policy counts, in cents.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, GradeId, Input, Money, Watts, Working};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind, TaskBasis};
use rust_decimal::Decimal;

use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Role};
use crate::route::links;
use crate::survey::{Settings, Uplink};

/// Costs of rooms, controllers and network ports.
#[derive(Debug)]
pub(super) struct Estimate<'a> {
    /// What each device costs over the years counted.
    whole_life: &'a BTreeMap<DeviceId, Money>,
    /// Labour for each controller, beside that of its device record.
    per_controller: Money,
    /// Cost of using a room: cheapest enclosure, supply and battery, and the tasks counted by enclosure.
    pub(super) room: Money,
    /// Share of the cheapest switch that a network port takes; `None` where no switch is offered.
    pub(super) network_port: Option<Money>,
    parts: [(&'static str, Money); 4],
}

/// Ports of a switch that carry the network itself: one for its own link, one for the next (*common practice*).
const LINK_PORTS: u32 = 2;

impl<'a> Estimate<'a> {
    pub(super) fn new(catalogue: &Catalogue, whole_life: &'a BTreeMap<DeviceId, Money>) -> Self {
        let cheapest = |kind| {
            let offered = catalogue.offered(kind).filter_map(|device| whole_life.get(&device.id));
            offered.min().copied().unwrap_or(Money::ZERO)
        };
        let parts = [
            ("enclosure", cheapest(DeviceKind::Enclosure)),
            ("supply", cheapest(DeviceKind::PowerSupply)),
            ("battery", cheapest(DeviceKind::Battery)),
            ("tasks", tasks(catalogue, TaskBasis::Enclosure)),
        ];
        let room = parts.iter().map(|part| part.1).sum();
        let network_port = port(catalogue, whole_life, 0.0);
        Self { whole_life, network_port, per_controller: tasks(catalogue, TaskBasis::Controller), room, parts }
    }

    /// What an opening adds for network ports in a room short of them: a port that feeds what `is_fed` over the network
    /// there, and its share of the port of its controller.
    pub(super) fn port_share(&self, cx: &Cx<'_>, equipped: &Equipped, is_fed: bool) -> Money {
        let plain = self.network_port.unwrap_or(Money::ZERO);
        let own = if is_fed {
            port(cx.catalogue, self.whole_life, watts(cx, equipped)).unwrap_or(plain)
        } else {
            Money::ZERO
        };
        let ControlNeed::Ports { ports, models } = &equipped.control else { return own };
        let largest = models.iter().filter_map(|model| cx.device(model)?.control.ports).max();
        own + plain.times(Decimal::from(*ports) / Decimal::from(largest.unwrap_or(1).max(1)))
    }

    /// What the cheaper of radio bridge and trench costs that routing takes for a link; nothing where there is neither.
    pub(super) fn link(&self, cx: &Cx<'_>, settings: &Settings, uplink: &Uplink) -> Money {
        links::offers(cx.catalogue, settings, self.whole_life, uplink).cost()
    }

    /// What a controller costs with its tasks; `None` when the catalogue states no price.
    pub(super) fn controller(&self, device: &Device) -> Option<Money> {
        Some(*self.whole_life.get(&device.id)? + self.per_controller)
    }

    /// Shows how the cost of a room comes about.
    pub(super) fn show(&self, cx: &mut Cx<'_>) {
        cx.sink.show(Working {
            figure: FigureId::new("job", "", "room_cost_estimate"),
            title: "Cost of using a telecom room, as placement counts it",
            value: self.room.into(),
            unit: "",
            formula: "enclosure + supply + battery + tasks",
            inputs: self.parts.iter().map(|&(name, cost)| Input::new(name, cost, "")).collect(),
            source: "cheapest of each kind in the catalogue with labour, replacements and yearly cost over the years counted; an estimate, the power pass chooses later",
        });
    }
}

/// Share of the cheapest switch that a port takes which feeds so many watts: by ports or by power, whichever is more.
fn port(catalogue: &Catalogue, whole_life: &BTreeMap<DeviceId, Money>, watts: f64) -> Option<Money> {
    let a_port = |device: &Device| {
        let ports = device.network.ports?.checked_sub(LINK_PORTS).filter(|ports| *ports > 0)?;
        let budget = device.network.power_budget.map_or(0.0, Watts::get);
        let by_power = if watts > 0.0 { Decimal::from_f64_retain(watts / budget)? } else { Decimal::ZERO };
        let share = by_power.max(Decimal::ONE / Decimal::from(ports));
        Some(whole_life.get(&device.id)?.times(share))
    };
    catalogue.offered(DeviceKind::Switch).filter_map(a_port).min()
}

/// What the splitter of an opening takes from the network, or what its unit takes by itself.
pub(super) fn watts(cx: &Cx<'_>, equipped: &Equipped) -> f64 {
    let unit = match &equipped.control {
        ControlNeed::OwnUnit { unit } => Some(unit),
        _ => None,
    };
    let splitter = equipped.in_role(Role::Splitter).map(|fitted| &fitted.device);
    let takes = splitter.or(unit).and_then(|id| cx.device(id)?.electrical.network_power);
    takes.map_or(0.0, Watts::get)
}

/// Labour of all tasks counted by one basis.
fn tasks(catalogue: &Catalogue, basis: TaskBasis) -> Money {
    let rate = |id: &GradeId| catalogue.grades.iter().find(|grade| grade.id == *id)?.rate_per_hour;
    let tasks = catalogue.tasks.iter().filter(|task| task.per == Some(basis));
    tasks.filter_map(|task| Some(rate(task.grade.as_ref()?)?.times_quantity(task.hours?.get()))).sum()
}

#[cfg(test)]
mod tests {
    use dw_core::Hours;
    use dw_job::catalogue::Grade;

    use super::*;
    use crate::route::testing::Scene;

    #[test]
    fn controllers_are_set_to_work_by_the_engineer_as_price_counts_it() {
        let mut scene = Scene::new();
        let engineer = Grade { rate_per_hour: Some(Money::from_cents(7_000)), ..Grade::new("engineer") };
        scene.catalogue.grades.push(engineer);
        let k1 = DeviceId::new("K1");
        let device = scene.catalogue.devices.get_mut(&k1).unwrap();
        (device.labour.fit, device.labour.commission) = (Some(Hours::new(0.5)), Some(Hours::new(1.0)));
        let all = scene.settled();
        let estimate = Estimate::new(&scene.catalogue, &all.whole_life);
        // 420.00, half an hour at 50.00, an hour at 70.00.
        assert_eq!(estimate.controller(&scene.catalogue.devices[&k1]), Some(Money::from_cents(42_000 + 2_500 + 7_000)));
    }

    #[test]
    fn what_is_fed_over_the_network_beside_a_controller_takes_a_port_of_its_own() {
        let mut scene = Scene::new();
        let mut switch = Device { kind: Some(DeviceKind::Switch), ..Device::new("SW") };
        (switch.price, switch.network.ports) = (Some(Money::from_cents(20_000)), Some(48));
        scene.catalogue.devices.insert(switch.id.clone(), switch);
        let equipped = scene.opening("D-1", "S0", 0.0, 0.0).clone();
        let all = scene.settled();
        let estimate = Estimate::new(&scene.catalogue, &all.whole_life);
        let profile = dw_job::Profile::default();
        let cx = Cx::new(&scene.catalogue, &profile);
        // 200.00 over 46 ports is 4.35; a port of four on a controller is 1.09 of it.
        assert_eq!(estimate.network_port, Some(Money::from_cents(435)));
        assert_eq!(estimate.port_share(&cx, &equipped, false), Money::from_cents(109));
        assert_eq!(estimate.port_share(&cx, &equipped, true), Money::from_cents(435 + 109));
    }

    #[test]
    fn a_link_counts_the_bridge_that_is_bought_even_where_another_is_cheaper_to_keep() {
        let mut scene = Scene::new();
        scene.catalogue.devices.get_mut(&DeviceId::new("RB1")).unwrap().yearly_cost = Some(Money::from_cents(100_000));
        let all = scene.settled();
        let estimate = Estimate::new(&scene.catalogue, &all.whole_life);
        let profile = dw_job::Profile::default();
        let cx = Cx::new(&scene.catalogue, &profile);
        let bridge = |metres: f64| {
            let bridge_m = Some(dw_core::Metres::new(metres));
            let uplink = Uplink { from: dw_core::RoomId::new("TR-1"), bridge_m, trench_m: None };
            estimate.link(&cx, &scene.survey.settings, &uplink)
        };
        assert_eq!(bridge(50.0), all.whole_life[&DeviceId::new("RB1")]);
        assert!(bridge(50.0) > bridge(200.0));
        assert_eq!(bridge(501.0), Money::ZERO);
    }
}
