//! Ctrl-C while a job is designed: the first one brings the best plan so far with its papers, the second ends the program.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::panic)]

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::thread::sleep;
use std::time::Duration;

use serde_json::Value as Json;
use tempfile::TempDir;

/// What every opening of the job is like.
const DOOR: &str = r#"kind = "single"
from = "Hall"
to = "Office"
escape = "none"
door.leaf = "timber"
door.preparation = "strike"
door.closer = true
door.latches_unaided = true
door.inside_handle = "free"
proof.place = "wall-box"
"#;

/// A job of 40 rooms and 400 doors: a thorough search for the best plan takes many seconds.
fn job() -> TempDir {
    let mut text = "[[storey]]\nid = \"Quay\"\nelevation_m = 0\n[[zone]]\nid = \"Staff\"\nlevel = 1\n[[space]]\nid = \"Hall\"\n\
                    [[space]]\nid = \"Office\"\nzone = \"Staff\"\n[[group]]\nid = \"Crew\"\nhead_count = 30\n[[right]]\n\
                    group = \"Crew\"\nzone = \"Staff\"\n"
        .to_owned();
    for room in 0..40 {
        let (x, y) = (room % 8 * 25, room / 8 * 25);
        writeln!(text, "[[room]]\nid = \"TR-{room}\"\nstorey = \"Quay\"\nx_m = {x}\ny_m = {y}\nmains = true").unwrap();
    }
    for door in 0..400 {
        let (x, y) = (door * 37 % 200, door * 53 % 125);
        write!(text, "[[opening]]\nmark = \"D-{door}\"\nstorey = \"Quay\"\nx_m = {x}\ny_m = {y}\n{DOOR}").unwrap();
    }
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("job.toml"), text).unwrap();
    folder
}

fn interrupt(child: &Child) {
    let sent = Command::new("sh").args(["-c", &format!("kill -INT {}", child.id())]).status().unwrap();
    assert!(sent.success());
}

/// Designs the job and presses Ctrl-C so many times once the search has begun; what came of it and what was printed.
fn interrupted(job: &Path, out: &Path, times: u32) -> (ExitStatus, String) {
    for begun in [1_000, 4_000, 16_000] {
        let mut design = Command::new(env!("CARGO_BIN_EXE_doorwright"));
        design.arg("design").arg(job).arg("--out").arg(out).args(["--effort", "thorough"]);
        let child = design.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        sleep(Duration::from_millis(begun));
        for _ in 0..times {
            interrupt(&child);
            sleep(Duration::from_millis(50));
        }
        let output = child.wait_with_output().unwrap();
        // On a machine so busy that the program had not begun to listen, it is tried again with more patience.
        if output.status.code().is_some() {
            return (output.status, String::from_utf8(output.stdout).unwrap());
        }
    }
    panic!("the program never listened");
}

fn names(folder: &Path) -> Vec<String> {
    let Ok(entries) = fs::read_dir(folder) else { return Vec::new() };
    entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
}

#[test]
fn ctrl_c_brings_the_best_plan_so_far_with_its_papers_and_says_so() {
    let (job, out) = (job(), TempDir::new().unwrap());
    let (status, printed) = interrupted(job.path(), out.path(), 1);
    assert!(matches!(status.code(), Some(0 | 1)), "{status}");
    let design: Json = serde_json::from_slice(&fs::read(out.path().join("design.json")).unwrap()).unwrap();
    assert_eq!(design["placement"]["stopped"], true);
    assert_eq!(design["placement"]["served"].as_array().unwrap().len(), 400);
    let is_told = |finding: &Json| finding["code"] == "PLC-010";
    assert!(design["findings"].as_array().unwrap().iter().any(is_told));
    assert!(printed.contains("PLC-010") && printed.contains("The search was stopped at"), "{printed}");
    let names = names(out.path());
    assert!(names.contains(&"binder.pdf".to_owned()) && names.contains(&"bill-of-materials.csv".to_owned()));
}

#[test]
fn a_second_ctrl_c_ends_the_program_at_once_and_leaves_no_file_half_written() {
    let (job, out) = (job(), TempDir::new().unwrap());
    let (status, printed) = interrupted(job.path(), out.path(), 2);
    assert_eq!((status.code(), printed.as_str()), (Some(130), ""));
    let names = names(out.path());
    assert!(!names.iter().any(|name| name.starts_with(".writing-")), "{names:?}");
    assert!(names.is_empty() || names.contains(&"binder.pdf".to_owned()), "all papers or none: {names:?}");
}
