//! survey: makes the job's survey complete; every value taken as read is an assumption on paper.
//!
//! What the survey does not say is either harmless to take as read (an assumption, listed) or a gap somebody has to
//! close (a finding). Nothing is guessed silently.

mod duties;
mod openings;
mod people;
mod pins;
mod plan;
mod rooms;
pub mod rules;
mod settings;
mod taken;
mod verify;

use dw_job::Job;

pub use plan::*;
pub use verify::verify;

use crate::Cx;
use rules::{DeviceUnknown, NoTelecomRoom, NothingToDesign};
use taken::Taken;

/// Resolves every value the later passes need.
pub fn survey(cx: &mut Cx<'_>, job: &Job) -> Survey {
    let mut taken = Taken::default();
    check_devices(cx, job);
    pins::contradictions(cx, job);
    pins::forbidden(cx, job);
    pins::gone(cx, job);
    pins::apart(cx, job);
    let settings = settings::settings(cx, job, &mut taken);
    let groups = people::populations(job, &settings, &mut taken);
    let rooms = rooms::rooms(cx, job, &mut taken);
    let openings = openings::openings(cx, job, &settings, &groups, &mut taken);
    if openings.is_empty() {
        cx.sink.report(&NothingToDesign {});
    } else if rooms.is_empty() {
        cx.sink.report(&NoTelecomRoom { openings: openings.len(), left_out: job.rooms.len() });
    }
    taken.list(&mut cx.sink);
    Survey { settings, openings, rooms, groups }
}

/// Devices named by pins, existing equipment and extras must be in the catalogue.
fn check_devices(cx: &mut Cx<'_>, job: &Job) {
    let mut named = Vec::new();
    for (row, pin) in job.pins.iter().enumerate() {
        let devices = [("reader", &pin.reader), ("controller", &pin.controller), ("lock", &pin.lock)];
        named.extend(
            devices.into_iter().filter_map(|(field, id)| Some(("pin", (row + 1).to_string(), field, id.clone()?))),
        );
    }
    for item in &job.existing {
        named.extend(item.device.clone().map(|id| ("existing equipment", item.id.to_string(), "device", id)));
    }
    for (row, extra) in job.extras.iter().enumerate() {
        named.extend(extra.device.clone().map(|id| ("extra", (row + 1).to_string(), "device", id)));
    }
    for id in &job.policy.refused_devices {
        named.push(("policy", String::new(), "refused_devices", id.clone()));
    }
    for (kind, id, field, device) in named {
        if cx.device(&device).is_none() {
            let known = cx.catalogue.devices.keys().map(dw_core::Id::text);
            let meant = dw_job::text::nearest(dw_core::Id::text(&device), known).map(str::to_owned);
            let place = dw_core::Place::named(kind, &id).field(field);
            cx.sink.report(&DeviceUnknown { place, device, meant });
        }
    }
}

#[cfg(test)]
mod tests;
