//! The judge objects to plans that were tampered with.

use dw_core::{CableWayId, Metres, SquareMm};

use crate::power::PowerPlan;
use crate::route::testing::Scene;
use crate::route::{CableSchedule, Routes};

/// Two doors on one tray, routed and scheduled; tampered with, then judged.
fn check(tamper: impl FnOnce(&mut Routes, &mut CableSchedule), codes: &[&str]) {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 1.0);
    for (id, from, to) in [("W-1", 0.0, 20.0), ("W-2", 20.0, 40.0), ("W-3", 40.0, 60.0)] {
        scene.way(id, "S0", (from, 0.0), (to, 0.0)).area = Some(SquareMm::new(9000.0));
    }
    for (mark, x) in [("D-1", 30.0), ("D-2", 50.0)] {
        scene.opening(mark, "S0", x, 1.0);
        scene.serve(mark, "TR-1", x + 2.0);
    }
    let mut routes = scene.route().0;
    let power = PowerPlan { enclosures: Vec::new(), locks: Vec::new(), devices: Vec::new(), network_feeds: Vec::new() };
    let (job, survey, equipment) = (&scene.job, &scene.survey, &scene.equipment);
    let mut schedule = scene.run(|cx| crate::route::schedule(cx, job, survey, equipment, &routes, &power)).0;
    tamper(&mut routes, &mut schedule);
    let judged = scene.run(|cx| super::verify(cx, job, survey, equipment, &scene.placement, &routes, &schedule)).1;
    assert_eq!(judged, codes);
}

#[test]
fn an_honest_plan_passes() {
    check(|_, _| {}, &[]);
}

#[test]
fn a_route_of_another_length_than_placed_is_noticed() {
    check(
        |routes, schedule| {
            routes.openings[0].length_m = Metres::new(31.0);
            schedule.runs.iter_mut().take(3).for_each(|run| run.length_m = Metres::new(31.0));
            for bought in &mut schedule.purchases {
                bought.cut_m = bought.cut_m - Metres::new(1.0);
                for reel in bought.reels.iter_mut().filter(|reel| reel.cuts[0].1 == Metres::new(32.0)) {
                    reel.cuts[0].1 = Metres::new(31.0);
                    reel.left_m += Metres::new(1.0);
                }
                for reel in bought.reels.iter_mut().filter(|reel| reel.cuts.len() > 1) {
                    reel.cuts[1].1 = Metres::new(31.0);
                    reel.left_m += Metres::new(1.0);
                }
            }
        },
        &["RTE-901"],
    );
}

#[test]
fn a_route_over_ways_that_do_not_touch_is_noticed() {
    check(
        |routes, schedule| {
            routes.openings[1].ways.remove(1);
            schedule.fills[1].cables = 3;
            schedule.fills[1].taken_mm2 = schedule.fills[1].taken_mm2 * 0.5;
            schedule.fills[1].share = schedule.fills[1].share.map(|share| share * 0.5);
        },
        &["RTE-901"],
    );
}

#[test]
fn a_missing_route_is_noticed() {
    check(
        |routes, schedule| {
            let lost = routes.openings.pop().unwrap();
            schedule.runs.retain(|run| run.mark != lost.mark);
            schedule.fills.clear();
        },
        // A door without a route; three purchases unlike their runs, two reels with cuts of no run, two ways with no fill.
        &["RTE-901", "RTE-902", "RTE-902", "RTE-902", "RTE-902", "RTE-902", "RTE-902", "RTE-902"],
    );
}

#[test]
fn a_core_without_a_job_is_noticed() {
    check(
        |_, schedule| {
            schedule.runs[0].cores.pop();
        },
        &["RTE-902"],
    );
}

#[test]
fn a_need_without_a_cable_is_noticed() {
    check(|_, schedule| schedule.runs[0].cores[0] = "spare".to_owned(), &["RTE-902"]);
}

#[test]
fn too_little_cable_is_noticed() {
    check(
        |_, schedule| {
            let bought = &mut schedule.purchases[0];
            (bought.bought_m, bought.least_bought_m) = (Metres::new(1.0), Metres::new(1.0));
        },
        &["RTE-902"],
    );
}

#[test]
fn reels_that_do_not_add_up_are_noticed() {
    let reel = |schedule: &mut CableSchedule, tamper: &dyn Fn(&mut crate::route::CutReel)| {
        tamper(&mut schedule.purchases[1].reels[0]);
    };
    check(|_, schedule| reel(schedule, &|reel| reel.left_m = Metres::new(1.0)), &["RTE-902"]);
    check(|_, schedule| reel(schedule, &|reel| reel.cuts[0].0 = "D-9/2".to_owned()), &["RTE-902", "RTE-902"]);
    check(|_, schedule| schedule.purchases[1].least_bought_m = Metres::new(1e4), &["RTE-902"]);
}

#[test]
fn a_fill_that_does_not_add_up_is_noticed() {
    check(|_, schedule| schedule.fills[0].taken_mm2 = SquareMm::new(1.0), &["RTE-902"]);
    check(|_, schedule| schedule.fills[0].way = CableWayId::new("W-9"), &["RTE-902", "RTE-902", "RTE-902"]);
}

/// A route along y = 0 up to x = 30, judged with an area from corner to corner that it was not led round.
fn check_area(from: (f64, f64), to: (f64, f64), codes: &[&str]) {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 1.0);
    scene.way("W-1", "S0", (0.0, 0.0), (40.0, 0.0)).area = Some(SquareMm::new(9000.0));
    scene.opening("D-1", "S0", 30.0, 1.0);
    scene.serve("D-1", "TR-1", 32.0);
    let (routes, schedule) = (scene.route().0, scene.schedule().0);
    scene.blocked("A-1", "S0", from, to);
    let (job, survey, equipment) = (&scene.job, &scene.survey, &scene.equipment);
    let judged = scene.run(|cx| super::verify(cx, job, survey, equipment, &scene.placement, &routes, &schedule)).1;
    assert_eq!(judged, codes);
}

#[test]
fn a_route_through_a_blocked_area_however_thin_is_noticed() {
    check_area((10.0, -5.0), (20.0, 5.0), &["RTE-901"]);
    check_area((11.11, -5.0), (11.21, 5.0), &["RTE-901"]);
    check_area((29.9, -5.0), (31.0, 5.0), &["RTE-901"]);
}

#[test]
fn a_route_beside_a_blocked_area_or_up_to_it_passes() {
    check_area((10.0, -5.0), (20.0, 0.0), &[]);
    check_area((30.0, -5.0), (31.0, 5.0), &[]);
    check_area((31.0, -5.0), (40.0, 5.0), &[]);
}

#[test]
fn the_fullest_place_is_found_where_cables_leave_and_join() {
    let fullest = super::cables::fullest;
    assert!((fullest(&[(0.0, 4.0, 1.0), (4.0, 9.0, 1.0), (3.0, 5.0, 2.0)]) - 3.0).abs() < 1e-12);
    assert!((fullest(&[(0.0, 4.0, 1.0), (4.0, 9.0, 1.5), (7.0, 7.0, 5.0)]) - 1.5).abs() < 1e-12);
    assert!(fullest(&[]).abs() < 1e-12);
}
