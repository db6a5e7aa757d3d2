//! link: the data path from every reader and controller to the head-end.
//!
//! The calculations are plain functions, one for each published quantity, in [`data_lines`], [`bus`], [`osdp`],
//! [`polling`], [`ethernet`], [`radio`], [`rain`], [`rates`] and [`ipv4`]; the calculators of [`crate::calc`] ask them
//! one by one, and the pass puts them together.

mod addressing;
mod bridges;
pub mod bus;
mod buses;
pub mod data_lines;
mod devices;
pub mod ethernet;
pub mod ipv4;
mod lines;
mod notes;
pub mod osdp;
mod plan;
pub mod polling;
pub mod radio;
pub mod rain;
pub mod rates;
mod readers;
pub mod rules;
mod settings;
#[cfg(test)]
mod testing;
mod traffic;
mod verify;

use dw_job::Job;

pub use plan::*;
pub use verify::verify;

use crate::Cx;
use crate::capacity::CapacityPlan;
use crate::equip::Equipment;
use crate::place::Placement;
use crate::route::{CableSchedule, Routes};
use crate::survey::Survey;
use settings::Settings;

/// What the pass reads.
#[derive(Clone, Copy, Debug)]
pub struct Given<'a> {
    /// The job: its network, antennas, obstacles, storeys.
    pub job: &'a Job,
    /// Openings and rooms.
    pub survey: &'a Survey,
    /// Readers.
    pub equipment: &'a Equipment,
    /// Controllers and who serves what.
    pub placement: &'a Placement,
    /// Radio bridges.
    pub routes: &'a Routes,
    /// Cables with their lengths.
    pub cables: &'a CableSchedule,
    /// Head-ends and events a day.
    pub capacity: &'a CapacityPlan,
}

/// Proves the data path: lines of readers, channels and ports, radio bridges; plans addresses.
///
/// Raises `LNK-001` to `LNK-022`. Days of events kept without the network are in the capacity plan; power over the
/// network cable is in the power plan.
pub fn link<'a>(cx: &mut Cx<'a>, given: &Given<'a>) -> LinkPlan {
    let settings = Settings::of(cx, given.job);
    let readers = readers::lines(cx, given);
    let bridges = bridges::sheets(cx, given, &settings);
    let devices = devices::devices(cx, given);
    let mut plan = LinkPlan {
        data_lines: lines::plan(cx, given, &readers),
        buses: buses::plan(cx, given, &settings, &readers),
        rooms: traffic::rooms(cx, given, &settings, &devices, &bridges),
        devices,
        bridges,
        ..LinkPlan::default()
    };
    addressing::plan(cx, given, &settings, &mut plan);
    plan.notes = notes::notes(given, &plan);
    plan
}
