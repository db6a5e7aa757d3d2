//! What every choice reads: catalogue, costs, policy. Made once a run.

use dw_core::{Amps, DeviceId, Money, Volts};
use dw_job::Catalogue;
use dw_job::catalogue::{CableUse, Device, DeviceKind, Task, TaskBasis};
use dw_job::model::Transport;

use super::demand::Case;
use super::flow::Rates;
use super::plan::{ControlNeed, Equipped};
use super::whole_life::Costs;
use crate::survey::Settings;

/// Length of one opening's cable for comparing candidates only: the middle of 35 to 60 m an opening in an office
/// (*common practice*). The route pass measures the real ones.
const COMPARED_RUN_M: f64 = 50.0;

/// Nominal voltage bears this much either way where a device states no limits (*common practice*).
const NOMINAL_TOLERANCE: f64 = 0.1;

/// What every choice reads.
pub(super) struct Bench<'a> {
    pub catalogue: &'a Catalogue,
    pub costs: Costs,
    pub refused: Vec<DeviceId>,
    pub wire: bool,
    pub network: bool,
    pub lock_voltage: Option<Volts>,
    pub max_false_match: f64,
    pub spare_cores: u32,
    /// Largest current a controller or unit output switches; `None` when none states any.
    pub largest_output: Option<Amps>,
    /// What readers and lanes pass.
    pub rates: Rates,
    least: Vec<(DeviceKind, Money)>,
    network_port: Money,
    cables: Vec<LaidCable<'a>>,
}

/// A compared run of a cable, laid. Every candidate at every opening asks, so that it is priced once.
struct LaidCable<'a> {
    uses: &'a [CableUse],
    cores: u32,
    cost: Money,
}

impl<'a> Bench<'a> {
    pub(super) fn new(catalogue: &'a Catalogue, settings: &Settings, refused: &[DeviceId]) -> Self {
        let costs = Costs::new(catalogue, &settings.money);
        let any = settings.transport.is_empty();
        let allowed = |transport: Transport| any || settings.transport.contains(&transport);
        let priced = |kind: DeviceKind| {
            let usable = catalogue.of_kind(kind).filter(|device| !refused.contains(&device.id));
            usable.filter_map(|device| Some(costs.of(device)?.total())).min()
        };
        let kinds =
            [DeviceKind::PowerTransfer, DeviceKind::EmergencyRelease, DeviceKind::ExitRequest, DeviceKind::Splitter];
        let least = kinds.into_iter().map(|kind| (kind, priced(kind).unwrap_or(Money::ZERO))).collect();
        let ports = catalogue.of_kind(DeviceKind::Switch).filter_map(|switch| {
            let ports = switch.network.ports.filter(|ports| *ports > 0)?;
            Some(costs.of(switch)?.total().times_quantity(1.0 / f64::from(ports)))
        });
        let deciding = [DeviceKind::Controller, DeviceKind::Kit, DeviceKind::StandaloneUnit];
        let outputs =
            deciding.into_iter().flat_map(|kind| catalogue.of_kind(kind)).filter_map(|one| one.control.output);
        Self {
            catalogue,
            largest_output: outputs.max(),
            rates: Rates::of(catalogue),
            network_port: ports.min().unwrap_or(Money::ZERO),
            least,
            cables: laid(catalogue, &costs),
            costs,
            refused: refused.to_vec(),
            wire: allowed(Transport::Wire),
            network: allowed(Transport::Network) || allowed(Transport::Radio),
            lock_voltage: settings.lock_voltage_v,
            max_false_match: settings.max_false_match,
            spare_cores: settings.spare_cores,
        }
    }

    /// The least whole-life cost of a device of a kind, for the estimates.
    pub(super) fn least_of(&self, kind: DeviceKind) -> Money {
        self.least.iter().find(|row| row.0 == kind).map_or(Money::ZERO, |row| row.1)
    }

    /// The share of a network switch one port costs at the least.
    pub(super) fn network_port(&self) -> Money {
        self.network_port
    }

    /// Labour of the tasks done at the opening because of what is newly fitted there, and of patching a unit that decides.
    pub(super) fn tasks(&self, case: &Case<'_>, equipped: &Equipped) -> Money {
        let newly = equipped.devices.iter().filter(|fitted| !fitted.kept);
        let kinds: Vec<DeviceKind> =
            newly.filter_map(|fitted| self.catalogue.devices.get(&fitted.device)?.kind).collect();
        let applies = |task: &&Task| {
            let counted = match task.per {
                Some(TaskBasis::Opening) => !task.fitted.is_empty(),
                Some(TaskBasis::NetworkDevice) => matches!(equipped.control, ControlNeed::OwnUnit { .. }),
                _ => false,
            };
            counted
                && (task.openings.is_empty() || task.openings.contains(&case.surveyed.kind))
                && (task.work.is_empty() || task.work.contains(&case.surveyed.work))
                && (task.fitted.is_empty() || task.fitted.iter().any(|kind| kinds.contains(kind)))
        };
        let rate = |task: &Task| {
            self.catalogue.grades.iter().find(|grade| Some(&grade.id) == task.grade.as_ref())?.rate_per_hour
        };
        let cost = |task: &Task| Some(rate(task)?.times_quantity(task.hours?.get().max(0.0)));
        self.catalogue.tasks.iter().filter(applies).filter_map(cost).sum()
    }

    /// Cost of a compared run of the cheapest cable with enough cores, laid.
    pub(super) fn cable(&self, purpose: CableUse, cores: u32) -> Money {
        let fitting = self.cables.iter().filter(|cable| cable.cores >= cores && cable.uses.contains(&purpose));
        fitting.map(|cable| cable.cost).min().unwrap_or(Money::ZERO)
    }
}

/// The cables of the catalogue with number of cores and price, laid.
fn laid<'a>(catalogue: &'a Catalogue, costs: &Costs) -> Vec<LaidCable<'a>> {
    let cables = catalogue.of_kind(DeviceKind::Cable).filter_map(|cable| {
        let per_metre = cable.cable.labour_per_metre;
        let labour = per_metre.map_or(Money::ZERO, |hours| costs.fitting(hours * COMPARED_RUN_M));
        let cost = cable.price?.times_quantity(COMPARED_RUN_M) + labour;
        Some(LaidCable { uses: &cable.cable.uses, cores: cable.cable.cores?, cost })
    });
    cables.collect()
}

/// The voltages a device works between, V; `None` when it states none.
pub(super) fn works_between(device: &Device) -> Option<(f64, f64)> {
    let electrical = &device.electrical;
    let nominal = electrical.nominal.map(Volts::get);
    let low = electrical.min.map(Volts::get).or_else(|| nominal.map(|v| v * (1.0 - NOMINAL_TOLERANCE)))?;
    let high = electrical.max.map(Volts::get).or_else(|| nominal.map(|v| v * (1.0 + NOMINAL_TOLERANCE)))?;
    Some((low, high))
}
