//! `check JOB`: what is wrong or missing, without writing anything.

use dw_core::{Assumption, Finding};
use dw_engine::Accepted;
use serde::Serialize;

use super::{designed, outcome};
use crate::args::CheckArgs;
use crate::{Outcome, files, show};

#[derive(Serialize)]
struct Report<'a> {
    findings: &'a [Finding],
    accepted: &'a [Accepted],
    assumptions: &'a [Assumption],
}

/// Designs the job and prints findings and assumptions.
pub fn run(args: &CheckArgs, json: bool) -> anyhow::Result<Outcome> {
    let design = designed(files::load(&args.job)?, args.plan.options())?;
    if json {
        show::json(&Report {
            findings: &design.findings,
            accepted: &design.accepted,
            assumptions: &design.assumptions,
        })?;
        return Ok(outcome(&design));
    }
    let render = if args.brief { show::brief } else { show::full };
    let mut out: String = design.findings.iter().map(render).collect();
    out.push_str(&show::summary(&design));
    show::text(&out)?;
    Ok(outcome(&design))
}
