//! The route pass on small sites.

use dw_core::{CableWayId, Id, Metres};

use super::testing::Scene;

fn lengths(scene: &Scene) -> Vec<Vec<(usize, f64)>> {
    let reach = scene.reach().0;
    reach.lengths.iter().map(|it| it.iter().map(|&(room, length)| (room, length.get())).collect()).collect()
}

#[test]
fn without_drawn_ways_lengths_follow_the_rule_of_two_axes_and_entry_points() {
    let mut scene = Scene::new();
    scene.survey.settings.drop_opening_m = Metres::new(3.0);
    scene.survey.settings.drop_room_m = Metres::new(2.0);
    scene.room("TR-1", "S0", 10.0, 5.0);
    scene.room("TR-2", "S1", 4.0, 3.0);
    scene.room("TR-3", "A0", -6.0, 0.0);
    scene.opening("D-1", "S0", 20.0, 8.0);
    scene.opening("D-2", "OUT", 30.0, -1.0);
    // Same storey 10 + 3; other storey 28 to the entry, 4 up, 7 on; other building 28, 0, 6. Drops 5 each.
    assert_eq!(lengths(&scene)[0], [(0, 18.0), (1, 44.0), (2, 39.0)]);
    // From outdoors to each building's entry: 31, then inside.
    assert_eq!(lengths(&scene)[1], [(0, 51.0), (1, 47.0), (2, 42.0)]);
}

#[test]
fn drawn_ways_are_joined_at_their_nearest_points_and_led_through_risers() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 2.0);
    scene.opening("D-1", "S1", 35.0, 6.0);
    scene.opening("D-2", "S0", 15.0, 3.0);
    scene.way("W-1", "S0", (0.0, 0.0), (30.0, 0.0));
    let riser = scene.riser("R-1", (20.0, 0.0));
    // This tray ends on nothing: it crosses the foot of the riser in its middle.
    scene.way("W-2", "S1", (20.0, 0.0), (40.0, 0.0));
    // D-1: 2 to the tray, 20 along it, 4 up, 15 along the upper one, 6 to the door.
    assert_eq!(lengths(&scene)[0], [(0, 47.0)]);
    // D-2: 2 + 15 + 3 over the tray; straight there would be 16, but that is longer than the 5 to and from the way.
    assert_eq!(lengths(&scene)[1], [(0, 20.0)]);
    scene.serve("D-1", "TR-1", 47.0);
    scene.serve("D-2", "TR-1", 20.0);
    let (routes, raised) = scene.route();
    assert!(raised.is_empty());
    let way = CableWayId::new;
    let ways = |idx: usize| -> Vec<CableWayId> { routes.openings[idx].ways.iter().map(|it| it.way.clone()).collect() };
    assert_eq!(ways(0), [way("W-1"), riser, way("W-2")]);
    let parts: Vec<(f64, f64)> = routes.openings[0].ways.iter().map(|it| (it.from_m.get(), it.to_m.get())).collect();
    assert_eq!(parts, [(0.0, 20.0), (0.0, 4.0), (0.0, 15.0)]);
    assert_eq!((routes.openings[0].off_way_m, routes.openings[0].length_m), (Metres::new(8.0), Metres::new(47.0)));
    assert_eq!((ways(1), routes.openings[1].off_way_m), (vec![way("W-1")], Metres::new(5.0)));
    assert_eq!(scene.schedule().1, ["RTE-008"], "the judge agrees; cross-sections are unknown");
}

#[test]
fn a_room_beside_the_door_is_not_reached_by_way_of_the_tray() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 20.0);
    scene.opening("D-1", "S0", 3.0, 20.0);
    scene.way("W-1", "S0", (0.0, 0.0), (30.0, 0.0));
    assert_eq!(lengths(&scene)[0], [(0, 3.0)]);
}

#[test]
fn a_way_may_end_in_the_middle_of_another_and_on_a_riser_that_passes() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 10.0, 12.0);
    scene.way("W-1", "S0", (0.0, 0.0), (30.0, 0.0));
    scene.way("W-2", "S0", (10.0, 0.05), (10.0, 12.0));
    assert_eq!(lengths(&scene)[0], [(0, 21.95)]);
    assert!(scene.reach().1.is_empty());
}

#[test]
fn the_stated_length_of_a_way_counts() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 30.0, 0.0);
    scene.way("W-1", "S0", (0.0, 0.0), (30.0, 0.0)).length = Some(Metres::new(37.5));
    // Straight there would be as long as the legs to and from the way only if both were 0, and they are.
    scene.survey.openings[0].y_m = Metres::new(1.0);
    assert_eq!(lengths(&scene)[0], [(0, 38.5)]);
}

#[test]
fn buildings_with_ways_that_nothing_joins_stay_apart() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "A0", 10.0, 0.0);
    assert_eq!(lengths(&scene)[0].len(), 1);
    scene.way("W-1", "S0", (0.0, 0.0), (30.0, 0.0));
    assert_eq!(lengths(&scene)[0].len(), 1);
    scene.way("W-2", "A0", (5.0, 0.0), (10.0, 0.0));
    let (reach, raised) = scene.reach();
    assert!(reach.lengths[0].is_empty(), "a river lies between");
    assert_eq!(raised, ["RTE-001"]);
    scene.way("W-3", "S0", (0.0, 0.0), (5.0, 0.0)).to_storey = Some(dw_core::StoreyId::new("A0"));
    assert_eq!(lengths(&scene)[0], [(0, 10.0)]);
}

#[test]
fn the_order_of_the_survey_changes_no_length() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 3.0, 1.0);
    scene.opening("D-1", "S1", 31.0, 7.0);
    for (id, from, to) in [("W-1", 0.0, 12.0), ("W-2", 12.0, 25.0), ("W-3", 25.0, 40.0)] {
        scene.way(id, "S0", (from, 0.0), (to, 0.0));
        scene.way(&format!("{id}b"), "S1", (from, 2.0), (to, 2.0));
    }
    scene.riser("R-1", (25.0, 0.0));
    scene.way("W-4", "S1", (25.0, 0.0), (25.0, 2.0));
    let before = lengths(&scene);
    scene.job.cable_ways.reverse();
    assert_eq!(lengths(&scene), before);
    assert_eq!(before[0].len(), 1);
}

#[test]
fn an_own_unit_is_as_near_as_a_network_link_reaches() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.unit("D-1", "S0", 90.0, 0.0);
    scene.unit("D-2", "S0", 91.0, 0.0);
    let (reach, raised) = scene.reach();
    assert_eq!((reach.lengths[0].len(), reach.lengths[1].len()), (1, 0));
    assert_eq!(raised, ["RTE-001"]);
    assert_eq!(reach.limits[0].cause.way_out("D-1"), "Add a room nearer to D-1");
    assert!((reach.limits[0].length_m.get() - 90.0).abs() < 1e-9);
}

#[test]
fn cable_costs_count_price_labour_and_waste_of_every_cable() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 50.0, 0.0);
    scene.survey.settings.waste_share = 0.1;
    // 50 m with 10 % waste of cables at 1.00, 0.80 and 0.50 a metre.
    assert_eq!(scene.reach().0.cable_costs[0], [[Some(dw_core::Money::from_cents(12_650))]]);
    scene.equipment.openings[0].cables[1].existing = true;
    assert_eq!(scene.reach().0.cable_costs[0], [[Some(dw_core::Money::from_cents(8_250))]]);
    // From another building, with a protector of 40.00 at both ends of three cables.
    scene.survey.openings[0].storey = dw_core::StoreyId::new("A0");
    let protected = |scene: &Scene, protectors: i64| {
        let cost = dw_core::Money::from_cents(8_250 + protectors * 4_000);
        assert_eq!(scene.reach().0.cable_costs[0], [[Some(cost)]]);
    };
    protected(&scene, 6);
    // A composite cable holds two lines.
    scene.equipment.openings[0].cables[1].purpose = dw_job::catalogue::CableUse::Composite;
    protected(&scene, 8);
    scene.equipment.openings[0].cables[1].purpose = dw_job::catalogue::CableUse::Lock;
    // A gate outdoors wants one at the end in the room, and no protector that suits data lines only helps a lock.
    scene.survey.openings[0].storey = dw_core::StoreyId::new("S0");
    protected(&scene, 0);
    scene.survey.openings[0].kind = dw_job::model::OpeningKind::Gate;
    scene.survey.openings[0].exposure = vec![dw_job::model::Exposure::Outdoors];
    protected(&scene, 3);
    let protector = scene.catalogue.devices.get_mut(&dw_core::DeviceId::new("SP")).unwrap();
    protector.interfaces = vec![dw_job::catalogue::Interface::DataLines];
    protected(&scene, 1);
}

#[test]
fn labour_is_counted_for_the_cable_that_is_laid_and_not_for_waste() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 50.0, 0.0).cables.truncate(1);
    scene.survey.settings.waste_share = 0.1;
    let reader = scene.catalogue.devices.get_mut(&dw_core::DeviceId::new("CR8")).unwrap();
    reader.cable.labour_per_metre = dw_core::Hours::try_new(0.01);
    // 55 m at 1.00 and 50 m at 0.01 h of 50.00.
    assert_eq!(scene.reach().0.cable_costs[0], [[Some(dw_core::Money::from_cents(5_500 + 2_500))]]);
}

#[test]
fn cable_is_bought_in_whole_reels_and_covers_what_is_cut() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    for (mark, x) in [("D-1", 60.0), ("D-2", 60.0), ("D-3", 40.0)] {
        scene.opening(mark, "S0", x, 0.0);
        scene.serve(mark, "TR-1", x);
    }
    let (schedule, raised) = scene.schedule();
    assert!(raised.is_empty(), "{raised:?}");
    let bought: Vec<(&str, f64, usize)> =
        schedule.purchases.iter().map(|it| (it.device.text(), it.bought_m.get(), it.reels.len())).collect();
    // Lock cable comes on reels of 100 m: 60 + 40 and 60. Contact cable comes by the metre.
    assert_eq!(bought, [("CC4", 160.0, 0), ("CL2", 200.0, 2), ("CR8", 305.0, 1)]);
    let lock = &schedule.purchases[1];
    let cuts: Vec<Vec<&str>> =
        lock.reels.iter().map(|reel| reel.cuts.iter().map(|cut| cut.0.as_str()).collect()).collect();
    assert_eq!(cuts, [vec!["D-1/2", "D-3/2"], vec!["D-2/2"]]);
    assert_eq!((lock.waste_m(), lock.least_waste_m(), lock.gap()), (Metres::new(40.0), Metres::new(40.0), Some(0.0)));
    assert_eq!(lock.cost, Some(dw_core::Money::from_cents(16_000)));
    let labels: Vec<&str> = schedule.runs.iter().map(|run| run.label.as_str()).take(4).collect();
    assert_eq!(labels, ["D-1/1", "D-1/2", "D-1/3", "D-2/1"]);
}

/// The published instances count in decimetres; the numbers of arcs are those of the problem's description.
#[test]
#[expect(clippy::disallowed_methods, reason = "a test reads the instances where they are present")]
fn the_length_rule_gives_the_arcs_of_the_estate_instances() {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/../../../shared/data/estate");
    for (file, arcs) in [("estate-n60-s1.json", 300), ("estate-n250-s1.json", 4135)] {
        let Ok(text) = std::fs::read_to_string(format!("{folder}/{file}")) else {
            println!("{file} is absent, nothing to compare with");
            return;
        };
        let scene = super::testing::estate(&text);
        let (reach, raised) = scene.reach();
        assert_eq!((reach.lengths.iter().map(Vec::len).sum::<usize>(), raised.len()), (arcs, 0));
        let (placement, raised) = scene.place(false);
        assert!(raised.iter().all(|code| *code == "PLC-008"), "{raised:?}");
        assert!(placement.unserved.is_empty() && placement.gap < 0.03, "gap {}", placement.gap);
    }
}

#[test]
fn the_cheapest_reels_are_bought_and_the_bound_proves_it() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    for (mark, x) in [("D-1", 60.0), ("D-2", 60.0), ("D-3", 40.0)] {
        scene.opening(mark, "S0", x, 0.0);
        scene.serve(mark, "TR-1", x);
    }
    let lock = scene.catalogue.devices.get_mut(&dw_core::DeviceId::new("CL2")).unwrap();
    lock.cable.short_reel.length = Some(Metres::new(70.0));
    lock.cable.short_reel.price = Some(dw_core::Money::from_cents(6_000));
    let (schedule, raised) = scene.schedule();
    assert!(raised.is_empty(), "{raised:?}");
    let lock = &schedule.purchases[1];
    // 60 + 40 from a reel of 100 m for 80.00, the other 60 from one of 70 m for 60.00.
    let holds: Vec<f64> = lock.reels.iter().map(|reel| reel.length_m.get()).collect();
    assert_eq!((holds, lock.cost), (vec![100.0, 70.0], Some(dw_core::Money::from_cents(14_000))));
    assert_eq!(lock.least_cost, lock.cost);
    assert_eq!((lock.waste_m(), lock.least_waste_m()), (Metres::new(10.0), Metres::new(10.0)));
}

#[test]
fn cables_go_round_a_blocked_area() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 20.0, 0.0);
    scene.opening("D-2", "OUT", 20.0, 0.0);
    scene.opening("D-3", "A0", 20.0, 0.0);
    assert_eq!(lengths(&scene).iter().map(|it| it[0].1).collect::<Vec<_>>(), [20.0, 20.0, 20.0]);
    // A hall that reaches 3 m beyond the straight line on one side and 8 m on the other.
    scene.blocked("A-1", "S0", (8.0, -3.0), (12.0, 8.0));
    // A pond outdoors, between the building and the gate; both buildings are entered at the origin.
    scene.blocked("A-2", "OUT", (5.0, -1.0), (9.0, 4.0));
    assert_eq!(lengths(&scene).iter().map(|it| it[0].1).collect::<Vec<_>>(), [26.0, 22.0, 20.0]);
    // From a room behind the hall the way to the tray goes round it too.
    scene.way("W-1", "S0", (30.0, 0.0), (40.0, 0.0));
    scene.survey.openings[0].x_m = Metres::new(36.0);
    assert_eq!(lengths(&scene)[0], [(0, 42.0)]);
    scene.serve("D-1", "TR-1", 42.0);
    let (routes, raised) = scene.route();
    assert!(raised.is_empty());
    let part = &routes.openings[0].ways[0];
    assert_eq!((part.from_m, part.to_m, routes.openings[0].off_way_m), (m(0.0), m(6.0), m(36.0)));
}

fn m(metres: f64) -> Metres {
    Metres::new(metres)
}

#[test]
fn a_way_is_open_on_both_sides_of_a_blocked_area() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.room("TR-2", "S0", 40.0, 0.0);
    scene.opening("D-1", "S0", 6.0, 1.0);
    scene.opening("D-2", "S0", 30.0, 1.0);
    scene.way("W-1", "S0", (0.0, 0.0), (40.0, 0.0));
    scene.blocked("A-1", "S0", (10.0, -50.0), (12.0, 50.0));
    // The judge of routes agrees that neither route passes the area.
    assert_eq!(lengths(&scene), [[(0, 7.0)], [(1, 11.0)]]);
    scene.serve("D-1", "TR-1", 7.0);
    scene.serve("D-2", "TR-2", 11.0);
    assert_eq!(scene.schedule().1, ["RTE-008"]);
}

#[test]
fn cable_that_leads_outdoors_costs_what_outdoor_cable_costs() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 20.0, 0.0);
    scene.equipment.openings[0].cables.truncate(1);
    let mut outdoor = scene.catalogue.devices[&dw_core::DeviceId::new("CR8")].clone();
    (outdoor.id, outdoor.cable.outdoor) = (dw_core::DeviceId::new("CR8X"), Some(true));
    outdoor.price = Some(dw_core::Money::from_cents(300));
    scene.catalogue.devices.insert(outdoor.id.clone(), outdoor);
    let way = scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
    assert_eq!(way.kind, Some(dw_job::model::CableWayKind::Tray));
    assert_eq!(scene.reach().0.cable_costs[0][0], [Some(dw_core::Money::from_cents(2_000))]);
    scene.job.cable_ways[0].kind = Some(dw_job::model::CableWayKind::Duct);
    assert_eq!(scene.reach().0.cable_costs[0][0], [Some(dw_core::Money::from_cents(6_000))]);
    scene.serve("D-1", "TR-1", 20.0);
    assert_eq!(scene.schedule().0.runs[0].device, Some(dw_core::DeviceId::new("CR8X")), "placed and laid alike");
}

#[test]
fn a_far_lock_is_priced_with_the_stouter_cable_it_needs() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 10.0, 0.0);
    scene.equipment.openings[0].cables.drain(..1);
    scene.equipment.openings[0].cables.truncate(1);
    let devices = &mut scene.catalogue.devices;
    let thin = devices.get_mut(&dw_core::DeviceId::new("CL2")).unwrap();
    thin.cable.resistance = dw_core::OhmsPerMetre::try_new(0.026);
    let mut stout = thin.clone();
    (stout.id, stout.price) = (dw_core::DeviceId::new("CL2S"), Some(dw_core::Money::from_cents(200)));
    stout.cable.resistance = dw_core::OhmsPerMetre::try_new(0.008);
    devices.insert(stout.id.clone(), stout);
    let mut lock = dw_job::catalogue::Device::new("L-1");
    lock.electrical.nominal = dw_core::Volts::try_new(12.0);
    lock.electrical.min = dw_core::Volts::try_new(10.0);
    lock.electrical.active = dw_core::Amps::try_new(0.5);
    devices.insert(lock.id.clone(), lock);
    let fitted = crate::equip::Fitted {
        device: dw_core::DeviceId::new("L-1"),
        count: 1,
        role: crate::equip::Role::Lock,
        kept: false,
    };
    scene.equipment.openings[0].devices.push(fitted);
    // 10.5 V at the end of the battery less 10.0 V at 0.5 A: 1 Ω out and back, 19.2 m of the thin cable at 20 °C.
    for (length, cents) in [(19.0, 1_520), (20.0, 4_000)] {
        scene.survey.openings[0].x_m = Metres::new(length);
        assert_eq!(scene.reach().0.cable_costs[0][0], [Some(dw_core::Money::from_cents(cents))]);
    }
}

#[test]
fn a_way_is_as_full_as_its_fullest_stretch() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 20.0, 0.0);
    scene.way("W-1", "S0", (0.0, 0.0), (60.0, 0.0)).area = Some(dw_core::SquareMm::new(1_000.0));
    for (mark, x) in [("D-1", 0.0), ("D-2", 50.0), ("D-3", 60.0)] {
        scene.opening(mark, "S0", x, 1.0).cables.truncate(1);
        scene.serve(mark, "TR-1", (x - 20.0).abs() + 1.0);
    }
    let (schedule, raised) = scene.schedule();
    assert!(raised.is_empty(), "{raised:?}");
    let fill = &schedule.fills[0];
    let stretches: Vec<(f64, f64, u32)> =
        fill.stretches.iter().map(|it| (it.from_m.get(), it.to_m.get(), it.cables)).collect();
    assert_eq!(stretches, [(0.0, 20.0, 1), (20.0, 50.0, 2), (50.0, 60.0, 1)]);
    // Three cables in the way, never more than two side by side.
    let each = std::f64::consts::PI * 6.25;
    assert_eq!(fill.cables, 3);
    assert!((fill.taken_mm2.get() - 2.0 * each).abs() < 1e-9);
    assert!((fill.share.unwrap() - 2.0 * each / 1_000.0).abs() < 1e-12);
}

#[test]
fn a_way_cut_at_an_area_does_not_join_the_way_it_crosses_beside_it() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.opening("D-1", "S0", 9.95, 20.0);
    scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
    scene.way("W-2", "S0", (9.95, -20.0), (9.95, 20.0));
    scene.way("W-3", "S0", (0.0, 0.0), (0.0, -20.0));
    scene.way("W-4", "S0", (0.0, -20.0), (9.95, -20.0));
    assert_eq!(lengths(&scene), [[(0, 69.95)]]);
    // W-1 ends at the area, 5 cm behind the tray that passes over it.
    scene.blocked("A-1", "S0", (10.0, -6.0), (12.0, 6.0));
    assert_eq!(lengths(&scene), [[(0, 69.95)]]);
}

#[test]
fn the_nearest_ways_are_found_around_areas_as_when_every_way_is_tried() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0);
    scene.way("W-0", "S0", (0.0, 0.0), (0.0, 60.0));
    for (idx, y) in [10.0, 20.0, 30.0, 40.0, 50.0, 60.0].into_iter().enumerate() {
        scene.way(&format!("W-{}", idx + 1), "S0", (0.0, y), (40.0, y));
    }
    // Between the door and the tray 4 m from it lies a wall from 2 m to 30 m: the tray 6 m away is nearer.
    scene.opening("D-1", "S0", 20.0, 24.0);
    scene.blocked("A-1", "S0", (2.0, 21.0), (30.0, 23.0));
    assert_eq!(lengths(&scene), [[(0, 6.0 + 20.0 + 30.0)]]);
    // With a way around of 2 m the tray beyond is within 5 m of the nearest, and leads to the room by the shorter way.
    scene.job.blocked_areas[0].x2 = Some(m(21.0));
    assert_eq!(lengths(&scene), [[(0, 1.0 + 4.0 + 21.0 + 20.0)]]);
}
