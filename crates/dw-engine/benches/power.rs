//! `cargo bench -p dw-engine --bench power`: plans the power of designed sites of 1,000 and 8,000 openings, and prints how long the
//! pass and its judge take, the best of five.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_types,
    clippy::disallowed_methods
)]

mod site;

use std::time::Instant;

use dw_core::Sink;
use dw_engine::{Cx, Options, design, power, unwatched};
use dw_job::{Catalogue, Profile};

fn main() {
    let (catalogue, _) = Catalogue::read(&site::files("catalogue"));
    let (profile, _) = Profile::named(Some("uk-eu"), &site::files("profiles"));
    println!("| openings | devices | power ms | judge ms |");
    println!("|---:|---:|---:|---:|");
    for openings in [1_000, 8_000] {
        let job = site::site(openings, 1);
        let it = design(&job, &catalogue, &profile, Sink::default(), Options::default(), &mut unwatched);
        let (mut pass, mut judge, mut devices) = (f64::INFINITY, f64::INFINITY, 0);
        for _ in 0..5 {
            let mut cx = Cx::new(&catalogue, &profile);
            let started = Instant::now();
            let plan = power::power(&mut cx, &job, &it.survey, &it.equipment, &it.placement, &it.routes);
            pass = pass.min(started.elapsed().as_secs_f64() * 1000.0);
            let started = Instant::now();
            power::verify(&mut cx, &it.survey, &it.equipment, &it.placement, &plan);
            judge = judge.min(started.elapsed().as_secs_f64() * 1000.0);
            devices = plan.devices.len();
        }
        println!("| {openings} | {devices} | {pass:.1} | {judge:.1} |");
    }
}
