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

use dw_core::Severity;
use dw_engine::{Design, Options, design as run_design};

use crate::Outcome;
use crate::files::Loaded;
use crate::progress::Progress;

/// Designs a loaded job; progress shows the pass at work, and cost and bound of the best plan while openings are placed.
fn designed(loaded: Loaded, options: Options) -> Design {
    let progress = Progress::new();
    let Loaded { job, catalogue, profile, read } = loaded;
    run_design(&job, &catalogue, &profile, read, options, &mut |step| {
        match step.plan {
            Some(plan) => progress.step(&format!("{}: {}, no plan below {}", step.pass, plan.cost, plan.bound)),
            None => progress.step(step.pass),
        }
        ControlFlow::Continue(())
    })
}

/// What the findings of a design mean for the exit code.
fn outcome(design: &Design) -> Outcome {
    if design.count(Severity::Stop) > 0 { Outcome::Stopped } else { Outcome::Clear }
}
