//! Placement on the stored estate instances: plans are judged independently, bounds against published figures.

#![allow(
    clippy::disallowed_types,
    clippy::disallowed_methods,
    clippy::unwrap_used,
    reason = "a test may read files and the clock, and fails by panicking"
)]

use std::fs::File;
use std::io::Read;
use std::ops::ControlFlow;
use std::path::Path;

use dw_solve::location::{
    Arc, Customer, Effort, Family, Level, Model, Problem, Site, Spare, Variant, check, price, solve,
};
use serde_json::Value;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/data/estate");

/// Text of a file, unpacked when its name ends in `gz`.
fn text(path: &Path) -> String {
    let file = File::open(path).unwrap();
    let mut text = String::new();
    if path.extension().is_some_and(|extension| extension == "gz") {
        flate2::read::GzDecoder::new(file).read_to_string(&mut text).unwrap();
    } else {
        std::io::BufReader::new(file).read_to_string(&mut text).unwrap();
    }
    text
}

fn int(value: &Value, key: &str) -> i64 {
    value[key].as_i64().unwrap()
}

fn point(value: &Value) -> (i64, i64) {
    (int(value, "x"), int(value, "y"))
}

fn apart(a: (i64, i64), b: (i64, i64)) -> i64 {
    (a.0 - b.0).abs() + (a.1 - b.1).abs()
}

/// Cable length between an opening and a room, by the length rule of the instances.
fn length(estate: &Value, opening: &Value, room: &Value) -> i64 {
    let rules = &estate["rules"];
    let ends = int(rules, "drop_door_dm") + int(rules, "drop_room_dm");
    let level = int(rules, "level_dm");
    let riser = |building: i64| {
        let riser = &estate["buildings"][usize::try_from(building).unwrap()]["riser"];
        (riser[0].as_i64().unwrap(), riser[1].as_i64().unwrap())
    };
    let (from, to) = (int(opening, "b"), int(room, "b"));
    let (here, there) = (point(opening), point(room));
    let down = riser(to);
    if from == -1 {
        return ends + apart(here, down) + level * int(room, "l") + apart(down, there);
    }
    if from != to {
        let up = riser(from);
        let levels = int(opening, "l") + int(room, "l");
        return ends + apart(here, up) + apart(up, down) + level * levels + apart(down, there);
    }
    match (int(opening, "l") - int(room, "l")).abs() {
        0 => ends + apart(here, there),
        levels => ends + apart(here, down) + level * levels + apart(down, there),
    }
}

fn problem(estate: &Value) -> Problem {
    let rules = &estate["rules"];
    let rooms = estate["rooms"].as_array().unwrap();
    let site = Site { fixed: int(rules, "room_fixed_cents"), limits: vec![int(rules, "room_controller_limit")] };
    let models = estate["controllers"].as_array().unwrap().iter().map(|model| Model {
        ports: u32::try_from(int(model, "ports")).unwrap(),
        price: int(model, "price_cents"),
        uses: vec![1],
    });
    let customers = estate["openings"].as_array().unwrap().iter().map(|opening| {
        Customer::single(Variant {
            ports: u32::try_from(int(opening, "ports")).unwrap(),
            arcs: (rooms.iter().enumerate())
                .map(|(site, room)| (site, length(estate, opening, room)))
                .filter(|&(_, length)| length <= int(rules, "max_dm"))
                .map(|(site, length)| Arc { site, cost: length * int(rules, "cable_cents_per_dm") })
                .collect(),
            ..Variant::default()
        })
    });
    Problem {
        sites: vec![site; rooms.len()],
        customers: customers.collect(),
        families: vec![Family {
            models: models.collect(),
            spare: Spare::percent_of_used(u32::try_from(int(rules, "spare_percent")).unwrap()),
            already: Vec::new(),
        }],
    }
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
        let estate: Value = serde_json::from_str(&text(&folder.join(file))).unwrap();
        let problem = problem(&estate);
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
fn a_preview_after_one_change_is_close_to_a_cold_plan() {
    let Ok(estate) = std::fs::read(Path::new(FOLDER).join("estate-n250-s1.json")) else {
        println!("the estate instances are not present; nothing was tried");
        return;
    };
    let mut problem = problem(&serde_json::from_slice(&estate).unwrap());
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
