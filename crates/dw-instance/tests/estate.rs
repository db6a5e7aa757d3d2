//! Placement on the stored estate instances: plans are judged independently, bounds against published figures.

#![allow(
    clippy::disallowed_types,
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test may read files and the clock, and fails by panicking"
)]

use std::ops::ControlFlow;
use std::path::Path;

use dw_instance::{Instance, read};
use dw_solve::location::{Effort, Level, Problem, check, price, solve};

#[path = "../examples/made/mod.rs"]
mod made;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/data/estate");

fn instance(path: &Path) -> Instance {
    read(&std::fs::read(path).unwrap()).unwrap()
}

fn made_up(openings: i64, seed: u64, spare: i64) -> Instance {
    read(made::estate(openings, seed, spare).to_string().as_bytes()).unwrap()
}

#[test]
fn estates_are_placed_within_the_published_bounds() {
    let folder = Path::new(FOLDER);
    let Ok(best) = std::fs::read_to_string(folder.join("best.csv")) else {
        println!("the estate instances are not present; nothing was tried");
        return;
    };
    for line in best.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let (file, best_cost, best_bound): (_, i64, i64) =
            (fields[0], fields[1].parse().unwrap(), fields[2].parse().unwrap());
        if cfg!(debug_assertions) && best_cost > 100_000_000 {
            println!("{file}: left to the release build");
            continue;
        }
        let problem = instance(&folder.join(file)).problem;
        let started = std::time::Instant::now();
        let outcome = solve(&problem, &Effort::new(Level::Normal), &mut |_| ControlFlow::Continue(()));
        let seconds = started.elapsed().as_secs_f64();
        println!(
            "{file}: cost {} bound {} gap {:.2} % above best {:.2} % in {seconds:.2} s",
            outcome.cost,
            outcome.bound,
            100.0 * outcome.gap,
            100.0 * (outcome.cost - best_cost) as f64 / best_cost as f64
        );
        assert!(outcome.unserved.is_empty(), "{file}");
        assert_eq!(check(&problem, &outcome.plan).unwrap().total(), outcome.cost, "{file}");
        assert_eq!(price(&problem, &outcome.plan.assignment).unwrap().total(), outcome.cost, "{file}");
        assert!(outcome.cost >= best_bound, "{file} costs less than the published bound");
        assert!(outcome.bound <= best_cost, "{file} has a bound above the published cost");
    }
}

#[test]
fn the_stored_assignments_cost_what_is_published() {
    let folder = Path::new(FOLDER);
    let Ok(best) = std::fs::read_to_string(folder.join("best.csv")) else {
        println!("the estate instances are not present; nothing was tried");
        return;
    };
    let mut n_tried = 0;
    for line in best.lines().skip(1) {
        let fields: Vec<&str> = line.split(',').collect();
        let stem = fields[0].split_once(".json").unwrap().0;
        let Ok(stored) = std::fs::read(folder.join(format!("{stem}.best.json"))) else { continue };
        let instance = instance(&folder.join(fields[0]));
        let assignment = instance.start(&stored).unwrap();
        assert_eq!(price(&instance.problem, &assignment).unwrap().total(), fields[1].parse::<i64>().unwrap(), "{stem}");
        n_tried += 1;
    }
    assert!(n_tried >= 4, "{n_tried} assignments");
}

#[test]
fn a_made_up_estate_is_placed_close_to_its_bound_and_the_same_every_time() {
    for (openings, spare) in [(20, 0), (60, 20), (250, 10)] {
        let instance = made_up(openings, 3, spare);
        assert_eq!(instance, made_up(openings, 3, spare));
        assert_ne!(instance, made_up(openings, 4, spare), "the seed matters");
        let run = || solve(&instance.problem, &Effort::new(Level::Normal), &mut |_| ControlFlow::Continue(()));
        let outcome = run();
        assert!(outcome.unserved.is_empty(), "{openings}");
        assert_eq!(check(&instance.problem, &outcome.plan).unwrap().total(), outcome.cost);
        assert!(outcome.gap < 0.015, "{openings}: {}", outcome.gap);
        assert_eq!(outcome.plan, run().plan);
    }
}

#[test]
fn a_made_up_estate_has_the_shape_of_a_real_one() {
    for (openings, rooms) in [(20, 4..=8), (250, 20..=60), (8_000, 600..=1_400)] {
        let instance = made_up(openings, 1, 10);
        assert_eq!(instance.customers.len(), openings as usize);
        assert!(rooms.contains(&instance.sites.len()), "{openings}: {} rooms", instance.sites.len());
        let two = instance.problem.customers.iter().filter(|customer| customer.variants[0].ports == 2).count();
        assert!((5..=30).contains(&(100 * two / instance.customers.len())), "{two} of two ports");
        assert!(instance.problem.customers.iter().all(|customer| customer.sites().next().is_some()));
    }
}

#[test]
fn a_preview_after_one_change_is_close_to_a_cold_plan() {
    let mut problem: Problem = made_up(250, 1, 10).problem;
    let run = |problem: &Problem, level, start| {
        solve(problem, &Effort { level, seed: 0, start }, &mut |_| ControlFlow::Continue(()))
    };
    let before = run(&problem, Level::Normal, None);
    // The first opening can no longer be served from where it was.
    let lost = before.plan.assignment[0].unwrap().site;
    problem.customers[0].variants[0].arcs.retain(|arc| arc.site != lost);
    let started = std::time::Instant::now();
    let preview = run(&problem, Level::Quick, Some(before.plan.assignment));
    println!("preview in {:.3} s", started.elapsed().as_secs_f64());
    let cold = run(&problem, Level::Normal, None);
    assert!(preview.unserved.is_empty());
    assert!(preview.cost * 200 <= cold.cost * 201, "preview {} cold {}", preview.cost, cold.cost);
}
