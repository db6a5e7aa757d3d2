//! `design(job, catalogue, profile)`: runs the passes in order, judges each, and joins what they have to say.

mod findings;
mod legend;
mod plan;
pub mod rules;

use dw_core::Sink;
use dw_job::{Catalogue, Job, Profile};

pub use legend::{DoorFacts, Legend};
pub use plan::*;

use crate::equip::Arrangements;
use crate::{Cx, capacity, equip, place, power, price, route, survey};

/// What the caller wants besides the job.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    /// Plan anew even where an issued revision says where openings stand.
    pub fresh: bool,
}

/// Designs a job. The same job, catalogue and profile give the same design, byte for byte.
///
/// `read` holds what reading the job, the catalogue and the profile raised; it becomes part of the findings.
/// `begin` hears the name of each pass as it begins.
pub fn design(
    job: &Job,
    catalogue: &Catalogue,
    profile: &Profile,
    read: Sink,
    options: Options,
    begin: &mut dyn FnMut(&'static str),
) -> Design {
    let offered = catalogue.refusing(&job.policy.refused_devices);
    let mut cx = Cx::new(&offered, profile);
    begin("survey");
    let survey = survey::survey(&mut cx, job);
    survey::verify(&mut cx, job, &survey);
    begin("equip");
    let equipping = equip::equip(&cx, job, &survey);
    let equipment = equipping.usual(&mut cx, job, &survey);
    equip::verify(&mut cx, &survey, &equipment);
    begin("reach");
    let reach = route::reach(&mut cx, job, &survey, &Arrangements::settled(&equipment));
    begin("place");
    let placement = place::place(&mut cx, job, &survey, &equipment, &reach, options.fresh);
    place::verify(&mut cx, job, &survey, &equipment, &placement);
    begin("route");
    let routes = route::route(&mut cx, job, &survey, &placement);
    begin("power");
    let power = power::power(&mut cx, job, &survey, &equipment, &placement, &routes);
    power::verify(&mut cx, &survey, &equipment, &placement, &power);
    begin("cables");
    let cables = route::schedule(&mut cx, job, &survey, &equipment, &routes, &power);
    route::verify(&mut cx, job, &survey, &equipment, &placement, &routes, &cables);
    begin("capacity");
    let capacity = capacity::capacity(&mut cx, job, &survey, &equipment, &placement);
    capacity::verify(&mut cx, &survey, &equipment, &placement, &capacity);
    begin("price");
    let price = price::price(&mut cx, job, &survey, &equipment, &placement, &power, &cables, &routes, &capacity);
    price::verify(&mut cx, &survey, &price);
    begin("findings");
    let mut sink = read;
    sink.append(cx.sink);
    let said = findings::settle(job, catalogue, sink);
    let mut design = Design {
        format: DESIGN_FORMAT,
        heading: DesignHeading::of(job, catalogue, profile),
        legend: Legend::default(),
        survey,
        equipment,
        placement,
        routes,
        power,
        cables,
        capacity,
        price,
        findings: said.findings,
        accepted: said.accepted,
        assumptions: said.assumptions,
        workings: said.workings,
    };
    design.legend = Legend::of(job, catalogue, &design);
    design
}
