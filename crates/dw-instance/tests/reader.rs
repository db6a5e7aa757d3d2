//! What the reader accepts, what it refuses and how it says so; no input whatever panics.

#![allow(clippy::unwrap_used, reason = "a test fails by panicking")]

use std::io::Write as _;
use std::sync::LazyLock;

use dw_instance::{Form, MAX_BYTES, read};
use dw_solve::location::{Choice, Customer, price};
use proptest::prelude::*;
use serde_json::{Value, json};

#[path = "../examples/made/mod.rs"]
mod made;

/// Two sites and three customers; money has two decimals, demands have one.
const FACILITY: &str = "2 3\n10 7.50\n4.5 9\n5 4 0.5\n1 2.25 3\n4 5 6\n";

fn packed(text: &str) -> Vec<u8> {
    let mut packer = flate2::write::GzEncoder::new(Vec::new(), flate2::Compression::fast());
    packer.write_all(text.as_bytes()).unwrap();
    packer.finish().unwrap()
}

/// The error of a text that must be refused; it must name all of `parts`.
fn refused(text: &str, parts: &[&str]) {
    let error = read(text.as_bytes()).unwrap_err().to_string();
    for part in parts {
        assert!(error.contains(part), "{error:?} does not name {part:?}");
    }
}

/// A small estate with one field changed.
fn estate_with(pointer: &str, value: Value) -> String {
    let mut estate = made::estate(20, 1, 0);
    *estate.pointer_mut(pointer).unwrap() = value;
    estate.to_string()
}

#[test]
fn a_facility_file_is_scaled_to_whole_numbers_and_answers_in_its_own_unit() {
    let instance = read(FACILITY.as_bytes()).unwrap();
    assert_eq!((instance.form, instance.decimals), (Form::Facility, 2));
    let problem = &instance.problem;
    assert_eq!(problem.sites.iter().map(|site| site.fixed).collect::<Vec<_>>(), [750, 900]);
    assert_eq!(problem.sites[1].limits, [45], "capacities and demands in tenths");
    let first = &problem.customers[0].variants[0];
    assert_eq!((first.ports, first.uses.as_slice()), (0, [50].as_slice()));
    assert_eq!(first.arcs.len(), 1, "5 is more than the second site holds");
    assert_eq!(problem.customers[1].variants[0].arcs[0].cost, 225);
    let assignment = [Some(Choice::first_at(0)), Some(Choice::first_at(1)), None];
    let cost = price(problem, &assignment).unwrap().total();
    assert_eq!(instance.in_words(cost), "22.50");
    assert_eq!(Value::from(instance.number(cost)), json!(22.5));
    assert_eq!(instance.assignment(&assignment), [json!(0), json!(1), Value::Null]);
}

#[test]
fn packed_marked_and_oddly_broken_files_read_like_plain_ones() {
    let plain = read(FACILITY.as_bytes()).unwrap();
    assert_eq!(read(&packed(FACILITY)).unwrap(), plain);
    assert_eq!(read(format!("\u{feff}{FACILITY}").as_bytes()).unwrap(), plain);
    assert_eq!(read(FACILITY.replace('\n', "\r\n\r\n").as_bytes()).unwrap(), plain);
    assert_eq!(read(FACILITY.replace('\n', " ").as_bytes()).unwrap(), plain);
    let estate = made::estate(20, 1, 0);
    let pretty = format!("\n {estate:#}");
    assert_eq!(read(pretty.as_bytes()).unwrap(), read(&packed(&estate.to_string())).unwrap());
}

#[test]
fn every_field_of_an_estate_counts() {
    let base = read(made::estate(20, 1, 0).to_string().as_bytes()).unwrap();
    let changes = [
        ("/rules/cable_cents_per_dm", json!(27)),
        ("/rules/drop_door_dm", json!(31)),
        ("/rules/drop_room_dm", json!(21)),
        ("/rules/level_dm", json!(41)),
        ("/rules/max_dm", json!(300)),
        ("/rules/room_controller_limit", json!(7)),
        ("/rules/room_fixed_cents", json!(1)),
        ("/rules/spare_percent", json!(10)),
        ("/buildings/0/riser/0", json!(0)),
        ("/controllers/0/ports", json!(3)),
        ("/controllers/0/price_cents", json!(1)),
        ("/rooms/0/id", json!("other")),
        ("/rooms/0/l", json!(7)),
        ("/rooms/0/x", json!(0)),
        ("/rooms/0/y", json!(0)),
        ("/openings/0/id", json!("other")),
        ("/openings/0/l", json!(9)),
        ("/openings/0/x", json!(-9)),
        ("/openings/0/y", json!(-9)),
        ("/openings/0/ports", json!(4)),
    ];
    for (pointer, value) in changes {
        let changed = read(estate_with(pointer, value).as_bytes()).unwrap();
        assert_ne!(changed, base, "{pointer} has no effect");
    }
}

#[test]
fn limits_of_enclosures_ports_and_power_become_resources_where_a_room_has_them() {
    let mut estate = made::estate(20, 1, 0);
    assert_eq!(read(estate.to_string().as_bytes()).unwrap().problem.sites[0].limits, [8]);
    estate["rules"]["room_watt_limit"] = json!(100);
    estate["rooms"][1]["enclosure_units"] = json!(5);
    estate["rooms"][1]["fixed_cents"] = json!(12);
    let problem = read(estate.to_string().as_bytes()).unwrap().problem;
    assert_eq!(problem.sites[0].limits, [8, i64::MAX, 100]);
    assert_eq!((problem.sites[1].limits.as_slice(), problem.sites[1].fixed), ([8, 5, 100].as_slice(), 12));
    assert_eq!(problem.families[0].models[2].uses, [1, 2, 30]);
}

#[test]
fn errors_of_a_facility_file_name_line_value_and_remedy() {
    refused("", &["line 1", "ends before the number of sites"]);
    refused("2 3\n10 7,5\n4 9\n5 4 3\n1 2 3\n4 5 6", &["line 2", "the fixed cost of site 0", "\"7,5\"", "point"]);
    refused("2 3\n10 7\n4 9\n5 -4 3\n1 2 3\n4 5 6", &["line 4", "the demand of customer 1 is -4", "0 or more"]);
    refused("2 3\n10 7\n4 9\n5 4 3\n1 2 3\n4 5", &["15 numbers", "there are 14"]);
    refused("2 3\n10 7\n4 9\n5 4 3\n1 2 3\n4 5 6 7", &["15 numbers", "there are 16"]);
    refused("3 3 1\n1 2 5\n2 3 4\n1 3 2", &["p-median"]);
    refused("1.5 3", &["line 1", "the number of sites is 1.5", "whole number"]);
    refused("20000 65000\n1 1", &["1300105002 numbers", "there are 4"]);
    refused("99999999999 3", &["from 1 to 20000"]);
    refused("1 1\n5 1000000000000\n1\n0.001", &["line 2", "1000000000000", "larger unit"]);
    refused("1 1\n5 1e5\n1\n1", &["line 2", "1e5"]);
}

#[test]
fn errors_of_an_estate_name_field_value_and_remedy() {
    refused("{", &["line 1", "no JSON"]);
    refused("[]", &["line 1", "a list where an object"]);
    refused(r#"{"format":1,"placement":{}}"#, &["format", "the design of a job"]);
    refused("{}", &["format", "nothing", "estate-1"]);
    refused(r#"{"format":"estate-9"}"#, &["format", "estate-9"]);
    refused(&estate_with("/units/length", json!("ft")), &["units.length", "\"ft\"", "convert"]);
    refused(&estate_with("/openings/3/ports", json!("two")), &["openings[3].ports", "\"two\"", "whole"]);
    refused(&estate_with("/openings/3/ports", json!(5)), &["openings[3].ports", "5 is outside 1 to 4"]);
    refused(
        &estate_with("/openings/3/x", json!("24")),
        &["openings[3].x", "\"24\"", "where a whole number is expected"],
    );
    refused(&estate_with("/openings/3/id", json!("D2")), &["openings[3].id", "\"D2\" is there twice"]);
    refused(&estate_with("/openings/3/x", json!(1.5)), &["openings[3].x", "1.5"]);
    refused(&estate_with("/openings/3/b", json!(1)), &["openings[3].b", "1 is outside -1 to 0"]);
    refused(&estate_with("/rooms/2/b", json!(-1)), &["rooms[2].b", "-1"]);
    refused(&estate_with("/rooms/2/l", json!(i64::MAX)), &["rooms[2].l"]);
    refused(&estate_with("/rooms/1/id", json!("B1.L0.R1")), &["rooms[1].id", "B1.L0.R1", "twice"]);
    refused(&estate_with("/buildings/0/riser", json!([1])), &["buildings[0].riser"]);
    refused(&estate_with("/rules/max_dm", Value::Null), &["rules.max_dm", "null"]);
    refused(&estate_with("/rules/spare_percent", json!(-1)), &["rules.spare_percent", "-1"]);
    refused(&estate_with("/rules/cable_cents_per_dm", json!(1_000_000_000_000i64)), &["rules.cable_cents_per_dm"]);
    let mut without = made::estate(20, 1, 0);
    without["rules"].as_object_mut().unwrap().remove("level_dm");
    refused(&without.to_string(), &["rules", "level_dm"]);
}

#[test]
fn what_unpacks_to_too_much_is_refused() {
    let bomb = packed(&" ".repeat(MAX_BYTES + 1));
    assert!(bomb.len() < MAX_BYTES / 100);
    assert!(read(&bomb).unwrap_err().to_string().contains("64 MiB"));
    let mut cut = packed(FACILITY);
    cut.truncate(cut.len() / 2);
    assert!(read(&cut).unwrap_err().to_string().contains("gzip"));
}

#[test]
fn a_previous_plan_is_read_back_and_one_for_another_file_is_refused() {
    let instance = read(made::estate(20, 1, 0).to_string().as_bytes()).unwrap();
    let mut before = vec![Some(Choice::first_at(1)); 20];
    before[3] = None;
    let plan = json!({ "cost": 1, "assignment": instance.assignment(&before) });
    assert_eq!(instance.start(plan.to_string().as_bytes()).unwrap(), before);
    let gone = json!({ "assignment": vec!["no such room"; 20] });
    assert_eq!(instance.start(gone.to_string().as_bytes()).unwrap(), vec![None; 20]);
    let short = json!({ "assignment": ["B1.L0.R1"] });
    let error = instance.start(short.to_string().as_bytes()).unwrap_err().to_string();
    assert!(error.contains("1 entries") && error.contains("20"), "{error}");
    assert!(instance.start(b"[1").is_err());
}

static ESTATE: LazyLock<String> = LazyLock::new(|| made::estate(20, 1, 0).to_string());

/// Reading never panics, and what is read fits together.
fn reads_or_says_why(bytes: &[u8]) {
    match read(bytes) {
        Ok(instance) => {
            assert_eq!(instance.problem.customers.len(), instance.customers.len());
            assert_eq!(instance.problem.sites.len(), instance.sites.len());
            let mut sites = instance.problem.customers.iter().flat_map(Customer::sites);
            assert!(sites.all(|site| site < instance.sites.len()));
        }
        Err(error) => assert!(!error.what.is_empty() && !error.remedy.is_empty()),
    }
}

proptest! {
    #[test]
    fn no_bytes_panic(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        reads_or_says_why(&bytes);
    }

    #[test]
    fn no_text_of_numbers_panics(text in "[0-9 .\n+-]{0,200}") {
        reads_or_says_why(text.as_bytes());
    }

    #[test]
    fn no_changed_file_panics(
        form in 0usize..3,
        changes in prop::collection::vec((any::<prop::sample::Index>(), any::<u8>(), 0u8..3), 1..8),
    ) {
        let whole = [ESTATE.clone().into_bytes(), FACILITY.as_bytes().to_vec(), packed(FACILITY)];
        let mut bytes = whole[form].clone();
        for (at, byte, how) in changes {
            let at = at.index(bytes.len());
            match how {
                0 => bytes[at] = byte,
                1 => bytes.insert(at, byte),
                _ => {
                    bytes.remove(at);
                }
            }
        }
        reads_or_says_why(&bytes);
    }

    #[test]
    fn no_extreme_number_in_a_field_panics(
        pointer in prop::sample::select(vec![
            "/rules/cable_cents_per_dm", "/rules/drop_door_dm", "/rules/level_dm", "/rules/max_dm", "/rules/spare_percent",
            "/rules/room_fixed_cents", "/rules/room_controller_limit", "/buildings/0/riser/1", "/controllers/1/ports",
            "/controllers/1/price_cents", "/rooms/1/b", "/rooms/1/l", "/rooms/1/x", "/openings/1/b", "/openings/1/l",
            "/openings/1/y", "/openings/1/ports",
        ]),
        value in prop_oneof![any::<i64>(), -3i64..3, Just(i64::MAX), Just(i64::MIN), Just(10_000_000)],
    ) {
        reads_or_says_why(estate_with(pointer, json!(value)).as_bytes());
    }
}
