//! The example jobs read as their README files say.

use std::collections::BTreeSet;

use dw_core::DeviceId;
use dw_job::model::{EscapeDuty, Exposure, Factor, Keep, OpeningKind, Status, WorkKind};
use dw_job::{Catalogue, Job};

use crate::helpers::{demo_catalogue, example, lines};

#[test]
fn the_smallest_job_reads_without_a_finding() {
    let (job, sink) = Job::read(&example("one-door"));
    assert_eq!(lines(&sink), [""; 0]);
    assert_eq!((job.storeys.len(), job.rooms.len(), job.openings.len()), (1, 1, 1));
}

#[test]
fn the_ferry_terminal_reads_with_its_one_mistyped_title() {
    let (job, sink) = Job::read(&example("ferry-terminal"));
    assert_eq!(
        lines(&sink),
        ["JOB-001 openings.csv row 18 column \"door.celing_access\": nothing is known under \"celing_access\" \
          | Did you mean \"ceiling_access\"?"]
    );
    assert_eq!(job.openings.len(), 53);
    assert_eq!(job.rooms.len(), 6);
}

#[test]
fn the_ferry_terminal_touches_every_kind_of_opening_work_exposure_and_decision() {
    let (job, _) = Job::read(&example("ferry-terminal"));
    let kinds: BTreeSet<OpeningKind> = job.openings.iter().filter_map(|opening| opening.kind).collect();
    assert_eq!(kinds.len(), OpeningKind::ALL.len());
    let works: BTreeSet<WorkKind> = job.openings.iter().filter_map(|opening| opening.work).collect();
    assert_eq!(works.len(), WorkKind::ALL.len());
    let exposures: BTreeSet<Exposure> = job.openings.iter().flat_map(|opening| opening.exposure.clone()).collect();
    assert_eq!(exposures.len(), Exposure::ALL.len());
    let decisions: BTreeSet<Keep> = job.existing.iter().filter_map(|item| item.decision).collect();
    assert_eq!(decisions.len(), Keep::ALL.len());
    assert!(job.openings.iter().any(|opening| opening.escape == Some(EscapeDuty::Exit)));
    assert!(job.openings.iter().any(|opening| opening.existing_cable.cores == Some(4)));
    assert!(job.openings.iter().any(|opening| opening.proof.demanded.contains(&Factor::Plate)));
    assert!(job.zones.iter().any(|zone| zone.level == Some(4)));
}

#[test]
fn the_trouble_the_readme_of_the_ferry_terminal_promises_is_in_the_survey() {
    let (job, _) = Job::read(&example("ferry-terminal"));
    let opening = |mark: &str| job.openings.iter().find(|opening| opening.mark.to_string() == mark).expect("the mark");
    for mark in ["V-401", "B-403", "B-404"] {
        assert_eq!(opening(mark).works.mains_spur.all, None, "{mark}");
    }
    for mark in ["D-203", "D-304", "G-203"] {
        assert_eq!(opening(mark).status, Some(Status::Surveyed), "{mark}");
    }
    assert_eq!(opening("D-109").door.latches_unaided, Some(false));
    assert_eq!(opening("D-124").door.preparation, None);
    assert_eq!(opening("D-104").fire_release, Some(false));
    let overdue = job.questions.iter().filter(|q| q.answer.is_none() && q.due < job.heading.date);
    assert_eq!(overdue.map(|question| question.id.to_string()).collect::<Vec<_>>(), ["Q-1"]);
    let room = job.rooms.iter().find(|room| room.id.to_string() == "TR-G").expect("the gatehouse");
    assert_eq!(room.network_ports, Some(1));
}

#[test]
fn every_device_the_examples_name_is_in_the_demo_catalogue() {
    let (catalogue, _) = Catalogue::read(&demo_catalogue());
    for name in ["ferry-terminal", "one-door"] {
        let (job, _) = Job::read(&example(name));
        let pinned = job.pins.iter().flat_map(|pin| [&pin.reader, &pin.controller, &pin.lock]).flatten();
        let bought = job.extras.iter().filter_map(|extra| extra.device.as_ref());
        let there = job.existing.iter().filter_map(|item| item.device.as_ref());
        let missing: Vec<&DeviceId> =
            pinned.chain(bought).chain(there).filter(|id| !catalogue.devices.contains_key(id)).collect();
        assert_eq!(missing, [] as [&DeviceId; 0], "{name}");
    }
}

#[test]
fn cable_ways_of_the_ferry_terminal_meet_at_common_ends_and_only_the_pump_house_stands_alone() {
    let (job, _) = Job::read(&example("ferry-terminal"));
    let end = |storey: &Option<dw_core::StoreyId>, x: Option<dw_core::Metres>, y: Option<dw_core::Metres>| {
        format!("{storey:?} {x:?} {y:?}")
    };
    let mut reached = BTreeSet::from([end(
        &Some(dw_core::StoreyId::new("T0")),
        Some(dw_core::Metres::new(74.0)),
        Some(dw_core::Metres::new(18.0)),
    )]);
    for _ in 0..job.cable_ways.len() {
        for way in job.cable_ways.iter().filter(|way| way.blocked != Some(true)) {
            let ends = [
                end(&way.storey, way.x1, way.y1),
                end(if way.to_storey.is_some() { &way.to_storey } else { &way.storey }, way.x2, way.y2),
            ];
            if ends.iter().any(|end| reached.contains(end)) {
                reached.extend(ends);
            }
        }
    }
    let cut_off: Vec<String> = job
        .cable_ways
        .iter()
        .filter(|way| way.blocked != Some(true) && !reached.contains(&end(&way.storey, way.x1, way.y1)))
        .map(|way| way.id.to_string())
        .collect();
    assert_eq!(cut_off, ["P0-1", "P0-2", "P0-3"]);
}
