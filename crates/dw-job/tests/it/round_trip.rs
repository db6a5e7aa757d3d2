//! Reading what was written gives the same job.

use std::collections::BTreeSet;

use dw_job::{JOB_FILE, Job};
use proptest::prelude::*;
use serde_json::Value as Json;

use crate::helpers::{example, file, lines, read, tables};

/// Writes a job, reads it again and compares every table.
#[track_caller]
fn comes_back(job: &Job) {
    let written = job.to_document();
    let (again, sink) = Job::read(&[file(JOB_FILE, &written)]);
    assert_eq!(lines(&sink).into_iter().filter(|line| !line.starts_with("JOB-005")).collect::<Vec<_>>(), [""; 0]);
    assert_eq!(tables(&again), tables(job));
    assert_eq!(again.to_document(), written);
}

#[test]
fn the_examples_come_back_the_same() {
    for name in ["ferry-terminal", "one-door"] {
        comes_back(&Job::read(&example(name)).0);
    }
}

#[test]
fn an_empty_job_comes_back_the_same() {
    comes_back(&Job::default());
}

#[test]
fn every_field_of_every_record_comes_back_the_same() {
    let text = every_field();
    let (job, sink) = read(&text);
    assert_eq!(lines(&sink).into_iter().filter(|line| !line.starts_with("JOB-005")).collect::<Vec<_>>(), [""; 0]);
    let written = job.to_document();
    let keys = |text: &str| {
        let keys = text.lines().filter_map(|line| line.split_once(" = "));
        let mut keys: Vec<String> = keys.map(|(key, _)| key.rsplit('.').next().unwrap_or(key).to_owned()).collect();
        keys.sort();
        keys
    };
    let format = ["format".to_owned()];
    let mut expected = [keys(&text).as_slice(), &format].concat();
    expected.sort();
    assert_eq!(keys(&written), expected, "every key is written, each in the unit we write");
    comes_back(&job);
}

/// A job in which every field of the schema holds something, in the unit we write.
fn every_field() -> String {
    let schema = Job::json_schema();
    let mut lines = Vec::new();
    for (table, shape) in properties(&schema) {
        if let Some(item) = shape.get("items") {
            lines.push(format!("[[{table}]]"));
            fill(item, "", &mut lines);
        } else if shape["type"] == "object" {
            lines.push(format!("[{table}]"));
            fill(shape, "", &mut lines);
        }
    }
    lines.join("\n")
}

fn fill(shape: &Json, prefix: &str, lines: &mut Vec<String>) {
    let mut measured = BTreeSet::new();
    for (key, field) in properties(shape) {
        if field["type"] == "object" {
            fill(field, &format!("{prefix}{key}."), lines);
        } else if !is_quantity(field) || measured.insert((stem(key), field["description"].to_string())) {
            lines.push(format!("{prefix}{key} = {}", example_of(key, field)));
        }
    }
}

fn properties(shape: &Json) -> impl Iterator<Item = (&String, &Json)> {
    shape["properties"].as_object().into_iter().flatten()
}

/// Numbers without a least value are quantities; each of them stands once, under the first of its units.
fn is_quantity(field: &Json) -> bool {
    field["type"] == "number" && field.get("minimum").is_none()
}

fn stem(key: &str) -> &str {
    key.rsplit_once('_').map_or(key, |(stem, _)| stem)
}

fn example_of(key: &str, field: &Json) -> String {
    match field["type"].as_str() {
        _ if field["enum"].is_array() => field["enum"][0].to_string(),
        _ if field["pattern"].is_string() => "\"EUR\"".to_owned(),
        Some("array") if field["items"]["enum"].is_array() => format!("[{}]", field["items"]["enum"][0]),
        Some("array") if field["items"]["type"] == "integer" => "[1, 2]".to_owned(),
        Some("array") => "[\"one\", \"two; three\"]".to_owned(),
        Some("boolean") => "true".to_owned(),
        Some("integer") => field["maximum"].as_f64().unwrap_or(7.0).min(7.0).to_string(),
        // Short enough for the thickness of a leaf, wide enough for a door.
        Some("number") if key.ends_with("_m") => "0.45".to_owned(),
        Some("number") => field["maximum"].as_f64().unwrap_or(12.34).min(12.34).to_string(),
        _ if ["date", "due"].contains(&key) => "\"2026-11-25\"".to_owned(),
        _ if key.contains("price") => "12.34".to_owned(),
        _ if key == "locale" => "\"en-GB\"".to_owned(),
        _ if ["until", "shift_start", "shift_end"].contains(&key) => "\"06:50\"".to_owned(),
        // A time of a schedule, or a space named so.
        _ if key == "from" => "\"06:00\"".to_owned(),
        _ => format!("\"{key}\""),
    }
}

proptest! {
    #[test]
    fn any_texts_numbers_and_lists_come_back_the_same(
        mark in "[^\\p{C}\\s][^\\p{C}]{0,8}",
        notes in any::<String>(),
        exclusions in proptest::collection::vec(any::<String>(), 0..4),
        x in -1e9..1e9_f64,
        width in 0.3..20.0_f64,
        celsius in -90.0..120.0_f64,
        share in 0.0..90.0_f64,
        load in 0..=10_000_000_u32,
        fire in any::<Option<bool>>(),
    ) {
        let mut job = Job::default();
        job.heading.exclusions = exclusions;
        job.policy.spare_percent = Some(share);
        let mut opening = dw_job::model::Opening::new(mark.trim());
        opening.notes = Some(notes);
        opening.x = dw_core::Metres::try_new(x);
        opening.door.clear_width = dw_core::Metres::try_new(width);
        opening.occupant_load = Some(load);
        opening.fire_release = fire;
        job.openings.push(opening);
        let mut room = dw_job::model::Room::new("TR");
        room.temperature_min = dw_core::Celsius::try_new(celsius);
        job.rooms.push(room);
        comes_back(&job);
    }
}
