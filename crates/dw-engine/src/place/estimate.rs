//! What the solver counts for using a room and for a controller: estimates from the catalogue, in cents.

use dw_core::{FigureId, GradeId, Hours, Input, Money, Working};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind, TaskBasis};

use crate::Cx;
use crate::equip::ControlNeed;

/// Costs of rooms and controllers.
#[derive(Debug)]
pub(super) struct Estimate {
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

impl Estimate {
    pub(super) fn new(catalogue: &Catalogue, hour: Money) -> Self {
        let cheapest = |kind| catalogue.offered(kind).filter_map(|device| with_labour(device, hour)).min();
        let parts = [
            ("enclosure", cheapest(DeviceKind::Enclosure).unwrap_or(Money::ZERO)),
            ("supply", cheapest(DeviceKind::PowerSupply).unwrap_or(Money::ZERO)),
            ("battery", cheapest(DeviceKind::Battery).unwrap_or(Money::ZERO)),
            ("tasks", tasks(catalogue, TaskBasis::Enclosure)),
        ];
        let room = parts.iter().map(|part| part.1).sum();
        let a_port = |device: &Device| {
            let ports = device.network.ports?.checked_sub(LINK_PORTS).filter(|ports| *ports > 0)?;
            Some(with_labour(device, hour)?.times_quantity(1.0 / f64::from(ports)))
        };
        let network_port = catalogue.offered(DeviceKind::Switch).filter_map(a_port).min();
        Self { network_port, hour, per_controller: tasks(catalogue, TaskBasis::Controller), room, parts }
    }

    /// What an opening adds for network ports in a room short of them, in cents: a whole port for a unit that decides by
    /// itself, its share of a controller's port otherwise.
    pub(super) fn port_share(&self, cx: &Cx<'_>, control: &ControlNeed) -> i64 {
        let port = self.network_port.unwrap_or(Money::ZERO);
        match control {
            ControlNeed::None => 0,
            ControlNeed::OwnUnit { .. } => port.cents(),
            ControlNeed::Ports { ports, models } => {
                let largest = models.iter().filter_map(|model| cx.device(model)?.control.ports).max();
                let share = f64::from(*ports) / f64::from(largest.unwrap_or(1).max(1));
                port.times_quantity(share).cents()
            }
        }
    }

    /// Price and labour of a controller; `None` when the catalogue states no price.
    pub(super) fn controller(&self, device: &Device) -> Option<Money> {
        Some(with_labour(device, self.hour)? + self.per_controller)
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
            source: "cheapest of each kind in the catalogue with labour; an estimate, the power pass chooses later",
        });
    }
}

fn with_labour(device: &Device, hour: Money) -> Option<Money> {
    let hours = [device.labour.fit, device.labour.commission].into_iter().flatten().map(Hours::get).sum();
    Some(device.price? + hour.times_quantity(hours))
}

/// Labour of all tasks counted by one basis.
fn tasks(catalogue: &Catalogue, basis: TaskBasis) -> Money {
    let rate = |id: &GradeId| catalogue.grades.iter().find(|grade| grade.id == *id)?.rate_per_hour;
    let tasks = catalogue.tasks.iter().filter(|task| task.per == Some(basis));
    tasks.filter_map(|task| Some(rate(task.grade.as_ref()?)?.times_quantity(task.hours?.get()))).sum()
}
