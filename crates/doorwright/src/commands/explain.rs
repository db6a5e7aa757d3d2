//! `explain`: the manual page of a rule, or the working of a figure.

use std::fmt::Write as _;
use std::path::PathBuf;

use anyhow::bail;
use dw_core::RuleInfo;
use dw_engine::{Options, rules};
use dw_job::text::nearest;
use serde_json::{Value as Json, json};

use super::designed;
use crate::args::{ExplainArgs, JobArgs};
use crate::{Outcome, files, show};

/// Explains a code, every code, or figures of a job.
pub fn run(args: &ExplainArgs, json: bool) -> anyhow::Result<Outcome> {
    let Some(what) = &args.what else {
        return every_rule(json);
    };
    let code = what.to_uppercase();
    if let Some(rule) = rules().into_iter().find(|rule| rule.code == code || rule.name == what.as_str()) {
        if json {
            show::json(&as_json(rule))?;
        } else {
            show::text(&show::rule_page(rule))?;
        }
        return Ok(Outcome::Clear);
    }
    let path = PathBuf::from(what);
    if !path.exists() {
        let codes: Vec<&str> = rules().into_iter().flat_map(|rule| [rule.code, rule.name]).collect();
        let meant = nearest(&code, codes.iter().copied()).or_else(|| nearest(what, codes.iter().copied()));
        let hint = meant.map(|code| format!("; did you mean {code}?")).unwrap_or_default();
        bail!("\"{what}\" is neither the code of a finding nor a job{hint}");
    }
    let job = JobArgs { job: path, catalogue: Vec::new(), own_catalogue_only: false, profile: None };
    figures(&job, args.figure.as_deref().unwrap_or_default(), json)
}

fn every_rule(json: bool) -> anyhow::Result<Outcome> {
    if json {
        show::json(&rules().into_iter().map(as_json).collect::<Vec<_>>())?;
    } else {
        let line = |rule: &RuleInfo| format!("{}  {:<4}  {}\n", rule.code, rule.severity.to_string(), rule.name);
        show::text(&rules().into_iter().map(line).collect::<String>())?;
    }
    Ok(Outcome::Clear)
}

fn as_json(rule: &RuleInfo) -> Json {
    json!({ "code": rule.code, "name": rule.name, "severity": rule.severity, "since": rule.since, "page": rule.page })
}

/// Prints the working of one figure, or all whose path begins so; with nothing asked for, their paths.
fn figures(job: &JobArgs, asked: &str, json: bool) -> anyhow::Result<Outcome> {
    let design = designed(files::load(job)?, Options::default())?;
    let exact = design.workings.iter().filter(|working| working.figure.path() == asked);
    let begins = |path: &str| path.strip_prefix(asked).is_some_and(|rest| asked.is_empty() || rest.starts_with('/'));
    let found: Vec<_> = exact.chain(design.workings.iter().filter(|working| begins(working.figure.path()))).collect();
    if found.is_empty() {
        let paths = design.workings.iter().map(|working| working.figure.path());
        let hint = nearest(asked, paths).map(|path| format!("; did you mean {path}?")).unwrap_or_default();
        bail!("no figure of this job is called \"{asked}\"{hint} (without a figure, explain lists them all)");
    }
    if json {
        show::json(&found)?;
    } else if asked.is_empty() {
        let mut out = String::new();
        for working in &found {
            let _ = writeln!(out, "{:<60} {}", working.figure.path(), working.title);
        }
        show::text(&out)?;
    } else {
        show::text(&found.into_iter().map(show::working).collect::<Vec<_>>().join("\n"))?;
    }
    Ok(Outcome::Clear)
}
