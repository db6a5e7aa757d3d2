//! Properties of whole designs, on generated sites: same job same bytes, order changes nothing, books balance.

#![allow(clippy::unwrap_used, clippy::panic, clippy::disallowed_methods)]

#[path = "../benches/site/mod.rs"]
mod site;

use std::ops::ControlFlow;

use dw_core::{Metres, Money, Sink};
use dw_engine::{Design, Effort, Options, PlanSoFar, Preview, Step, design, preview, unwatched};
use dw_job::model::Opening;
use dw_job::{Catalogue, Job, Profile};

/// Catalogue and code profile.
fn shelf() -> (Catalogue, Profile) {
    let (catalogue, _) = Catalogue::read(&site::files("catalogue"));
    let (profile, _) = Profile::named(Some("uk-eu"), &site::files("profiles"));
    (catalogue, profile)
}

fn designed(job: &Job) -> Design {
    watched(job, Effort::Normal, &mut unwatched)
}

fn watched(job: &Job, effort: Effort, hear: &mut dyn FnMut(Step) -> ControlFlow<()>) -> Design {
    let (catalogue, profile) = shelf();
    design(job, &catalogue, &profile, Sink::default(), Options { effort, ..Options::default() }, hear)
}

fn previewed(job: &Job, previous: &Design) -> Preview {
    let (catalogue, profile) = shelf();
    preview(job, &catalogue, &profile, Sink::default(), &previous.placement.stood())
}

fn bytes(design: &Design) -> String {
    serde_json::to_string_pretty(design).unwrap()
}

#[test]
fn designing_twice_gives_the_same_bytes() {
    let job = site::site(90, 3);
    assert_eq!(bytes(&designed(&job)), bytes(&designed(&job)));
}

#[test]
fn the_order_of_openings_rooms_and_groups_in_the_survey_changes_nothing() {
    for seed in 1..4 {
        let job = site::site(70, seed);
        let mut shuffled = job.clone();
        shuffled.openings.reverse();
        shuffled.openings.rotate_left(17);
        shuffled.rooms.reverse();
        shuffled.groups.reverse();
        shuffled.rights.rotate_left(3);
        assert!(bytes(&designed(&job)) == bytes(&designed(&shuffled)), "seed {seed}");
    }
}

#[test]
fn the_books_balance_on_every_generated_site() {
    for (n_openings, seed) in [(1, 1), (13, 2), (60, 3), (150, 4), (300, 5)] {
        let design = designed(&site::site(n_openings, seed));
        let faults: Vec<&str> = design
            .findings
            .iter()
            .filter(|finding| finding.code[4..].starts_with('9'))
            .map(|finding| finding.headline.as_str())
            .collect();
        assert_eq!(faults, [] as [&str; 0], "{n_openings} openings, seed {seed}");
        assert_eq!(design.placement.served.len() + design.placement.unserved.len(), count_controlled(&design));
        assert!(design.placement.bound <= design.placement.cost);
        assert_eq!(design.price.net + design.price.tax, design.price.total);
    }
}

/// Openings that want a controller or a network.
fn count_controlled(design: &Design) -> usize {
    design.equipment.openings.iter().filter(|opening| opening.control != dw_engine::equip::ControlNeed::None).count()
}

#[test]
fn an_opening_more_leaves_the_equipment_of_the_others_as_it_was() {
    let job = site::site(40, 9);
    let mut more = job.clone();
    more.openings.push(Opening { mark: dw_core::OpeningId::new("Z-1"), ..job.openings[0].clone() });
    let (before, after) = (designed(&job), designed(&more));
    for opening in &before.equipment.openings {
        assert_eq!(Some(&opening.devices), after.equipment.opening(&opening.mark).map(|equipped| &equipped.devices));
    }
}

#[test]
fn a_job_of_nothing_is_a_design_of_nothing_with_a_finding() {
    let design = designed(&Job::default());
    assert!(design.findings.iter().any(|finding| finding.code == "SUR-011"));
    assert_eq!(design.price.total, dw_core::Money::ZERO);
}

#[test]
fn after_an_opening_moved_the_preview_of_a_thousand_openings_is_as_good_as_the_cold_design() {
    let mut job = site::site(1_000, 1);
    let before = designed(&job);
    for moved in [0, 499, 998] {
        let opening = &mut job.openings[moved];
        // To the far side of its building and back into the next one: other rooms are near now.
        opening.x = opening.x.map(|x| Metres::new(x.get() + 70.0));
        let quick = previewed(&job, &before);
        let cold = designed(&job).placement;
        let (cost, least) = (quick.placement.cost, cold.cost);
        assert!(cost.cents() * 1_000 <= least.cents() * 1_005, "{cost} and {least} cold");
        assert!(quick.placement.bound <= least);
        assert_eq!(quick.placement.unserved, cold.unserved);
        let broken: Vec<&str> = quick.findings.iter().map(|it| it.code).filter(|code| *code == "PLC-901").collect();
        assert!(broken.is_empty());
        assert_eq!(quick.placement.stood(), previewed(&job, &before).placement.stood(), "the preview is pure");
    }
}

#[test]
fn a_preview_begins_from_any_earlier_plan_and_from_none() {
    let (job, other) = (site::site(60, 1), site::site(90, 2));
    let cold = designed(&job).placement;
    for previous in [&designed(&other), &designed(&Job::default())] {
        let quick = previewed(&job, previous).placement;
        assert_eq!(quick.served.len(), cold.served.len());
        assert!(quick.cost >= cold.bound && quick.bound <= cold.cost);
    }
}

#[test]
fn progress_tells_of_cost_and_bound_as_they_close_in() {
    let mut plans: Vec<PlanSoFar> = Vec::new();
    let design = watched(&site::site(200, 1), Effort::Normal, &mut |step| {
        plans.extend(step.plan);
        ControlFlow::Continue(())
    });
    assert!(!plans.is_empty());
    assert!(plans.windows(2).all(|pair| pair[1].cost <= pair[0].cost && pair[1].bound >= pair[0].bound));
    assert!(plans.iter().all(|plan| plan.bound <= plan.cost && design.placement.cost <= plan.cost));
    assert!(!design.placement.stopped);
}

#[test]
fn a_search_that_is_stopped_gives_a_whole_design_that_says_so() {
    let job = site::site(200, 1);
    let whole = designed(&job);
    let stopped = watched(&job, Effort::Thorough, &mut |_| ControlFlow::Break(()));
    let codes = |design: &Design| -> Vec<&str> {
        let codes = design.findings.iter().map(|finding| finding.code);
        codes.filter(|code| *code == "PLC-010" || code[4..].starts_with('9')).collect()
    };
    assert_eq!((codes(&whole), codes(&stopped)), (vec![], vec!["PLC-010"]));
    assert!(stopped.placement.stopped);
    assert_eq!(stopped.placement.served.len(), whole.placement.served.len());
    assert!(stopped.placement.bound <= whole.placement.cost);
    assert!(stopped.price.total > Money::ZERO);
}

#[test]
fn more_effort_never_gives_a_dearer_plan_on_a_generated_site() {
    let job = site::site(150, 6);
    let cost = |effort| watched(&job, effort, &mut unwatched).placement.cost;
    let (quick, normal, thorough) = (cost(Effort::Quick), cost(Effort::Normal), cost(Effort::Thorough));
    assert!(normal <= quick && thorough <= normal, "{quick}, {normal}, {thorough}");
}

#[test]
fn a_refused_controller_is_named_among_the_demands_that_clash() {
    let spec = include_str!("../../../specs/place/kept_out_and_refused.md");
    let block = |after: &str, fence: &str| {
        let rest = spec.split_once(after).unwrap().1.split_once(fence).unwrap().1;
        rest.split_once("```").unwrap().0.to_owned()
    };
    let text = block("<!--", "```toml site\n") + &block("## Four ports of one controller", "```toml case\n");
    let document = dw_job::Document { name: "job.toml".to_owned(), bytes: text.into_bytes() };
    let design = designed(&Job::read(&[document]).0);
    let [clash] = &design.placement.clashes[..] else { panic!("one clash") };
    let texts: Vec<&str> = clash.demands.iter().map(|demand| demand.text.as_str()).collect();
    assert!(texts.contains(&"TR-1 holds at most 1 controller"), "{texts:?}");
    assert!(texts.contains(&"DW-C4 is refused by the policy"), "{texts:?}");
    assert!(clash.is_irreducible);
}
