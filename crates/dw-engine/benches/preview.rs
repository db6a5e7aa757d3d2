//! `cargo bench -p dw-engine --bench preview`: moves one opening of a solved site of 1,000 openings, ten times over, and
//! prints how long the preview takes and how its cost compares with that of a cold design.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_types,
    clippy::disallowed_methods
)]

mod site;

use std::time::Instant;

use dw_core::{Metres, Sink};
use dw_engine::{Options, design, preview, unwatched};
use dw_job::{Catalogue, Profile};

const OPENINGS: usize = 1_000;
const EDITS: usize = 10;

fn main() {
    let (catalogue, _) = Catalogue::read(&site::files("catalogue"));
    let (profile, read) = Profile::named(Some("uk-eu"), &site::files("profiles"));
    let mut job = site::site(OPENINGS, 1);
    let solved = design(&job, &catalogue, &profile, read, Options::default(), &mut unwatched);
    let previous = solved.placement.stood();
    println!("| edit | preview ms | of them computing | preview cost | cold cost | dearer % |");
    println!("|---:|---:|---:|---:|---:|---:|");
    for edit in 0..EDITS {
        let x = &mut job.openings[edit * OPENINGS / EDITS].x;
        let before = *x;
        *x = x.map(|x| Metres::new(x.get() + 25.0));
        let (started, computed) = (Instant::now(), computing_ms());
        let quick = preview(&job, &catalogue, &profile, Sink::default(), &previous).placement;
        let ms = started.elapsed().as_secs_f64() * 1000.0;
        let computing = computing_ms() - computed;
        let cold = design(&job, &catalogue, &profile, Sink::default(), Options::default(), &mut unwatched).placement;
        let dearer = (quick.cost - cold.cost).cents() as f64 / cold.cost.cents() as f64 * 100.0;
        println!("| {edit} | {ms:.0} | {computing:.0} | {} | {} | {dearer:.3} |", quick.cost, cold.cost);
        job.openings[edit * OPENINGS / EDITS].x = before;
    }
}

/// Milliseconds this program has been computing, without waiting for others, where the system tells (Linux); 0 elsewhere.
fn computing_ms() -> f64 {
    let told = std::fs::read_to_string("/proc/self/schedstat").unwrap_or_default();
    told.split_whitespace().next().and_then(|ns| ns.parse::<f64>().ok()).unwrap_or(0.0) / 1e6
}
