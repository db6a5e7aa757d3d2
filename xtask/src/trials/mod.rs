//! Placement tried on published instances, and the tables of it for the documentation.
//!
//! The instances lie beside the repository, in `../shared/data`; licences forbid copies in here. Where they are absent the
//! commands say so and fail.

mod table;

use std::io::Write as _;
use std::ops::ControlFlow;
use std::path::Path;
use std::sync::Mutex;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::Instant;

use anyhow::{Context as _, bail, ensure};
use dw_instance::Instance;
use dw_solve::location::{Effort, Level, check, price, solve};

use table::{Summary, Trial};

/// What the commands can be told.
pub const USAGE: &str = "\
options of facility and estate:
  --only PREFIX    only the files whose names begin so; may be repeated
  --effort LEVEL   quick, normal or thorough (the default)
  --seed N         another random sequence
  --jobs N         that many at a time, on as many cores (1; seconds are true only with idle cores)
  --write          also write the page of the documentation; needs a run of all files";

/// What a run is told.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Options {
    only: Vec<String>,
    level: Option<Level>,
    seed: u64,
    jobs: usize,
    write: bool,
}

impl Options {
    /// Reads the words of the command line.
    pub fn read(words: &[&str]) -> anyhow::Result<Self> {
        let mut options = Self { jobs: 1, ..Self::default() };
        let mut words = words.iter();
        while let Some(word) = words.next() {
            let mut value = || words.next().with_context(|| format!("{word} wants a value\n{USAGE}"));
            match *word {
                "--only" => options.only.push((*value()?).to_owned()),
                "--effort" => {
                    options.level = Some(match *value()? {
                        "quick" => Level::Quick,
                        "normal" => Level::Normal,
                        "thorough" => Level::Thorough,
                        other => bail!("there is no effort {other}\n{USAGE}"),
                    });
                }
                "--seed" => options.seed = value()?.parse().context("--seed")?,
                "--jobs" => options.jobs = value()?.parse::<usize>().context("--jobs")?.max(1),
                "--write" => options.write = true,
                other => bail!("there is no option {other}\n{USAGE}"),
            }
        }
        ensure!(options.only.is_empty() || !options.write, "--write needs a run of all files, without --only");
        Ok(options)
    }

    fn wants(&self, file: &str) -> bool {
        self.only.is_empty() || self.only.iter().any(|prefix| file.starts_with(prefix.as_str()))
    }
}

/// A file with what has been published about it, in its own unit.
#[derive(Debug, Clone, PartialEq)]
struct Known {
    file: String,
    cost: f64,
    /// Best lower bound published; for a facility file the optimum itself.
    bound: f64,
}

/// Tries every single-source facility file.
pub fn facility(root: &Path, options: &Options) -> anyhow::Result<()> {
    let folder = root.join("../shared/data/facility");
    let list = known(&folder.join("optima.csv"), |fields| {
        let optimum = fields.get(4)?.parse().ok()?;
        let file = (*fields.first()?).to_owned();
        (*fields.get(1)? == "sscflp").then_some(Known { file, cost: optimum, bound: optimum })
    })?;
    let trials = run_all(&folder, &list, options)?;
    let summary = Summary::of(&trials);
    say(&summary.facility())?;
    if options.write {
        std::fs::write(root.join("docs/reference/facility-trials.md"), table::facility_page(&trials, &summary))?;
    }
    summary.verify()?;
    ensure!(summary.n_within_half == summary.n_all, "not every plan is within 0.5 % of the published optimum");
    Ok(())
}

/// Tries every estate file.
pub fn estate(root: &Path, options: &Options) -> anyhow::Result<()> {
    let folder = root.join("../shared/data/estate");
    let list = known(&folder.join("best.csv"), |fields| {
        let number = |at: usize| fields.get(at)?.parse().ok();
        Some(Known { file: (*fields.first()?).to_owned(), cost: number(1)?, bound: number(2)? })
    })?;
    let trials = run_all(&folder, &list, options)?;
    let summary = Summary::of(&trials);
    say(&summary.estate())?;
    if options.write {
        std::fs::write(root.join("docs/reference/estate-trials.md"), table::estate_page(&trials, &summary))?;
    }
    summary.verify()
}

/// Rows of a list of published values that are of use.
fn known(path: &Path, row: impl Fn(&[&str]) -> Option<Known>) -> anyhow::Result<Vec<Known>> {
    let list = std::fs::read_to_string(path)
        .with_context(|| format!("the instances are not present beside the repository ({})", path.display()))?;
    let rows: Vec<Known> = list.lines().skip(1).filter_map(|line| row(&line.split(',').collect::<Vec<_>>())).collect();
    ensure!(!rows.is_empty(), "{} lists nothing", path.display());
    Ok(rows)
}

/// Solves the files wanted, telling of each as it is done; results are in the order of the list.
fn run_all(folder: &Path, list: &[Known], options: &Options) -> anyhow::Result<Vec<Trial>> {
    let wanted: Vec<&Known> = list.iter().filter(|known| options.wants(&known.file)).collect();
    ensure!(!wanted.is_empty(), "no file begins with {}", options.only.join(" or "));
    let next = AtomicUsize::new(0);
    let done: Mutex<Vec<(usize, anyhow::Result<Trial>)>> = Mutex::new(Vec::new());
    std::thread::scope(|scope| {
        for _ in 0..options.jobs.min(wanted.len()) {
            scope.spawn(|| {
                loop {
                    let at = next.fetch_add(1, Ordering::Relaxed);
                    let Some(known) = wanted.get(at) else { break };
                    let trial = run(folder, known, options);
                    let line = trial.as_ref().map_or_else(|error| format!("{}: {error:#}", known.file), Trial::line);
                    // A reader that stops listening does not stop the trials.
                    let _ = say(&line);
                    if let Ok(mut done) = done.lock() {
                        done.push((at, trial));
                    }
                }
            });
        }
    });
    let mut done = done.into_inner().unwrap_or_default();
    done.sort_by_key(|(at, _)| *at);
    done.into_iter().map(|(_, trial)| trial).collect()
}

/// Solves one file and has the plan judged.
fn run(folder: &Path, known: &Known, options: &Options) -> anyhow::Result<Trial> {
    let instance = load(folder, &known.file)?;
    let effort = Effort { seed: options.seed, ..Effort::new(options.level.unwrap_or(Level::Thorough)) };
    let began = Instant::now();
    let found = solve(&instance.problem, &effort, &mut |_| ControlFlow::Continue(()));
    let seconds = began.elapsed().as_secs_f64();
    let judged = check(&instance.problem, &found.plan)?.total();
    let priced = price(&instance.problem, &found.plan.assignment)?.total();
    ensure!(judged == found.cost && priced == found.cost, "the plan costs {judged} or {priced}, not {}", found.cost);
    let own_unit = |amount| instance.number(amount).as_f64().unwrap_or(f64::NAN);
    Ok(Trial {
        known: known.clone(),
        n_sites: instance.sites.len(),
        n_customers: instance.customers.len(),
        n_unserved: found.unserved.len(),
        cost: own_unit(found.cost),
        bound: own_unit(found.bound),
        gap: found.gap,
        seconds,
    })
}

/// The file, or the packed one.
fn load(folder: &Path, file: &str) -> anyhow::Result<Instance> {
    let plain = folder.join(file);
    let path = if plain.exists() { plain } else { folder.join(format!("{file}.gz")) };
    let bytes = std::fs::read(&path).with_context(|| path.display().to_string())?;
    Ok(dw_instance::read(&bytes)?)
}

fn say(line: &str) -> anyhow::Result<()> {
    let mut out = std::io::stdout().lock();
    writeln!(out, "{line}")?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn options_are_read_and_a_page_is_not_written_from_a_part() {
        let options = Options::read(&["--only", "cap6", "--only", "diaz", "--effort", "quick", "--jobs", "2"]).unwrap();
        assert!(options.wants("cap61.txt") && options.wants("diaz-p01.txt") && !options.wants("cap71.txt"));
        assert_eq!((options.level, options.jobs), (Some(Level::Quick), 2));
        assert!(Options::read(&["--only", "cap6", "--write"]).is_err());
        assert!(Options::read(&["--effort", "utmost"]).is_err());
        assert!(Options::read(&["--only"]).is_err());
    }
}
