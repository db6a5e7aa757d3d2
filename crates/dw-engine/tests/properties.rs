//! Properties of whole designs, on generated sites: same job same bytes, order changes nothing, books balance.

#![allow(clippy::unwrap_used, clippy::disallowed_methods)]

#[path = "../benches/site/mod.rs"]
mod site;

use std::fs;
use std::path::{Path, PathBuf};

use dw_core::Sink;
use dw_engine::{Design, Options, design};
use dw_job::model::Opening;
use dw_job::{Catalogue, Document, Job, Profile};

fn documents(folder: &str) -> Vec<Document> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data").join(folder);
    let mut paths: Vec<PathBuf> = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.retain(|path| path.extension().is_some_and(|extension| extension == "toml"));
    paths.sort();
    paths
        .into_iter()
        .map(|path| Document { name: path.display().to_string(), bytes: fs::read(&path).unwrap() })
        .collect()
}

fn designed(job: &Job) -> Design {
    let (catalogue, _) = Catalogue::read(&documents("catalogue"));
    let (profile, _) = Profile::named(Some("uk-eu"), &documents("profiles"));
    design(job, &catalogue, &profile, Sink::default(), Options::default(), &mut |_| {})
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
