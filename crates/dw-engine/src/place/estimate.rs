//! What the solver counts for using a room and for a controller: estimates from the catalogue, in cents.

use dw_core::{FigureId, Hours, Input, Money, ResourceId, Working};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind, TaskBasis};

use crate::Cx;

/// Costs of rooms and controllers.
#[derive(Debug)]
pub(super) struct Estimate {
    /// Rate of an hour of fitting.
    hour: Money,
    /// Labour for each controller, beside that of its device record.
    per_controller: Money,
    /// Cost of using a room: cheapest enclosure, supply and battery, and the tasks counted by enclosure.
    pub(super) room: Money,
    parts: [(&'static str, Money); 4],
}

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
        Self { hour, per_controller: tasks(catalogue, TaskBasis::Controller), room, parts }
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
    let rate = |id: &ResourceId| catalogue.grades.iter().find(|grade| grade.id == *id)?.rate_per_hour;
    let tasks = catalogue.tasks.iter().filter(|task| task.per == Some(basis));
    tasks.filter_map(|task| Some(rate(task.grade.as_ref()?)?.times_quantity(task.hours?.get()))).sum()
}
