//! One file a command.

pub mod calc;
pub mod check;
pub mod completions;
pub mod demo;
pub mod design;
pub mod explain;
pub mod issue;
pub mod new;
pub mod schema;

use std::ops::ControlFlow;

use dw_core::Severity;
use dw_engine::{Design, Options, design as run_design};

use crate::Outcome;
use crate::files::Loaded;
use crate::progress::Progress;

/// Designs a loaded job, with progress.
fn designed(loaded: Loaded, fresh: bool) -> Design {
    let progress = Progress::new();
    let Loaded { job, catalogue, profile, read } = loaded;
    let options = Options { fresh, ..Options::default() };
    run_design(&job, &catalogue, &profile, read, options, &mut |step| {
        progress.step(step.pass);
        ControlFlow::Continue(())
    })
}

/// What the findings of a design mean for the exit code.
fn outcome(design: &Design) -> Outcome {
    if design.count(Severity::Stop) > 0 { Outcome::Stopped } else { Outcome::Clear }
}
