//! `design(job, catalogue, profile)`: runs the passes in order, judges each, and joins what they have to say.

mod findings;
mod legend;
mod plan;
mod preview;
pub mod rules;

use std::ops::ControlFlow;

use dw_core::Sink;
use dw_job::{Catalogue, Job, Profile};
use dw_solve::location::Level;

pub use legend::{DoorFacts, Legend};
pub use plan::*;
pub use preview::{Preview, preview};

use crate::place::Ask;
use crate::{Cx, Step, Watch, capacity, equip, link, place, power, price, route, survey};

/// What the caller wants besides the job.
#[derive(Clone, Copy, Debug, Default)]
pub struct Options {
    /// Plan anew even where an issued revision says where openings stand.
    pub fresh: bool,
    /// How hard to look for a cheaper plan.
    pub effort: Level,
}

/// Designs a job. The same job, catalogue, profile and options give the same design, byte for byte, unless it is stopped.
///
/// `read` holds what reading the job, the catalogue and the profile raised; it becomes part of the findings.
/// `hear` is told of each pass as it begins and of the best plan so far; where it breaks, the search for a cheaper plan
/// stops, the best plan so far is taken, and the design says so.
pub fn design(
    job: &Job,
    catalogue: &Catalogue,
    profile: &Profile,
    read: Sink,
    options: Options,
    hear: &mut dyn FnMut(Step) -> ControlFlow<()>,
) -> Design {
    let mut watch = Watch::new(hear);
    let offered = catalogue.refusing(&job.policy.refused_devices);
    let mut cx = Cx::new(&offered, profile);
    watch.begin("survey");
    let survey = survey::survey(&mut cx, job);
    survey::verify(&mut cx, job, &survey);
    watch.begin("equip");
    let equipping = equip::equip(&cx, job, &survey);
    let arrangements = &equipping.arrangements;
    watch.begin("reach");
    let reach = route::reach(&mut cx, job, &survey, arrangements);
    watch.begin("place");
    let unrefused = || {
        let mut job = job.clone();
        job.policy.refused_devices.clear();
        equip::equip(&Cx::new(catalogue, profile), &job, &survey).arrangements
    };
    let ask = Ask { fresh: options.fresh, effort: options.effort, unrefused: &unrefused };
    let placement = place::place(&mut cx, job, &survey, arrangements, &reach, ask, &mut watch);
    let equipment = equipping.settle(&mut cx, job, &survey, &placement.ways());
    equip::verify(&mut cx, &survey, &equipment);
    place::verify(&mut cx, job, &survey, &equipment, &placement);
    let growth = place::growth(&mut cx, job, &survey, arrangements, &placement, &reach, options.fresh, &mut watch);
    watch.begin("route");
    let routes = route::route(&mut cx, job, &survey, &equipment, &placement);
    watch.begin("power");
    let power = power::power(&mut cx, job, &survey, &equipment, &placement, &routes);
    power::verify(&mut cx, &survey, &equipment, &placement, &power);
    watch.begin("cables");
    let cables = route::schedule(&mut cx, job, &survey, &equipment, &routes, &power);
    route::verify(&mut cx, job, &survey, &equipment, &placement, &routes, &cables);
    watch.begin("capacity");
    let capacity = capacity::capacity(&mut cx, job, &survey, &equipment, &placement);
    capacity::verify(&mut cx, &survey, &equipment, &placement, &capacity);
    watch.begin("link");
    let given = link::Given {
        job,
        survey: &survey,
        equipment: &equipment,
        placement: &placement,
        routes: &routes,
        cables: &cables,
        capacity: &capacity,
    };
    let linked = link::link(&mut cx, &given);
    link::verify(&mut cx, &given, &linked);
    watch.begin("price");
    let price = price::price(&mut cx, job, &survey, &equipment, &placement, &power, &cables, &routes, &capacity);
    price::verify(&mut cx, &survey, &price);
    watch.begin("findings");
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
        growth,
        routes,
        power,
        cables,
        capacity,
        link: linked,
        price,
        findings: said.findings,
        accepted: said.accepted,
        assumptions: said.assumptions,
        workings: said.workings,
    };
    design.legend = Legend::of(job, catalogue, &design);
    design
}
