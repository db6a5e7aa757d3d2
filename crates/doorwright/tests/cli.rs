//! The built program as a person runs it: exit codes, output, files written.

#![allow(clippy::unwrap_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value as Json;
use tempfile::TempDir;

fn doorwright(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_doorwright")).args(arguments).output().unwrap()
}

fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).unwrap()
}

fn json(output: &Output) -> Json {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|error| panic!("{error}: {}", stdout(output)))
}

fn example(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../examples").join(name)
}

/// A copy of an example that a test may edit.
fn copy_of(name: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    for entry in fs::read_dir(example(name)).unwrap() {
        let path = entry.unwrap().path();
        fs::copy(&path, folder.path().join(path.file_name().unwrap())).unwrap();
    }
    folder
}

fn text(path: &Path) -> &str {
    path.to_str().unwrap()
}

#[test]
fn the_demo_writes_job_design_and_papers_the_same_bytes_each_time() {
    let (first, second) = (TempDir::new().unwrap(), TempDir::new().unwrap());
    for folder in [&first, &second] {
        let output = doorwright(&["demo", "--out", text(folder.path())]);
        assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
        assert!(stdout(&output).contains("stop"), "the demo shows honest trouble");
    }
    let mut names: Vec<String> =
        fs::read_dir(&first).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    for wanted in [
        "binder.pdf",
        "bill-of-materials.csv",
        "design.json",
        "job",
        "opening-schedule.pdf",
        "proposal.pdf",
        "schedules.xlsx",
    ] {
        assert!(names.iter().any(|name| name == wanted), "{wanted} is missing from {names:?}");
    }
    for name in names.iter().filter(|name| *name != "job") {
        let read = |folder: &TempDir| fs::read(folder.path().join(name)).unwrap();
        assert!(!read(&first).is_empty() && read(&first) == read(&second), "{name} differs between two runs");
    }
    let again = doorwright(&["check", text(&first.path().join("job"))]);
    assert_eq!(again.status.code(), Some(1), "the demo job has stop findings: {}", stderr(&again));
}

#[test]
fn the_design_as_json_keeps_to_its_schema() {
    let folder = TempDir::new().unwrap();
    let output = doorwright(&["design", text(&example("one-door")), "--out", text(folder.path())]);
    assert!(output.status.code().is_some_and(|code| code < 2), "{}", stderr(&output));
    let design: Json = serde_json::from_slice(&fs::read(folder.path().join("design.json")).unwrap()).unwrap();
    let schema = json(&doorwright(&["schema", "design"]));
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator.iter_errors(&design).map(|error| error.to_string()).collect();
    assert_eq!(faults, [] as [&str; 0]);
    let mut broken = design;
    broken["price"]["net"] = Json::from(12);
    assert!(!validator.is_valid(&broken), "money is a decimal string");
}

#[test]
fn every_document_has_a_schema_that_is_itself_lawful() {
    for document in ["job", "catalogue", "profile", "design"] {
        let schema = json(&doorwright(&["schema", document]));
        assert!(jsonschema::validator_for(&schema).is_ok(), "{document}");
    }
}

#[test]
fn a_new_job_checks_without_stops_and_is_not_overwritten() {
    let folder = TempDir::new().unwrap();
    let job = folder.path().join("my-job");
    assert_eq!(doorwright(&["new", text(&job)]).status.code(), Some(0));
    let check = doorwright(&["check", text(&job)]);
    assert_eq!(check.status.code(), Some(0), "{}", stdout(&check));
    let again = doorwright(&["new", text(&job)]);
    assert_eq!(again.status.code(), Some(2));
    assert!(stderr(&again).contains("was not touched"), "{}", stderr(&again));
}

#[test]
fn a_finding_and_a_figure_are_explained_and_a_slip_is_answered_with_the_nearest() {
    let page = doorwright(&["explain", "SUR-002"]);
    assert_eq!(page.status.code(), Some(0));
    assert!(stdout(&page).contains("Why it matters") && stdout(&page).contains("mains spur"));
    let slip = doorwright(&["explain", "duty-blnk"]);
    assert_eq!(slip.status.code(), Some(2));
    assert!(stderr(&slip).contains("did you mean duty-blank"), "{}", stderr(&slip));
    let paths = stdout(&doorwright(&["explain", text(&example("one-door"))]));
    let path = paths.lines().next().unwrap().split_whitespace().next().unwrap().to_owned();
    let figure = doorwright(&["explain", text(&example("one-door")), &path]);
    assert!(stdout(&figure).contains("formula") && stdout(&figure).contains("source"), "{}", stdout(&figure));
}

#[test]
fn a_calculator_answers_with_value_unit_and_working() {
    let inputs = ["length_m=30", "current_a=0.5", "resistance_ohm_per_m=0.09"];
    let answer = json(&doorwright(&[&["calc", "voltage-drop", "--json"], &inputs[..]].concat()));
    assert!((answer["value"].as_f64().unwrap() - 2.7).abs() < 1e-9, "{answer}");
    assert_eq!(answer["unit"], "V");
    assert!(answer["working"]["formula"].as_str().unwrap().contains("length"), "{answer}");
    let slip = doorwright(&["calc", "voltage-drp"]);
    assert_eq!(slip.status.code(), Some(2));
    assert!(stderr(&slip).contains("voltage-drop"), "{}", stderr(&slip));
}

#[test]
fn many_cases_run_from_a_file_and_a_bad_one_does_not_stop_the_others() {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("cases.csv");
    let rows = "id,calculator,inputs\n\
                A,voltage-drop,length_m=30;current_a=0.5;resistance_ohm_per_m=0.09\n\
                B,voltage-drop,length_m=minus;current_a=0.5;resistance_ohm_per_m=0.09\n\
                C,voltage-drop,length_ft=100;current_a=4;resistance_ohm_per_kft=4.99\n";
    fs::write(&path, rows).unwrap();
    let output = doorwright(&["calc", "--cases", text(&path), "--json"]);
    assert_eq!(output.status.code(), Some(2));
    let answers: Json = serde_json::from_slice(&output.stdout).unwrap();
    assert!((answers[0]["value"].as_f64().unwrap() - 2.7).abs() < 1e-9);
    assert!(answers[1]["error"].as_str().unwrap().contains("length"), "{answers}");
    assert!((answers[2]["value"].as_f64().unwrap() - 3.992).abs() < 1e-9);
}

#[test]
fn an_error_is_json_where_json_was_asked_for_and_a_calculator_tells_its_inputs() {
    let output = doorwright(&["check", "no-such-job", "--json"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(json(&output)["error"].as_str().unwrap().contains("no-such-job"));
    let inputs = json(&doorwright(&["calc", "voltage-drop", "--json"]))["inputs"].clone();
    assert!(inputs.as_array().unwrap().iter().any(|input| input["keys"][0] == "length_m"), "{inputs}");
}

#[test]
fn a_job_that_is_not_there_is_a_usage_error_with_a_way_on() {
    let output = doorwright(&["check", "no-such-job"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("job.toml"), "{}", stderr(&output));
    assert_eq!(doorwright(&["frobnicate"]).status.code(), Some(2));
}

#[test]
fn garbage_in_the_job_is_findings_never_a_panic() {
    let garbage: [&[u8]; 6] = [
        b"",
        b"\xff\xfe\x00[\x00j\x00o\x00b\x00]",
        b"[job\ntitle = ",
        b"opening = 3\n[policy]\nspare_percent = nan\n",
        b"[[opening]]\nmark = \"D-1\"\nx_m = 1e400\ny_m = -inf\n",
        &[0, 159, 146, 150, 255, 10, 13, 7],
    ];
    for bytes in garbage {
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join("job.toml"), bytes).unwrap();
        fs::write(folder.path().join("openings.csv"), bytes).unwrap();
        let output = doorwright(&["check", text(folder.path())]);
        assert_eq!(output.status.code(), Some(1), "{bytes:?}: {}", stderr(&output));
        assert!(!stderr(&output).contains("panicked"), "{}", stderr(&output));
    }
}

#[test]
fn a_folder_that_cannot_be_made_is_an_error_that_names_it() {
    let folder = TempDir::new().unwrap();
    let file = folder.path().join("taken");
    fs::write(&file, "a file").unwrap();
    let output = doorwright(&["design", text(&example("one-door")), "--out", text(&file)]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("taken"), "{}", stderr(&output));
    assert_eq!(fs::read_to_string(&file).unwrap(), "a file");
}

#[test]
fn an_issued_revision_keeps_untouched_openings_where_they_are() {
    let job = copy_of("ferry-terminal");
    assert!(doorwright(&["issue", text(job.path())]).status.code().is_some_and(|code| code < 2));
    let served = |arguments: &[&str]| {
        let out = TempDir::new().unwrap();
        let output = doorwright(&[&["design", text(job.path()), "--out", text(out.path())], arguments].concat());
        assert!(output.status.code().is_some_and(|code| code < 2), "{}", stderr(&output));
        let design: Json = serde_json::from_slice(&fs::read(out.path().join("design.json")).unwrap()).unwrap();
        design["placement"].clone()
    };
    let before = served(&[]);
    let document = job.path().join("job.toml");
    let storey = before_storey(job.path());
    let more =
        format!("\n[[opening]]\nmark = \"D-999\"\nstorey = \"{storey}\"\nx_m = 20\ny_m = 5\nkind = \"single\"\n");
    fs::write(&document, fs::read_to_string(&document).unwrap() + &more).unwrap();
    let after = served(&[]);
    let place = |placement: &Json, mark: &str| {
        let served = placement["served"].as_array().unwrap().iter().find(|served| served["mark"] == mark).cloned();
        served.map(|served| {
            let label =
                served["controller"].as_u64().map(|idx| placement["controllers"][idx as usize]["label"].clone());
            (served["room"].clone(), label, served["first_port"].clone())
        })
    };
    let marks: Vec<String> =
        before["served"].as_array().unwrap().iter().map(|served| served["mark"].as_str().unwrap().to_owned()).collect();
    assert!(marks.len() > 30);
    for mark in &marks {
        assert_eq!(place(&before, mark), place(&after, mark), "{mark} moved");
    }
    assert!(place(&after, "D-999").is_some(), "the new opening is served");
    assert!(!after["staying_put"].is_null(), "the price of staying put is shown");
}

#[test]
fn a_preview_tells_what_a_pin_moves_and_writes_no_papers() {
    let (job, out) = (copy_of("ferry-terminal"), TempDir::new().unwrap());
    let design = ["design", text(job.path()), "--out", text(out.path()), "--effort", "quick"];
    assert!(doorwright(&design).status.code().is_some_and(|code| code < 2));
    let from = out.path().join("design.json");
    let quiet = json(&doorwright(&["preview", text(job.path()), "--from", text(&from), "--json"]));
    assert_eq!((&quiet["preview"], quiet["moved"].as_array().unwrap().len()), (&Json::Bool(true), 0));
    let before: Json = serde_json::from_slice(&fs::read(&from).unwrap()).unwrap();
    let served = before["placement"]["served"][0].clone();
    let (mark, room) = (served["mark"].as_str().unwrap(), served["room"].as_str().unwrap());
    let document = job.path().join("job.toml");
    let pin = format!("\n[[pin]]\nopening = \"{mark}\"\nnot_room = [\"{room}\"]\n");
    fs::write(&document, fs::read_to_string(&document).unwrap() + &pin).unwrap();
    let edited = json(&doorwright(&["preview", text(job.path()), "--from", text(&from), "--json"]));
    let moved = edited["moved"].as_array().unwrap().iter().any(|it| it["mark"] == mark && it["from"] == room);
    let unserved = edited["unserved"].as_array().unwrap().iter().any(|it| it == mark);
    assert!(moved || unserved, "{edited}");
    let said = stdout(&doorwright(&["preview", text(job.path()), "--from", text(&from)]));
    assert!(said.starts_with("Preview, not a design:"), "{said}");
    assert!(!job.path().join("design.json").exists());
    for option in [&["--fresh"][..], &["--effort", "thorough"]] {
        let args = [&["preview", text(job.path()), "--from", text(&from)][..], option].concat();
        assert_eq!(doorwright(&args).status.code(), Some(2), "a preview keeps what was issued, at quick effort");
    }
    let wrong = doorwright(&["preview", text(job.path()), "--from", text(&document)]);
    assert_eq!(wrong.status.code(), Some(2));
}

/// A storey of the job, for an opening added by hand.
fn before_storey(job: &Path) -> String {
    let document = fs::read_to_string(job.join("job.toml")).unwrap();
    let storeys = document.split("[[storey]]").nth(1).unwrap().to_owned();
    storeys.split("id = \"").nth(1).unwrap().split('"').next().unwrap().to_owned()
}

#[test]
fn help_shows_how_to_start_and_completions_name_the_commands() {
    let help = stdout(&doorwright(&["--help"]));
    assert!(help.contains("doorwright demo --out demo-out") && help.contains("Exit codes"));
    let script = stdout(&doorwright(&["completions", "bash"]));
    assert!(script.contains("explain") && script.contains("completions"));
}

#[path = "../../dw-instance/examples/made/mod.rs"]
mod made;

/// Three customers on two sites; by hand the least cost is 7.50 for site 0 alone, and 4 + 2.25 + 3 to serve all from it.
const FACILITY: &str = "2 3\n10 7.50\n4.5 9\n5 4 0.5\n4 2.25 3\n4 5 6\n";

/// A file of the given contents.
fn instance(contents: &str) -> (TempDir, PathBuf) {
    let folder = TempDir::new().unwrap();
    let path = folder.path().join("instance");
    fs::write(&path, contents).unwrap();
    (folder, path)
}

#[test]
fn place_prints_cost_bound_gap_time_memory_and_how_near_the_least_cost_it_is() {
    let (_folder, file) = instance(FACILITY);
    let output = doorwright(&["place", text(&file)]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let said = stdout(&output);
    let wanted = [
        "3 customers, 2 sites",
        "cost     16.75",
        "bound    16.75",
        "gap      0.000 %",
        "seconds ",
        "memory ",
        "1 used",
    ];
    for part in wanted.iter().chain(&["This is the least cost for this data"]) {
        assert!(said.contains(part), "{part}: {said}");
    }
}

#[test]
fn place_gives_one_object_in_the_files_own_unit_and_starts_from_it_again() {
    let (_folder, file) = instance(FACILITY);
    let answer = json(&doorwright(&["place", text(&file), "--json", "--effort", "normal"]));
    let keys: Vec<&String> = answer.as_object().unwrap().keys().collect();
    assert_eq!(keys, ["cost", "bound", "gap", "seconds", "assignment"]);
    assert_eq!((&answer["cost"], &answer["assignment"]), (&serde_json::json!(16.75), &serde_json::json!([0, 0, 0])));

    let mut estate = made::estate(250, 5, 10);
    let (folder, file) = instance(&estate.to_string());
    let cold = doorwright(&["place", text(&file), "--json", "--effort", "normal"]);
    let cold = json(&cold);
    assert_eq!(cold["assignment"].as_array().unwrap().len(), 250);
    assert!(cold["assignment"].as_array().unwrap().iter().all(Json::is_string) && cold["cost"].is_i64());
    assert!(cold["bound"].as_i64().unwrap() <= cold["cost"].as_i64().unwrap());

    estate["openings"][0]["x"] = serde_json::json!(estate["openings"][0]["x"].as_i64().unwrap() + 50);
    let plan = folder.path().join("plan.json");
    fs::write(&plan, cold.to_string()).unwrap();
    fs::write(&file, estate.to_string()).unwrap();
    let preview = json(&doorwright(&["place", text(&file), "--json", "--effort", "quick", "--start", text(&plan)]));
    let (before, after) = (cold["cost"].as_f64().unwrap(), preview["cost"].as_f64().unwrap());
    assert!(after <= before * 1.005, "{before} {after}");
}

#[test]
fn place_refuses_what_is_no_instance_with_file_place_and_remedy() {
    let (folder, file) = instance("2 3\n10 7,5\n4 9\n5 4 3\n1 2 3\n4 5 6");
    let output = doorwright(&["place", text(&file)]);
    assert_eq!(output.status.code(), Some(2));
    for part in [text(&file), "line 2", "\"7,5\"", "write a number"] {
        assert!(stderr(&output).contains(part), "{}", stderr(&output));
    }
    assert_eq!(doorwright(&["place", text(&folder.path().join("absent"))]).status.code(), Some(2));
    let (_folder, file) = instance(FACILITY);
    let output = doorwright(&["place", text(&file), "--start", text(&file)]);
    assert_eq!(output.status.code(), Some(2), "a start that is no plan");
}

#[test]
fn place_names_what_is_not_served_and_an_irreducible_clash() {
    // The last two together need 11 of 10; the first one fits beside either.
    let (_folder, file) = instance("1 3\n10 1\n4 5 6\n1 1 1");
    let output = doorwright(&["place", text(&file)]);
    assert_eq!(output.status.code(), Some(1));
    let said = stdout(&output);
    assert!(said.contains("1 customer is not served"), "{said}");
    assert!(said.contains("these 2 customers cannot all be served by the sites they reach (0)"), "{said}");
    assert!(said.contains("the others can: 1, 2"), "{said}");

    let mut estate = made::estate(20, 1, 0);
    estate["openings"][4]["y"] = serde_json::json!(100_000);
    let (_folder, file) = instance(&estate.to_string());
    let output = doorwright(&["place", text(&file), "--json"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(json(&output)["assignment"][4], Json::Null);
    assert!(stderr(&output).contains("D5: no room is within the longest cable"), "{}", stderr(&output));
}
