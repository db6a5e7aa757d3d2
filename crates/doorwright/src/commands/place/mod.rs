//! `place FILE`: a raw instance placed at the least cost, with a proven bound.

mod unserved;

use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::ops::ControlFlow;
use std::time::Instant;

use anyhow::Context as _;
use dw_instance::{Form, Instance};
use dw_solve::location::{self, Effort};
use serde::Serialize;
use serde_json::{Number, Value as Json};

use crate::args::PlaceArgs;
use crate::progress::Progress;
use crate::{Outcome, files, memory, show, stop};

/// The answer as JSON.
#[derive(Serialize)]
struct Answer {
    cost: Number,
    bound: Number,
    gap: f64,
    seconds: f64,
    assignment: Vec<Json>,
}

/// Places the file and prints the figures, or the plan as JSON.
pub fn run(args: &PlaceArgs, as_json: bool) -> anyhow::Result<Outcome> {
    let name = args.file.display().to_string();
    let instance = dw_instance::read(&files::bytes(&args.file)?).with_context(|| name.clone())?;
    let previous =
        |path: &std::path::PathBuf| instance.start(&files::bytes(path)?).with_context(|| path.display().to_string());
    let start = args.start.as_ref().map(previous).transpose()?;
    let effort = Effort { level: args.effort.into(), seed: args.seed, start };
    let began = Instant::now();
    let found = search(&instance, &effort)?;
    let seconds = began.elapsed().as_secs_f64();
    verify(&instance, &found)?;

    let lost = if found.unserved.is_empty() { String::new() } else { unserved::in_words(&instance, &found.unserved) };
    if as_json {
        show::json(&Answer {
            cost: instance.number(found.cost),
            bound: instance.number(found.bound),
            gap: found.gap,
            seconds,
            assignment: instance.assignment(&found.plan.assignment),
        })?;
        show::notice(&lost);
        if found.stopped {
            show::notice(STOPPED);
        }
    } else {
        show::text(&(report(&name, &instance, &found, seconds) + &lost))?;
    }
    Ok(if found.unserved.is_empty() { Outcome::Clear } else { Outcome::Stopped })
}

/// What is said of a search that was not allowed to end.
const STOPPED: &str = "Stopped before the search had ended: this is the best plan so far\n";

/// Solves with live figures on a terminal, until done or told to stop.
fn search(instance: &Instance, effort: &Effort) -> anyhow::Result<location::Outcome> {
    stop::listen().context("cannot listen for Ctrl-C")?;
    let progress = Progress::new();
    progress.step("placing");
    Ok(location::solve(&instance.problem, effort, &mut |known| {
        progress.step(&known_so_far(instance, known));
        if stop::is_wanted() { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    }))
}

fn known_so_far(instance: &Instance, known: location::Progress) -> String {
    let bound = instance.in_words(known.bound);
    match known.cost {
        None => format!("placing: bound {bound}"),
        Some(cost) => {
            let gap = if cost > 0 { 100.0 * (cost - known.bound) as f64 / cost as f64 } else { 0.0 };
            let unserved =
                if known.n_unserved > 0 { format!(", {} not served", known.n_unserved) } else { String::new() };
            format!("placing: cost {}, bound {bound}, gap {gap:.3} %{unserved}", instance.in_words(cost))
        }
    }
}

/// Has the plan judged by code that shares nothing with the solver; a plan that fails is never shown.
fn verify(instance: &Instance, found: &location::Outcome) -> anyhow::Result<()> {
    let failed = "the plan found does not stand up to its check; please report it with the file";
    let as_it_stands = location::check(&instance.problem, &found.plan).context(failed)?.total();
    let at_least = location::price(&instance.problem, &found.plan.assignment).context(failed)?.total();
    anyhow::ensure!(
        as_it_stands == found.cost && at_least == found.cost && found.bound <= found.cost,
        "{failed} (cost {}, checked {as_it_stands}, priced {at_least}, bound {})",
        found.cost,
        found.bound
    );
    Ok(())
}

fn report(name: &str, instance: &Instance, found: &location::Outcome, seconds: f64) -> String {
    let (customers, sites, unit) = match instance.form {
        Form::Estate => ("openings", "rooms", " cents"),
        Form::Facility => ("customers", "sites", ""),
    };
    let in_use: BTreeSet<usize> = found.plan.assignment.iter().flatten().map(|choice| choice.site).collect();
    let memory =
        memory::peak().map_or("unknown".to_owned(), |bytes| format!("{} MB at most", bytes.div_ceil(1_000_000)));
    let mut out = format!(
        "{name}: {} {customers}, {} {sites}\n\
         cost     {}{unit}\n\
         bound    {}{unit}\n\
         gap      {:.3} %\n\
         seconds  {seconds:.2}\n\
         memory   {memory}\n\
         {sites:<9}{} used\n",
        instance.customers.len(),
        instance.sites.len(),
        instance.in_words(found.cost),
        instance.in_words(found.bound),
        100.0 * found.gap,
        in_use.len(),
    );
    let served = if found.unserved.is_empty() { "" } else { " and those served" };
    let _ = if found.bound == found.cost {
        writeln!(out, "This is the least cost for this data{served}")
    } else {
        // Rounded up, so that the sentence holds.
        writeln!(out, "Within {:.2} % of the least cost for this data{served}", (found.gap * 1e4).ceil() / 1e2)
    };
    if found.stopped {
        out.push_str(STOPPED);
    }
    out
}
