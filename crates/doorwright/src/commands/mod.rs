//! One file a command.

pub mod calc;
pub mod check;
pub mod completions;
pub mod demo;
pub mod design;
pub mod explain;
pub mod issue;
pub mod new;
pub mod place;
pub mod preview;
pub mod schema;

use std::ops::ControlFlow;

use anyhow::Context as _;
use dw_core::Severity;
use dw_engine::{Design, Options, design as run_design};

use crate::files::Loaded;
use crate::progress::Progress;
use crate::{Outcome, stop};

/// Designs a loaded job; progress shows the pass at work, and cost and bound of the best plan while openings are placed.
/// Ctrl-C ends the search for a better plan; the design is made with the best one so far, and a finding says so.
fn designed(loaded: Loaded, options: Options) -> anyhow::Result<Design> {
    stop::listen().context("cannot listen for Ctrl-C")?;
    let progress = Progress::new();
    let Loaded { job, catalogue, profile, read } = loaded;
    let design = run_design(&job, &catalogue, &profile, read, options, &mut |step| {
        match step.plan {
            Some(plan) => progress.step(&format!("{}: {}, no plan below {}", step.pass, plan.cost, plan.bound)),
            None => progress.step(step.pass),
        }
        if stop::is_wanted() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    });
    Ok(design)
}

/// What the findings of a design mean for the exit code.
fn outcome(design: &Design) -> Outcome {
    if design.count(Severity::Stop) > 0 { Outcome::Stopped } else { Outcome::Clear }
}
