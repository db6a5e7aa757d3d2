//! The judge objects to placements that were tampered with.

use dw_core::{DeviceId, Metres, Money, OpeningId, RoomId};

use crate::place::Placement;
use crate::route::testing::Scene;

/// Five doors, one of two ports, in two rooms; tampered with, then judged.
fn check(tamper: impl FnOnce(&mut Placement), codes: &[&str]) {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(2);
    scene.room("TR-2", "S0", 140.0, 0.0);
    for (mark, x) in [("D-1", 1.0), ("D-2", 2.0), ("D-3", 3.0), ("D-4", 139.0)] {
        scene.opening(mark, "S0", x, 0.0);
    }
    scene.wide("D-5", "S0", 138.0, 0.0, 2);
    scene.pin("D-1", "TR-1");
    scene.pin("D-4", "TR-2");
    scene.survey.settings.spare_percent = 20;
    let (mut placement, raised) = scene.place(false);
    assert!(raised.is_empty(), "{raised:?}");
    tamper(&mut placement);
    let judged = scene.run(|cx| super::verify(cx, &scene.job, &scene.survey, &scene.equipment, &placement)).1;
    assert_eq!(judged, codes);
}

#[test]
fn an_honest_plan_passes() {
    check(|_| {}, &[]);
}

#[test]
fn a_lost_opening_is_noticed() {
    check(|it| it.served.retain(|served| served.mark != OpeningId::new("D-1")), &["PLC-901", "PLC-901"]);
}

#[test]
fn a_port_taken_away_is_noticed() {
    check(
        |it| {
            let port =
                it.controllers.iter_mut().flat_map(|it| &mut it.ports).find(|it| **it == Some(OpeningId::new("D-5")));
            *port.unwrap() = None;
        },
        &["PLC-901"],
    );
}

#[test]
fn a_controller_that_does_not_suit_is_noticed() {
    check(|it| it.controllers[0].device = DeviceId::new("F2"), &["PLC-901", "PLC-901", "PLC-901"]);
}

#[test]
fn missing_spare_ports_are_noticed() {
    check(
        |it| {
            let ports = &mut it.controllers[0].ports;
            ports.retain(Option::is_some);
        },
        &["PLC-901"],
    );
}

#[test]
fn an_ignored_pin_is_noticed() {
    check(
        |it| {
            let served = it.served.iter_mut().find(|served| served.mark == OpeningId::new("D-4")).unwrap();
            served.room = RoomId::new("TR-1");
        },
        &["PLC-901", "PLC-901"],
    );
}

#[test]
fn a_room_over_its_limit_is_noticed() {
    check(
        |it| {
            for number in [8, 9] {
                let more = super::super::PlacedController { number, ports: vec![None], ..it.controllers[0].clone() };
                it.controllers.push(more);
            }
        },
        &["PLC-901"],
    );
}

#[test]
fn a_number_given_twice_is_noticed() {
    check(
        |it| it.controllers.push(super::super::PlacedController { ports: vec![None], ..it.controllers[0].clone() }),
        &["PLC-901"],
    );
}

#[test]
fn two_openings_on_a_controller_they_must_not_share_are_noticed() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    for (mark, x) in [("D-1", 1.0), ("D-2", 2.0), ("D-3", 3.0)] {
        scene.opening(mark, "S0", x, 0.0);
    }
    let placement = scene.place(false).0;
    let judged =
        |scene: &Scene| scene.run(|cx| super::verify(cx, &scene.job, &scene.survey, &scene.equipment, &placement)).1;
    assert_eq!(placement.controllers.len(), 1);
    scene.apart(&["D-1"]);
    assert!(judged(&scene).is_empty());
    scene.apart(&["D-1", "D-3"]);
    assert_eq!(judged(&scene), ["PLC-901"]);
}

#[test]
fn a_cable_too_long_and_a_bound_too_high_are_noticed() {
    check(|it| it.served[0].length_m = Metres::new(150.5), &["PLC-901"]);
    check(|it| it.bound = it.cost + Money::from_cents(1), &["PLC-901"]);
}

#[test]
fn the_cost_of_an_issued_plan_is_added_up_anew_too() {
    use crate::place::keep::Kept;
    use crate::place::solve::{Work, best};
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    for (mark, port) in [("D-1", 1), ("D-2", 2), ("D-3", 3), ("D-4", 4)] {
        scene.opening(mark, "S0", 10.0, 0.0);
        scene.issued(mark, "TR-1", "K4", 1, port);
    }
    scene.opening("D-5", "S0", 10.0, 0.0);
    let raised = |wrong_by: i64| {
        crate::place::tests::with_statement(&scene, &scene.settled(), |statement| {
            let mut kept = Kept::new(&scene.job, statement);
            assert_eq!(kept.choices.len(), 4);
            let mut hear = crate::unwatched;
            let mut watch = crate::Watch::new(&mut hear);
            let mut work = Work::new(dw_solve::location::Level::Normal, &mut watch);
            let mut solution = best(statement, &mut kept, None, &mut work);
            solution.cost += wrong_by;
            scene.run(|cx| super::reprice(cx, statement, &kept, &solution)).1
        })
    };
    assert_eq!(raised(0), Vec::<&str>::new());
    assert_eq!(raised(1), ["PLC-901"]);
}
