//! Clashes of random small sites, judged by trying every placement with the judge of `dw-solve`.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{DeviceId, OpeningId, RoomId};
use dw_job::Profile;
use dw_job::model::Pin;
use dw_solve::location::{Choice, Level, Model, Problem, price};
use proptest::prelude::*;

use super::{Clashes, Demand};
use crate::Cx;
use crate::place::estimate::Estimate;
use crate::place::keep::Kept;
use crate::place::solve::{Work, best};
use crate::place::statement::Statement;
use crate::route::testing::Scene;

/// Whether some placement serves every customer, by trying them all.
fn is_possible(problem: &Problem) -> bool {
    let choices: Vec<Vec<Choice>> = (problem.customers.iter())
        .map(|customer| {
            let of = |(variant, it): (usize, &dw_solve::location::Variant)| {
                it.arcs.iter().map(|arc| Choice { variant, site: arc.site }).collect::<Vec<_>>()
            };
            customer.variants.iter().enumerate().flat_map(of).collect()
        })
        .collect();
    let mut at = vec![0; choices.len()];
    if choices.iter().any(Vec::is_empty) {
        return false;
    }
    loop {
        let assignment: Vec<Option<Choice>> = choices.iter().zip(&at).map(|(all, &at)| Some(all[at])).collect();
        if price(problem, &assignment).is_ok() {
            return true;
        }
        let Some(next) = (0..at.len()).find(|&it| at[it] + 1 < choices[it].len()) else { return false };
        at[..next].fill(0);
        at[next] += 1;
    }
}

/// Looks at the clashes of a scene.
fn with_clashes<T>(
    scene: &Scene,
    refused: BTreeMap<usize, Vec<(DeviceId, Model)>>,
    look: impl FnOnce(&Clashes<'_>, &mut Work<'_, '_>) -> T,
) -> T {
    let reach = scene.reach().0;
    let profile = Profile::default();
    let cx = Cx::new(&scene.catalogue, &profile);
    let arrangements = scene.settled();
    let estimate = Estimate::new(&scene.catalogue, &arrangements.whole_life);
    let statement = Statement::new(&cx, &scene.job, &scene.survey, &arrangements, &reach, &estimate);
    let mut kept = Kept::new(&scene.job, &statement);
    let mut hear = crate::unwatched;
    let mut watch = crate::Watch::new(&mut hear);
    let mut work = Work::new(Level::Normal, &mut watch);
    let solution = best(&statement, &mut kept, None, &mut work);
    look(&Clashes::new(&statement, &scene.survey, &reach, &kept, &solution).refusing(refused), &mut work)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    #[test]
    fn every_clash_is_impossible_and_possible_without_any_one_of_its_demands(
        doors in prop::collection::vec((0.0f64..400.0, 1u32..4), 1..7),
        limits in prop::collection::vec((0u32..3, 0u32..4, 0u32..3), 3),
        spare in prop::sample::select(vec![0u32, 20]),
        pins in prop::collection::vec((0usize..6, 0usize..3, any::<bool>()), 0..5),
        units in prop::collection::vec(0.0f64..100.0, 0..3),
        apart in prop::collection::vec(prop::collection::vec(0usize..7, 0..4), 0..3),
    ) {
        let mut scene = Scene::new();
        for (room, (controllers, ports, places)) in limits.into_iter().enumerate() {
            let room = scene.room(&format!("TR-{room}"), "S0", 90.0 * room as f64, 0.0);
            room.max_controllers = Some(controllers);
            room.network_ports = Some(ports);
            room.enclosure_places = Some(places);
        }
        for (idx, (x, ports)) in doors.iter().enumerate() {
            scene.wide(&format!("D-{idx}"), "S0", *x, 1.0, *ports);
        }
        for (idx, x) in units.iter().enumerate() {
            scene.unit(&format!("U-{idx}"), "S0", *x, 1.0);
        }
        for (door, room, is_kept_out) in pins.into_iter().filter(|pin| pin.0 < doors.len()) {
            if is_kept_out {
                let opening = Some(OpeningId::new(&format!("D-{door}")));
                let not_room = vec![RoomId::new(&format!("TR-{room}"))];
                scene.job.pins.push(Pin { opening, not_room, ..Pin::default() });
            } else {
                scene.pin(&format!("D-{door}"), &format!("TR-{room}"));
            }
        }
        for group in apart {
            let marks: Vec<String> = group.iter().map(|door| format!("D-{door}")).collect();
            scene.apart(&marks.iter().map(String::as_str).collect::<Vec<_>>());
        }
        scene.survey.settings.spare_percent = spare;
        with_clashes(&scene, BTreeMap::new(), |clashes, work| {
            let (proofs, unexplained) = clashes.prove(work);
            prop_assert!(unexplained.is_empty(), "small enough to prove: {:?}", unexplained);
            for proof in proofs {
                let lost = proof.unserved[0];
                let members: BTreeSet<Demand> = proof.members.iter().cloned().collect();
                prop_assert!(!is_possible(&clashes.problem(lost, &members)), "{:?}", members);
                prop_assert!(proof.is_irreducible);
                for left_out in &proof.members {
                    let others = members.iter().filter(|it| *it != left_out).cloned().collect();
                    prop_assert!(is_possible(&clashes.problem(lost, &others)), "{:?} without {:?}", members, left_out);
                }
            }
            Ok(())
        })?;
    }
}

#[test]
fn a_refused_controller_is_blamed_when_it_alone_would_have_made_room() {
    // One controller may stand in the room; only models of two ports are left to three doors.
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(1);
    for door in 0..3 {
        scene.opening(&format!("D-{door}"), "S0", 10.0, 0.0);
        let models = ["K1", "K2"].map(DeviceId::new).to_vec();
        scene.equipment.openings[door].control = crate::equip::ControlNeed::Ports { ports: 1, models };
    }
    let larger = Model { ports: 4, price: 94_000, uses: vec![1, 4, 1] };
    let refused = (0..3).map(|door| (door, vec![(DeviceId::new("K4"), larger.clone())])).collect();
    with_clashes(&scene, refused, |clashes, work| {
        let members = &clashes.prove(work).0[0].members;
        assert!(members.contains(&Demand::Refused(DeviceId::new("K4"))), "{members:?}");
        assert_eq!(members.len(), 5, "the limit, the refusal, three doors: {members:?}");
    });
}

#[test]
fn a_proof_that_is_stopped_leaves_the_opening_unexplained_and_those_like_it_are_not_tried_again() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(1);
    for door in 0..20 {
        scene.opening(&format!("D-{door:02}"), "S0", 10.0, 0.0);
    }
    with_clashes(&scene, BTreeMap::new(), |clashes, work| {
        assert_eq!(clashes.prove(work).1, Vec::<usize>::new());
        let mut n_asked = 0;
        let mut hear = |_: crate::Step| {
            n_asked += 1;
            std::ops::ControlFlow::Break(())
        };
        let mut watch = crate::Watch::new(&mut hear);
        let (proofs, unexplained) = clashes.prove(&mut Work::new(Level::Normal, &mut watch));
        assert_eq!((proofs.len(), unexplained.len()), (0, 16));
        assert!(n_asked < 10, "{n_asked} questions for 16 openings of one kind");
    });
}

#[test]
fn three_hundred_doors_pinned_to_a_room_for_two_controllers_are_told_of_once() {
    let mut scene = Scene::new();
    scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(2);
    scene.room("TR-2", "S0", 30.0, 0.0);
    for door in 0..300 {
        scene.opening(&format!("D-{door:03}"), "S0", 10.0, 0.0);
        scene.pin(&format!("D-{door:03}"), "TR-1");
    }
    scene.survey.settings.spare_percent = 20;
    let (placement, raised) = scene.place(false);
    assert_eq!(raised, ["PLC-003"]);
    assert_eq!((placement.served.len(), placement.clashes.len()), (6, 1));
    let clash = &placement.clashes[0];
    assert_eq!((clash.unserved.len(), clash.demands.len()), (294, 4));
    assert!(clash.is_irreducible);
    assert_eq!(
        clash.headline,
        "TR-1 holds at most 2 controllers, 20 % of the ports stay free, room by room: place for 6 of the 7 openings \
         pinned or bound there"
    );
    assert_eq!(clash.demands[2].way_out.split(':').next(), Some("Lower `spare_percent` of the policy from 20 to 10"));
}
