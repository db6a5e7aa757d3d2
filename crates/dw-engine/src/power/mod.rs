//! power: supplies, batteries and conductors, and the voltage at every lock.
//!
//! The calculations are plain functions, one for each published quantity, in [`wire`], [`voltage`], [`battery`],
//! [`sections`], [`network`], [`limits`] and [`heat`]; the pass puts them together, and the calculators of
//! [`crate::calc`] ask them one by one.

pub mod battery;
mod blocks;
mod devices;
mod enclosures;
mod feeds;
mod figures;
mod formula;
pub mod heat;
pub mod limits;
mod loads;
pub mod network;
mod network_feeds;
mod outputs;
mod plan;
pub mod radial;
pub mod rules;
pub mod sections;
mod supply;
#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
mod verify;
mod verify_devices;
mod verify_outputs;
pub mod voltage;
pub mod wire;
pub mod wire_tables;
mod workings;

use dw_job::Job;

pub(crate) use devices::is_power;
pub use formula::Formula;
pub use plan::*;
pub use verify::verify;

use crate::Cx;
use crate::equip::Equipment;
use crate::place::Placement;
use crate::route::Routes;
use crate::survey::Survey;
use figures::Figures;
use rules::MarginOnAgeing;

/// Margin, as a factor, from which it is taken to cover ageing. Source: NFPA 72, 20 % in the 2010 to 2019 editions.
const COVERS_AGEING: f64 = 1.2;

/// Sizes supplies, batteries and lock conductors for every enclosure, and network power for every device fed over it.
///
/// Collects the loads, packs what must stand together into enclosures of one voltage, picks for each the least dear
/// supply and battery that meet every demand, and then the least dear conductor that keeps each lock above its least
/// voltage with the battery at its end.
///
/// Raises `POW-001` to `POW-029`.
pub fn power(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    routes: &Routes,
) -> PowerPlan {
    let settings = &survey.settings;
    let mut figures = Figures::new(cx.catalogue);
    let offer = supply::Offer::of(cx.catalogue);
    let (enclosures, outputs) = enclosures::plan(cx, &mut figures, &offer, survey, equipment, placement);
    if enclosures.iter().any(|plan| plan.battery.is_some())
        && settings.battery_margin >= COVERS_AGEING - 1e-9
        && settings.battery_end_of_life < 1.0
    {
        let (margin, end_of_life) = (settings.battery_margin, settings.battery_end_of_life);
        cx.sink.report(&MarginOnAgeing { margin, end_of_life });
    }
    let given = feeds::Given { job, survey, equipment, placement, routes, enclosures: &enclosures, outputs: &outputs };
    let sources = feeds::sources(&given);
    let locks = feeds::plan(cx, &mut figures, &given, &sources);
    let devices = devices::plan(cx, &mut figures, &given, &sources, &locks);
    let network_feeds = network_feeds::plan(cx, &mut figures, &given);
    figures.tell(cx);
    PowerPlan { enclosures, locks, devices, network_feeds }
}
