use dw_core::{Finding, OpeningId, Severity};
use dw_job::model::{EscapeDuty, Exposure};
use dw_job::{Catalogue, Document, JOB_FILE, Job, Profile};

use super::*;
use crate::Cx;

/// Surveys a job written as text; the text must read without findings.
fn check(text: &str) -> (Survey, Vec<Finding>, Vec<dw_core::Assumption>) {
    let (job, read) = Job::read(&[Document { name: JOB_FILE.to_owned(), bytes: text.as_bytes().to_vec() }]);
    assert_eq!(read.findings, [], "the test's own job must be lawful");
    let (catalogue, profile) = (Catalogue::default(), Profile::default());
    let mut cx = Cx::new(&catalogue, &profile);
    let survey = survey(&mut cx, &job);
    verify(&mut cx, &job, &survey);
    (survey, cx.sink.findings, cx.sink.assumptions)
}

const SITE: &str = r#"
[policy.works]
lock.all = "installer"
closer.all = "joiner"
containment.all = "electrician"
fire_contact.all = "fire alarm contractor"
network_port.all = "customer"
[[storey]]
id = "L0"
[[zone]]
id = "staff"
level = 2
[[space]]
id = "hall"
[[space]]
id = "office"
zone = "staff"
[[group]]
id = "crew"
head_count = 40
passages_per_day = 5
soiled_percent = 50
[[group]]
id = "clerks"
head_count = 10
passages_per_day = 4
[[right]]
group = "crew"
zone = "staff"
[[right]]
group = "clerks"
zone = "staff"
[[room]]
id = "TR-9"
storey = "L0"
x_m = 0
y_m = 0
mains = true
"#;

const DOOR: &str = r#"
[[opening]]
mark = "D-1"
storey = "L0"
x_m = 2
y_m = 3
kind = "single"
from = "hall"
to = "office"
escape = "route"
work = "new"
exposure = ["indoors"]
exit_request = "sensor"
proof.place = "wall-box"
door.fire_rating_min = 30
"#;

fn codes(findings: &[Finding]) -> Vec<&'static str> {
    findings.iter().map(|finding| finding.code).collect()
}

#[test]
fn a_full_survey_raises_nothing_and_the_zone_decides_the_factors() {
    let (survey, findings, assumptions) = check(&format!("{SITE}{DOOR}"));
    assert_eq!(codes(&findings), [] as [&str; 0]);
    let door = survey.opening(&OpeningId::new("D-1")).unwrap();
    assert_eq!((door.factors_in, door.to_level, door.from_level), (1, 2, 1));
    assert!(assumptions.iter().all(|assumption| assumption.place.kind != "opening"), "{assumptions:?}");
}

#[test]
fn people_of_all_groups_with_a_right_are_counted_with_growth_and_mixed_hands() {
    let (survey, ..) = check(&format!("{SITE}{DOOR}"));
    let users = &survey.openings[0].users;
    assert_eq!((users.today, users.planned), (50, 44 + 11));
    assert!((users.soiled_share - 0.4).abs() < 1e-12);
    assert!((users.passages_per_day - 240.0).abs() < 1e-9);
}

#[test]
fn a_door_without_its_part_in_escape_counts_as_a_way_out_and_is_told() {
    let (survey, findings, _) = check(&format!("{SITE}{}", DOOR.replace("escape = \"route\"\n", "")));
    assert_eq!(codes(&findings), ["SUR-003"]);
    assert_eq!(survey.openings[0].escape, EscapeDuty::Route);
}

#[test]
fn an_exit_without_an_occupant_load_is_told_and_one_with_it_is_not() {
    let exit = DOOR.replace("escape = \"route\"", "escape = \"exit\"");
    assert_eq!(codes(&check(&format!("{SITE}{exit}")).1), ["SUR-004"]);
    assert_eq!(
        codes(&check(&format!("{SITE}{exit}occupant_load = 12\n").replace("occupant_load = 12\n", "")).1),
        ["SUR-004"]
    );
    let loaded = exit.replace("work = \"new\"", "work = \"new\"\noccupant_load = 12");
    assert_eq!(codes(&check(&format!("{SITE}{loaded}")).1), [] as [&str; 0]);
}

#[test]
fn a_blank_in_the_split_of_works_names_the_item_and_the_work() {
    let site = SITE.replace("fire_contact.all = \"fire alarm contractor\"", "fire_contact.supply = \"installer\"");
    let (_, findings, _) = check(&format!("{site}{DOOR}"));
    assert_eq!(codes(&findings), ["SUR-002"]);
    assert!(findings[0].headline.contains("fit, wire and test the fire contact"), "{}", findings[0].headline);
    assert_eq!(findings[0].severity, Severity::Fix);
}

#[test]
fn a_missing_kind_and_place_are_told_and_the_opening_stays() {
    let door = DOOR.replace("kind = \"single\"\n", "").replace("x_m = 2\n", "");
    let (survey, findings, _) = check(&format!("{SITE}{door}"));
    assert_eq!(codes(&findings), ["SUR-001"]);
    assert_eq!(survey.openings.len(), 1);
}

#[test]
fn a_zone_without_rights_is_told() {
    let site = SITE
        .replace("zone = \"staff\"\n[[right]]", "[[right]]")
        .replace("group = \"clerks\"\nzone = \"staff\"", "group = \"clerks\"");
    assert_eq!(codes(&check(&format!("{site}{DOOR}")).1), ["SUR-005"]);
}

#[test]
fn a_silent_exposure_is_one_assumption_for_all_openings_that_share_it() {
    let silent = DOOR.replace("exposure = [\"indoors\"]\n", "");
    let second = silent.replace("D-1", "D-2");
    let (survey, _, assumptions) = check(&format!("{SITE}{silent}{second}"));
    assert_eq!(survey.openings[1].exposure, [Exposure::Indoors]);
    let listed: Vec<_> = assumptions.iter().filter(|a| a.place.field.as_deref() == Some("exposure")).collect();
    assert_eq!(listed.len(), 1);
    assert_eq!(listed[0].place.id, "D-1, D-2");
}

#[test]
fn rooms_that_bridge_to_each_other_are_cut_and_told() {
    let rooms = "[[room]]\nid = \"A\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\nmains = true\nbridge_from = \"B\"\nbridge_length_m = 10\n\
                 [[room]]\nid = \"B\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\nmains = true\nbridge_from = \"A\"\nbridge_length_m = 10\n\
                 [[room]]\nid = \"C\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\nmains = true\nbridge_from = \"A\"\nbridge_length_m = 10\n";
    let (survey, findings, _) = check(&format!("{SITE}{DOOR}{rooms}"));
    assert_eq!(codes(&findings), ["SUR-008", "SUR-008"]);
    assert!(survey.rooms[0].uplink.is_none() && survey.rooms[2].uplink.is_some());
}

#[test]
fn a_room_without_a_place_is_left_out_and_one_without_word_of_mains_is_told() {
    let rooms = "[[room]]\nid = \"A\"\nstorey = \"L0\"\n[[room]]\nid = \"B\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\n";
    let (survey, findings, _) = check(&format!("{SITE}{DOOR}{rooms}"));
    assert_eq!(codes(&findings), ["SUR-006", "SUR-007"]);
    assert_eq!(survey.rooms.len(), 2);
}

#[test]
fn an_opening_is_orderable_when_approved_and_nothing_is_asked_about_it() {
    let approved = DOOR.replace("work = \"new\"", "work = \"new\"\nstatus = \"approved\"");
    assert!(check(&format!("{SITE}{approved}")).0.openings[0].orderable);
    assert!(!check(&format!("{SITE}{DOOR}")).0.openings[0].orderable);
    let asked = "[[question]]\nid = \"1\"\nopening = \"D-1\"\ntext = \"Which hand?\"\n";
    assert!(!check(&format!("{SITE}{approved}{asked}")).0.openings[0].orderable);
    let answered = asked.replace("text", "answer = \"left\"\ntext");
    assert!(check(&format!("{SITE}{approved}{answered}")).0.openings[0].orderable);
}

#[test]
fn a_device_nobody_knows_is_told_where_it_is_named() {
    let pin = "[[pin]]\nopening = \"D-1\"\nreader = \"R-1\"\n";
    let (_, findings, _) = check(&format!("{SITE}{DOOR}{pin}"));
    assert_eq!(codes(&findings), ["SUR-009"]);
    assert_eq!(findings[0].place.to_string(), "pin 1 reader");
}

#[test]
fn an_empty_job_says_that_there_is_nothing_to_design() {
    assert_eq!(codes(&check("").1), ["SUR-011"]);
}

#[test]
fn one_space_on_both_sides_is_told() {
    let door = DOOR.replace("from = \"hall\"", "from = \"office\"");
    assert_eq!(codes(&check(&format!("{SITE}{door}")).1), ["SUR-010"]);
}

#[test]
fn openings_without_any_usable_telecom_room_are_a_stop() {
    let site = SITE.split("[[room]]").next().unwrap();
    let (_, findings, _) = check(&format!("{site}{DOOR}"));
    assert_eq!(codes(&findings), ["SUR-012"]);
    assert_eq!(findings[0].severity, Severity::Stop);
    assert_eq!(findings[0].headline, "job: no telecom room is given, so none of 1 openings can be served");
    let (_, findings, _) = check(&format!("{site}{DOOR}[[room]]\nid = \"A\"\nstorey = \"L0\"\n"));
    assert_eq!(codes(&findings), ["SUR-006", "SUR-012"]);
}

#[test]
fn pins_that_contradict_are_told_with_both_values_and_pins_that_agree_are_not() {
    let room = "[[room]]\nid = \"A\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\nmains = true\n";
    let pin = |room: &str, mode: &str| format!("[[pin]]\nopening = \"D-1\"\nroom = \"{room}\"\n{mode}");
    let agreeing = format!("{}{}", pin("A", ""), pin("A", "fail_mode = \"fail-safe\"\n"));
    assert_eq!(codes(&check(&format!("{SITE}{DOOR}{room}{agreeing}")).1), [] as [&str; 0]);
    let other = pin("TR-9", "fail_mode = \"fail-secure\"\n");
    let (_, findings, _) = check(&format!("{SITE}{DOOR}{room}{agreeing}{other}"));
    assert_eq!(codes(&findings), ["SUR-013", "SUR-013"]);
    assert!(findings[0].headline.starts_with("D-1 is pinned to room A (job.toml:"), "{}", findings[0].headline);
    assert!(findings[0].headline.contains(" and TR-9 (job.toml:"), "{}", findings[0].headline);
    assert!(findings[1].headline.starts_with("D-1 is pinned to fail mode fail-safe"), "{}", findings[1].headline);
    assert_eq!(findings[0].place.to_string(), "pin 3 room");
}

#[test]
fn a_pin_that_forbids_the_room_another_pin_demands_is_told_and_another_room_is_not() {
    let rooms = "[[room]]\nid = \"A\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\nmains = true\n\
                 [[room]]\nid = \"B\"\nstorey = \"L0\"\nx_m = 5\ny_m = 0\nmains = true\n";
    let pins = |other: &str| {
        format!("[[pin]]\nopening = \"D-1\"\nnot_room = [\"{other}\"]\n[[pin]]\nopening = \"D-1\"\nroom = \"A\"\n")
    };
    assert_eq!(codes(&check(&format!("{SITE}{DOOR}{rooms}{}", pins("B"))).1), [] as [&str; 0]);
    let (_, findings, _) = check(&format!("{SITE}{DOOR}{rooms}{}", pins("A")));
    assert_eq!(codes(&findings), ["SUR-013"]);
    assert!(findings[0].headline.contains(" and not A (job.toml:"), "{}", findings[0].headline);
    assert_eq!(findings[0].place.to_string(), "pin 1 not_room");
}

#[test]
fn an_issued_opening_or_room_that_is_gone_is_a_note() {
    let issued = "[[issued]]\nopening = \"D-1\"\nrevision = \"A\"\nroom = \"TR-9\"\n\
                  [[issued]]\nopening = \"D-120\"\nrevision = \"A\"\nroom = \"TR-5\"\n\
                  [[issued]]\nopening = \"D-121\"\nroom = \"TR-5\"\n";
    let (_, findings, _) = check(&format!("{SITE}{DOOR}{issued}"));
    let headlines: Vec<&str> = findings.iter().map(|finding| finding.headline.as_str()).collect();
    assert_eq!(
        headlines,
        [
            "D-120 of revision A is gone, its port is free",
            "TR-5 of revision A is gone, its openings are served from elsewhere",
            "D-121 of the issued revision is gone, its port is free",
        ]
    );
    assert!(findings.iter().all(|finding| finding.severity == Severity::Note));
}

#[test]
fn a_room_whose_highest_temperature_lies_below_its_lowest_is_told_and_equal_ones_are_not() {
    let room = |min: i32, max: i32| {
        format!(
            "[[room]]\nid = \"A\"\nstorey = \"L0\"\nx_m = 0\ny_m = 0\nmains = true\ntemperature_min_c = {min}\n\
             temperature_max_c = {max}\n"
        )
    };
    let (survey, findings, _) = check(&format!("{SITE}{DOOR}{}", room(35, 10)));
    assert_eq!(codes(&findings), ["SUR-015"]);
    assert_eq!((survey.rooms[0].temperature_min_c.get(), survey.rooms[0].temperature_max_c.get()), (10.0, 30.0));
    assert_eq!(codes(&check(&format!("{SITE}{DOOR}{}", room(20, 20))).1), [] as [&str; 0]);
}
