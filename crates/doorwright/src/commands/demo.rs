//! `demo`: the demo job, its design and all its papers.

use anyhow::Context as _;

use dw_engine::Options;

use super::design::{report, write_all};
use super::designed;
use crate::args::DemoArgs;
use crate::{Outcome, files, shipped};

/// Writes the demo; its findings are part of the story, so they do not decide the exit code.
pub fn run(args: &DemoArgs, json: bool) -> anyhow::Result<Outcome> {
    let job = shipped::demo_job();
    let folder = args.out.join("job");
    files::make_folder(&folder)?;
    for document in &job {
        files::write(&folder.join(&document.name), &document.bytes).context("the demo job")?;
    }
    let design = designed(files::assemble(&job, &shipped::catalogue(), None), Options::default())?;
    let written = write_all(&design, &args.out)?;
    report(&design, &args.out, &written, json)?;
    Ok(Outcome::Clear)
}
