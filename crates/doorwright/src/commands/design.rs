//! `design JOB --out DIR`: the design as JSON and all its papers.

use std::path::Path;

use dw_engine::Design;
use serde_json::json;

use super::{designed, outcome};
use crate::args::DesignArgs;
use crate::progress::Progress;
use crate::{Outcome, files, show, stop};

/// Designs the job and writes everything.
pub fn run(args: &DesignArgs, json: bool) -> anyhow::Result<Outcome> {
    let design = designed(files::load(&args.job)?, args.plan.options())?;
    let written = write_all(&design, &args.out)?;
    report(&design, &args.out, &written, json)?;
    Ok(outcome(&design))
}

/// Writes the design and its papers into a folder; gives the names of the files. Everything is made before the first file is
/// written, so that whoever ends the program finds the papers of one design.
pub fn write_all(design: &Design, out: &Path) -> anyhow::Result<Vec<String>> {
    files::make_folder(out)?;
    let progress = Progress::new();
    progress.step("papers");
    let design_file = serde_json::to_vec_pretty(design)?;
    let papers = dw_papers::papers(design)?;
    let _whole = stop::while_writing();
    let mut written = vec!["design.json".to_owned()];
    files::write(&out.join("design.json"), &design_file)?;
    for paper in papers {
        progress.step(&paper.name);
        files::write(&out.join(&paper.name), &paper.bytes)?;
        written.push(paper.name);
    }
    Ok(written)
}

/// Tells what was written and what the findings are.
pub fn report(design: &Design, out: &Path, written: &[String], as_json: bool) -> anyhow::Result<()> {
    if as_json {
        return show::json(
            &json!({ "folder": out.display().to_string(), "files": written, "findings": design.findings }),
        );
    }
    let findings: String = design.findings.iter().map(show::brief).collect();
    let (price, currency) = (&design.price, design.price.currency.code());
    let text = format!(
        "{findings}{}Net {} {currency}, with tax {} {currency}\n\
         Placement within {:.2} % of the least cost for this data\n{}{}\n{} files in {}\n",
        show::summary(design),
        price.net,
        price.total,
        design.placement.gap * 100.0,
        show::architecture(design),
        design.growth.in_words(&|amount| format!("{amount} {currency}")),
        written.len(),
        out.display()
    );
    show::text(&text)
}
