//! What the solver counts for using a room, for a controller and for a network port: estimates from the catalogue over the
//! years the policy counts, in cents.

use std::collections::BTreeMap;

use dw_core::{DeviceId, FigureId, GradeId, Hours, Input, Metres, Money, Watts, Working};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind, TaskBasis};

use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Role};

/// Costs of rooms, controllers and network ports.
#[derive(Debug)]
pub(super) struct Estimate<'a> {
    /// What each device costs after the first day.
    later: &'a BTreeMap<DeviceId, Money>,
    /// Rate of an hour of fitting.
    hour: Money,
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
    pub(super) fn new(catalogue: &Catalogue, hour: Money, later: &'a BTreeMap<DeviceId, Money>) -> Self {
        let whole = |device: &Device| whole(device, hour, later);
        let cheapest = |kind| catalogue.offered(kind).filter_map(whole).min();
        let parts = [
            ("enclosure", cheapest(DeviceKind::Enclosure).unwrap_or(Money::ZERO)),
            ("supply", cheapest(DeviceKind::PowerSupply).unwrap_or(Money::ZERO)),
            ("battery", cheapest(DeviceKind::Battery).unwrap_or(Money::ZERO)),
            ("tasks", tasks(catalogue, TaskBasis::Enclosure)),
        ];
        let room = parts.iter().map(|part| part.1).sum();
        let a_port = |device: &Device| {
            let ports = device.network.ports?.checked_sub(LINK_PORTS).filter(|ports| *ports > 0)?;
            Some(whole(device)?.times_quantity(1.0 / f64::from(ports)))
        };
        let network_port = catalogue.offered(DeviceKind::Switch).filter_map(a_port).min();
        Self { later, network_port, hour, per_controller: tasks(catalogue, TaskBasis::Controller), room, parts }
    }

    /// What an opening adds for network ports in a room short of them, in cents: a port that feeds it for a unit that decides
    /// by itself, its share of a controller's port otherwise.
    pub(super) fn port_share(&self, cx: &Cx<'_>, equipped: &Equipped) -> i64 {
        let port = self.network_port.unwrap_or(Money::ZERO);
        match &equipped.control {
            ControlNeed::None => 0,
            ControlNeed::OwnUnit { .. } => self.feeding_port(cx, watts(cx, equipped)).unwrap_or(port).cents(),
            ControlNeed::Ports { ports, models } => {
                let largest = models.iter().filter_map(|model| cx.device(model)?.control.ports).max();
                let share = f64::from(*ports) / f64::from(largest.unwrap_or(1).max(1));
                port.times_quantity(share).cents()
            }
        }
    }

    /// Share of the cheapest switch that a port takes which feeds so many watts: by ports or by power, whichever is more.
    fn feeding_port(&self, cx: &Cx<'_>, watts: f64) -> Option<Money> {
        let a_port = |device: &Device| {
            let ports = device.network.ports?.checked_sub(LINK_PORTS).filter(|ports| *ports > 0)?;
            let budget = device.network.power_budget.map_or(0.0, Watts::get);
            let by_power = if watts > 0.0 { watts / budget } else { 0.0 };
            let share = by_power.max(1.0 / f64::from(ports));
            Some(whole(device, self.hour, self.later)?.times_quantity(Some(share).filter(|it| it.is_finite())?))
        };
        cx.catalogue.offered(DeviceKind::Switch).filter_map(a_port).min()
    }

    /// The cheapest radio bridge that reaches so far; `None` when none does.
    pub(super) fn bridge(&self, cx: &Cx<'_>, distance: Metres) -> Option<Money> {
        let bridges = cx.catalogue.offered(DeviceKind::RadioBridge);
        let reaching = bridges.filter(|bridge| bridge.network.range.is_some_and(|range| range >= distance));
        reaching.filter_map(|bridge| whole(bridge, self.hour, self.later)).min()
    }

    /// Price, labour and later cost of a controller; `None` when the catalogue states no price.
    pub(super) fn controller(&self, device: &Device) -> Option<Money> {
        Some(whole(device, self.hour, self.later)? + self.per_controller)
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

/// Price, labour, and replacements and yearly cost over the years counted; `None` when the catalogue states no price.
fn whole(device: &Device, hour: Money, later: &BTreeMap<DeviceId, Money>) -> Option<Money> {
    let hours = [device.labour.fit, device.labour.commission].into_iter().flatten().map(Hours::get).sum();
    Some(device.price? + hour.times_quantity(hours) + later.get(&device.id).copied().unwrap_or(Money::ZERO))
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
