//! `cargo bench -p dw-engine --bench design`: designs generated sites of 100, 1,000 and 8,000 openings, and a hall of 300
//! with 40 blocked areas, and prints time by pass, memory, and how well placed they are. Each runs in a process of its
//! own, so that memory is its own.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_types,
    clippy::disallowed_methods
)]

mod site;

use std::ops::ControlFlow;
use std::time::Instant;

use dw_engine::{Options, design};
use dw_job::{Catalogue, Job, Profile};

const SIZES: [usize; 3] = [100, 1_000, 8_000];
const SEED: u64 = 1;

/// Openings of the hall with blocked areas.
const HALL: usize = 300;

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    if let Some(size) = arguments.iter().find_map(|argument| argument.parse::<usize>().ok()) {
        return run(&size.to_string(), &site::site(size, SEED));
    }
    if arguments.iter().any(|argument| argument == "hall") {
        return run("300 in a hall", &site::hall(HALL, SEED));
    }
    println!("| openings | seconds | MB at most | gap % | findings | power, ms | link, ms | slowest passes |");
    println!("|---:|---:|---:|---:|---:|---:|---:|---|");
    for which in SIZES.map(|size| size.to_string()).into_iter().chain(["hall".to_owned()]) {
        let program = std::env::current_exe().unwrap();
        let status = std::process::Command::new(program).arg(which).status().unwrap();
        assert!(status.success());
    }
}

fn run(name: &str, job: &Job) {
    let (catalogue, _) = Catalogue::read(&site::files("catalogue"));
    let (profile, read) = Profile::named(Some("uk-eu"), &site::files("profiles"));
    let started = Instant::now();
    let mut marks: Vec<(&str, f64)> = Vec::new();
    let result = design(job, &catalogue, &profile, read, Options::default(), &mut |step| {
        if marks.last().is_none_or(|mark| mark.0 != step.pass) {
            marks.push((step.pass, started.elapsed().as_secs_f64()));
        }
        ControlFlow::Continue(())
    });
    let total = started.elapsed().as_secs_f64();
    let ends = marks.iter().skip(1).map(|mark| mark.1).chain([total]);
    let mut passes: Vec<(&str, f64)> = marks.iter().zip(ends).map(|(mark, end)| (mark.0, end - mark.1)).collect();
    let milliseconds =
        |name: &str| passes.iter().filter(|pass| pass.0 == name).map(|pass| pass.1 * 1000.0).sum::<f64>();
    let (power, link) = (milliseconds("power"), milliseconds("link"));
    passes.sort_by(|a, b| b.1.total_cmp(&a.1));
    let slowest: Vec<String> = passes.iter().take(4).map(|(pass, seconds)| format!("{pass} {seconds:.2}")).collect();
    println!(
        "| {name} | {total:.2} | {:.0} | {:.2} | {} | {power:.0} | {link:.0} | {} |",
        peak_megabytes(),
        result.placement.gap * 100.0,
        result.findings.len(),
        slowest.join(", ")
    );
}

/// Most memory this process ever held, where the system tells (Linux); 0 elsewhere.
fn peak_megabytes() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|line| line.starts_with("VmHWM:")).unwrap_or_default();
    line.split_whitespace().nth(1).and_then(|kilobytes| kilobytes.parse::<f64>().ok()).unwrap_or(0.0) / 1024.0
}
