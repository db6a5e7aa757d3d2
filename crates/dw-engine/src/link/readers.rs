//! Who reads what over which cable: every reader that is not the unit that decides, with its partner and its run.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Metres, OpeningId};
use dw_job::catalogue::{CableUse, Device, Interface};
use dw_job::model::ExistingCable;

use super::Given;
use crate::Cx;
use crate::equip::{ControlNeed, Equipped, Role, shared_interface};
use crate::place::Served;
use crate::route::CableRun;

/// A reader with its line.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<'a> {
    pub(super) mark: &'a OpeningId,
    pub(super) reader: &'a Device,
    /// The controller, or the unit at the opening.
    pub(super) partner: &'a Device,
    /// Index of the controller in the placement; `None` at a unit.
    pub(super) controller: Option<usize>,
    pub(super) port: u32,
    pub(super) interface: Interface,
    pub(super) run: &'a CableRun,
    /// Gauge of its conductors, where it is known.
    pub(super) awg: Option<u32>,
}

/// Cables in the wall as the survey states them.
type InWall<'a> = BTreeMap<&'a OpeningId, &'a ExistingCable>;

/// Readers of every opening served, in the order of marks. A reader without a cable was told of by an earlier pass.
pub(super) fn lines<'a>(cx: &Cx<'a>, given: &Given<'a>) -> Vec<Line<'a>> {
    let in_wall: InWall<'_> =
        given.job.openings.iter().map(|opening| (&opening.mark, &opening.existing_cable)).collect();
    let mut lines = Vec::new();
    let mut runs = given.cables.runs.as_slice();
    for equipped in &given.equipment.openings {
        let first = runs.iter().position(|run| run.mark >= equipped.mark).unwrap_or(runs.len());
        runs = &runs[first..];
        let own = &runs[..runs.partition_point(|run| run.mark == equipped.mark)];
        if let Some(served) = given.placement.of(&equipped.mark) {
            of_opening(cx, given, &in_wall, (equipped, served), own, &mut lines);
        }
    }
    lines
}

fn of_opening<'a>(
    cx: &Cx<'a>,
    given: &Given<'a>,
    in_wall: &InWall<'_>,
    (equipped, served): (&'a Equipped, &'a Served),
    runs: &'a [CableRun],
    lines: &mut Vec<Line<'a>>,
) {
    let (partner, unit): (Option<&DeviceId>, Option<&DeviceId>) = match &equipped.control {
        ControlNeed::OwnUnit { unit } => (Some(unit), Some(unit)),
        ControlNeed::Ports { .. } => {
            let placed = served.controller.and_then(|index| given.placement.controllers.get(index));
            (placed.map(|placed| &placed.device), None)
        }
        ControlNeed::None => return,
    };
    let Some(partner) = partner.and_then(|id| cx.device(id)) else { return };
    let readers = equipped
        .devices
        .iter()
        .filter(|fitted| matches!(fitted.role, Role::ReaderIn | Role::ReaderOut) && Some(&fitted.device) != unit);
    // The first network cable of a unit is its own.
    let skip = usize::from(unit.is_some());
    let cables = runs.iter().filter(|run| matches!(run.purpose, CableUse::Reader | CableUse::Network)).skip(skip);
    for (fitted, run) in readers.zip(cables) {
        let Some(reader) = cx.device(&fitted.device) else { continue };
        let Some(interface) = shared_interface(reader, &partner.control.interfaces) else { continue };
        let (controller, port) = (served.controller, served.first_port);
        let awg = gauge(cx, in_wall, run);
        lines.push(Line { mark: &equipped.mark, reader, partner, controller, port, interface, run, awg });
    }
}

/// Gauge of a run: of the cable laid, or as the survey states the one in the wall.
fn gauge(cx: &Cx<'_>, in_wall: &InWall<'_>, run: &CableRun) -> Option<u32> {
    if let Some(cable) = run.device.as_ref().and_then(|id| cx.device(id)).map(|device| &device.cable) {
        return cable.awg.or_else(|| cable.area.and_then(|area| nearest_gauge(area.get())));
    }
    let old = in_wall.get(&run.mark)?;
    old.awg.or_else(|| old.area.and_then(|area| nearest_gauge(area.get())))
}

/// The thinnest gauge that is no thicker than a cross-section in mm²: the cautious reading of a metric conductor.
///
/// **Formula** A = π/4 (0.127 mm × 92^((36 − n)/39))². **Source** ASTM B258. A tenth less still counts as the gauge,
/// because 0.22 mm² is sold against 24 AWG (0.205 mm²) and 0.5 mm² against 20 AWG (0.519 mm²).
fn nearest_gauge(area_mm2: f64) -> Option<u32> {
    let area = |awg: u32| {
        let diameter = 0.127 * libm::pow(92.0, (36.0 - f64::from(awg)) / 39.0);
        std::f64::consts::FRAC_PI_4 * diameter * diameter
    };
    (10..=30).find(|awg| area(*awg) * 0.9 <= area_mm2)
}

impl Line<'_> {
    /// Name of what decides: a controller's label, or the mark of the opening of a unit.
    pub(super) fn decides(&self, given: &Given<'_>) -> String {
        match self.controller.and_then(|index| given.placement.controllers.get(index)) {
            Some(placed) => placed.label.clone(),
            None => self.mark.to_string(),
        }
    }

    pub(super) fn length(&self) -> Metres {
        self.run.length_m
    }
}

#[cfg(test)]
mod tests {
    use super::nearest_gauge;

    #[test]
    fn metric_conductors_are_taken_for_the_gauge_they_are_sold_against() {
        assert_eq!(nearest_gauge(0.22), Some(24));
        assert_eq!(nearest_gauge(0.5), Some(20));
        assert_eq!(nearest_gauge(0.75), Some(18));
        assert_eq!(nearest_gauge(1.0), Some(17));
        assert_eq!(nearest_gauge(0.01), None);
    }
}
