//! The pass as a whole.

use super::testing::*;

#[test]
fn every_rule_has_its_own_code_and_a_full_page() {
    let codes: std::collections::BTreeSet<&str> = super::rules::RULES.iter().map(|rule| rule.code).collect();
    assert_eq!(codes.len(), super::rules::RULES.len());
    for rule in super::rules::RULES {
        assert!(rule.code.starts_with("EQP-"));
        for heading in ["What it checks", "Why it matters", "Basis", "Example", "What to do"] {
            assert!(rule.page.contains(&format!("## {heading}\n")), "{} lacks \"{heading}\"", rule.code);
        }
    }
}

#[test]
fn an_ordinary_door_gets_everything_without_a_stop() {
    let outcome = door(&[]);
    let equipped = &outcome.equipment.openings[0];
    assert_eq!(outcome.device(Role::Lock), "STRIKE");
    assert_eq!(equipped.fail_mode, Some(FailMode::Secure));
    assert!(matches!(&equipped.control, ControlNeed::Ports { ports: 1, models } if models.len() == 2));
    let stops = outcome.findings.iter().filter(|finding| finding.severity == dw_core::Severity::Stop).count();
    assert_eq!(stops, 0, "{:#?}", outcome.findings);
    assert_eq!(equipped.action.normal, "Card to enter; inside handle always free");
}

#[test]
fn openings_in_the_same_situation_share_one_choice() {
    let outcome = run(&format!(
        "{}\n{}",
        site(),
        opening("D-1", &[]) + &opening("D-2", &[]) + &opening("D-3", &[("door.fire_rating_min", "30")])
    ));
    let [first, second, third] = &outcome.equipment.openings[..] else { panic!("three openings") };
    let shared = |a: &super::Equipped, b: &super::Equipped| {
        a.choices.iter().zip(&b.choices).filter(|(a, b)| std::sync::Arc::ptr_eq(a, b)).count()
    };
    assert_eq!(shared(first, second), first.choices.len());
    assert!(shared(first, third) < first.choices.len(), "another fire rating is another lock");
}

#[test]
fn the_choice_keeps_runner_up_cost_and_every_exclusion() {
    let outcome = door(&[]);
    let choices = &outcome.equipment.openings[0].choices;
    let lock = choices.iter().find(|choice| choice.role == Role::Lock).expect("a lock was chosen");
    assert_eq!(lock.runner_up.as_ref().map(|next| next.device.to_string()).as_deref(), Some("STRIKE-24"));
    assert!(lock.runner_up.as_ref().is_some_and(|next| next.whole_life > lock.whole_life));
    let reason =
        |id: &str| lock.excluded.iter().find(|one| dw_core::Id::text(&one.device) == id).map(|one| one.reason.clone());
    assert!(reason("MORTISE").is_some_and(|why| why.contains("mortise")));
    assert!(reason("MAGNET").is_some_and(|why| why.contains("holds people on a way of escape")));
    // The four strikes for single leaves fit; every other lock has its reason, in the order of ids.
    let excluded: Vec<String> = lock.excluded.iter().map(|one| one.device.to_string()).collect();
    assert_eq!(excluded, ["BAR", "BAR-SOLENOID", "MAGNET", "MORTISE", "STRIKE-PAIR"]);
}

#[test]
fn the_shown_whole_life_cost_follows_its_formula() {
    let outcome = door(&[]);
    let working =
        outcome.workings.iter().find(|one| one.figure.path() == "opening/D-1/lock_whole_life").expect("shown");
    // STRIKE: 90.00, life 10 years over the ten years counted: never replaced, nothing beside it.
    assert_eq!(working.value.to_string(), "90.00");
    assert!(working.formula.contains("replacements"));
}

#[test]
fn a_search_shows_its_false_matches() {
    let outcome = door(&[("proof.demanded", "[\"finger\"]")]);
    assert_eq!(outcome.device(Role::ReaderIn), "FINGER");
    let working = outcome.workings.iter().find(|one| one.figure.path() == "opening/D-1/false_match").expect("shown");
    // 1 - (1 - 1e-6)^100 = 9.99950e-5 (recomputed).
    assert!(matches!(working.value, dw_core::InputValue::Number(chance) if (chance - 9.9995e-5).abs() < 1e-9));
    assert!(
        matches!(&outcome.equipment.openings[0].control, ControlNeed::Ports { models, .. } if models.len() == 1),
        "only one matches fingers"
    );
}

#[test]
fn a_policy_of_network_only_leaves_units_that_decide() {
    let outcome = with("[policy]\ntransport = [\"network\"]", &[]);
    let equipped = &outcome.equipment.openings[0];
    assert!(matches!(&equipped.control, ControlNeed::OwnUnit { .. }), "{:?}", equipped.control);
    assert_eq!(outcome.device(Role::Splitter), "SPLIT");
    assert_eq!(equipped.cables[0].cores.len(), 8, "one network cable comes first");
}

#[test]
fn a_refused_device_is_never_chosen() {
    let outcome = with("[policy]\nrefused_devices = [\"BUS\", \"STRIKE\"]", &[]);
    assert_ne!(outcome.device(Role::ReaderIn), "BUS");
    assert_eq!(outcome.device(Role::Lock), "STRIKE-24");
}

#[test]
fn a_lock_that_holds_gets_a_sensor_when_the_survey_names_no_exit_request() {
    let outcome = door(&[MAGNET_ONLY, ("escape", "\"exit\""), ("exit_request", "\"none\"")]);
    assert_eq!(outcome.device(Role::ExitRequest), "SENSOR");
    assert!(outcome.assumptions.iter().any(|one| one.value == "sensor"));
    assert!(outcome.the("EQP-004").headline.contains("1 of 4"), "{:?}", outcome.findings);
}

#[test]
fn an_opening_that_is_only_watched_takes_a_port_and_no_lock() {
    let outcome = door(&[("proof.factors_in", "0")]);
    let equipped = &outcome.equipment.openings[0];
    assert_eq!(outcome.device(Role::Lock), "nothing");
    assert_eq!(outcome.device(Role::DoorContact), "CONTACT");
    assert!(matches!(&equipped.control, ControlNeed::Ports { ports: 1, models } if models.len() == 2));
    assert_eq!(equipped.action.normal, "Not locked by this system; its position is watched");
}

#[test]
fn more_tampers_than_inputs_bring_an_expander() {
    let outcome = door(&[("monitoring.tampers", "6")]);
    assert_eq!(outcome.device(Role::Other), "MORE-INPUTS");
    assert_eq!(door(&[("monitoring.tampers", "2")]).device(Role::Other), "nothing", "exactly the four inputs");
}

#[test]
fn reading_both_ways_takes_two_readers_of_one_controller() {
    let outcome = door(&[("escape", "\"none\""), ("proof.factors_out", "1")]);
    let equipped = &outcome.equipment.openings[0];
    assert!(equipped.in_role(Role::ReaderIn).is_some() && equipped.in_role(Role::ReaderOut).is_some());
    let lines = equipped.cables.iter().filter(|cable| cable.purpose == dw_job::catalogue::CableUse::Reader).count();
    assert_eq!(lines, 2);
}

#[test]
fn a_magnet_for_single_leaves_is_fitted_on_both_leaves_of_a_pair() {
    let settled = [("kind", "\"pair\""), MAGNET_ONLY, ("escape", "\"none\"")];
    let outcome = door(&settled);
    let lock = outcome.equipment.openings[0].in_role(Role::Lock).expect("a lock");
    assert_eq!((lock.device.to_string().as_str(), lock.count), ("MAGNET", 2));
}

#[test]
fn a_pinned_unit_as_controller_decides_by_itself() {
    let outcome = pinned(&[], "controller = \"UNIT\"");
    assert!(
        matches!(&outcome.equipment.openings[0].control, ControlNeed::OwnUnit { unit } if unit.to_string() == "UNIT")
    );
}

#[test]
fn a_pinned_controller_is_the_only_model() {
    let outcome = pinned(&[], "controller = \"CTL\"");
    assert!(matches!(&outcome.equipment.openings[0].control, ControlNeed::Ports { models, .. } if models.len() == 1));
}

#[test]
fn an_empty_catalogue_gives_findings_and_no_devices() {
    let (job, _) = dw_job::Job::read(&[dw_job::Document {
        name: dw_job::JOB_FILE.to_owned(),
        bytes: format!("{}\n{}", site(), opening("D-1", &[])).into_bytes(),
    }]);
    let (catalogue, profile) = (dw_job::Catalogue::default(), dw_job::Profile::default());
    let mut cx = crate::Cx::new(&catalogue, &profile);
    let survey = crate::survey::survey(&mut cx, &job);
    let equipment = super::equip(&cx, &job, &survey).usual(&mut cx, &job, &survey);
    super::verify(&mut cx, &survey, &equipment);
    assert!(equipment.openings[0].devices.is_empty());
    assert!(cx.sink.findings.iter().any(|finding| finding.code == "EQP-001"));
    assert!(cx.sink.findings.iter().all(|finding| !finding.code.starts_with("EQP-9")), "{:#?}", cx.sink.findings);
}

#[test]
fn equal_cost_is_decided_by_the_device_id() {
    // COOL and COOLER cost the same; with every other reader of cards refused the first by id is chosen.
    let refused = "[policy]\nrefused_devices = [\"BUS\", \"CARD-IN\", \"CARD-OUT\", \"KEYPAD\", \"STEEL\", \"FINGER\", \"COARSE\", \"UNIT\", \"FACE\"]";
    let outcome = with(refused, &[]);
    assert_eq!(outcome.device(Role::ReaderIn), "COOL");
    let reader =
        outcome.equipment.openings[0].choices.iter().find(|choice| choice.role == Role::ReaderIn).expect("read");
    assert!(
        reader
            .runner_up
            .as_ref()
            .is_some_and(|next| next.device.to_string() == "COOLER" && next.whole_life == reader.whole_life)
    );
}

#[test]
fn a_pin_keeps_the_best_other_device_as_runner_up() {
    let outcome = pinned(&[], "reader = \"KEYPAD\"");
    let reader =
        outcome.equipment.openings[0].choices.iter().find(|choice| choice.role == Role::ReaderIn).expect("read");
    assert!(reader.pinned && reader.runner_up.as_ref().is_some_and(|next| next.device.to_string() == "BUS"));
}

#[test]
fn a_barrier_without_a_reader_may_sit_on_a_gate_controller() {
    let edits =
        [("kind", "\"vehicle-barrier\""), ("proof.factors_in", "0"), ("exit_request", ""), ("escape", "\"none\"")];
    let outcome = door(&edits);
    let ControlNeed::Ports { models, .. } = &outcome.equipment.openings[0].control else { panic!("ports") };
    let gate = |id: &str| models.contains(&DeviceId::new(id));
    assert!(gate("CTL") && gate("CTL-GATE"), "{models:?}");
    let at_door = door(&[]);
    let ControlNeed::Ports { models, .. } = &at_door.equipment.openings[0].control else { panic!("ports") };
    assert!(!models.contains(&DeviceId::new("CTL-GATE")));
}
