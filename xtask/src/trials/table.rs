//! The results of trials as lines, summaries and pages.

use std::fmt::Write as _;

use super::Known;

/// How far an amount may be from a published one that is rounded to hundredths.
const ROUNDING: f64 = 0.01;

/// Thousandths of a hundredth: doubles of the amounts compared are exact to better than this.
const NOISE: f64 = 1e-5;

/// What came of a file.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Trial {
    pub known: Known,
    pub n_sites: usize,
    pub n_customers: usize,
    pub n_unserved: usize,
    pub cost: f64,
    pub bound: f64,
    pub gap: f64,
    pub seconds: f64,
}

impl Trial {
    /// Percent above the published cost.
    fn above(&self) -> f64 {
        100.0 * (self.cost - self.known.cost) / self.known.cost
    }

    fn is_complete(&self) -> bool {
        self.n_unserved == 0
    }

    fn is_at_known(&self) -> bool {
        self.is_complete() && self.cost <= self.known.cost + ROUNDING + NOISE
    }

    fn is_below_known(&self) -> bool {
        self.is_complete() && self.cost < self.known.cost - ROUNDING - NOISE
    }

    /// A proven bound above a cost that somebody has reached is wrong.
    fn has_wrong_bound(&self) -> bool {
        self.is_complete() && self.bound > self.known.cost + ROUNDING + NOISE
    }

    /// One line for the terminal.
    pub(super) fn line(&self) -> String {
        format!(
            "{:<26} {:>5} x {:<5} known {:>15} cost {:>15} bound {:>15} above {:>8.4} % gap {:>7.4} % {:>7.2} s{}{}",
            self.known.file,
            self.n_sites,
            self.n_customers,
            self.known.cost,
            self.cost,
            self.bound,
            self.above(),
            100.0 * self.gap,
            self.seconds,
            if self.is_complete() { String::new() } else { format!("  {} NOT SERVED", self.n_unserved) },
            if self.has_wrong_bound() { "  BOUND TOO HIGH" } else { "" }
        )
    }

    fn row(&self) -> String {
        let mark = if self.is_complete() { "" } else { " (not all served)" };
        format!(
            "| {}{mark} | {} | {} | {} | {} | {} | {:.4} | {:.4} | {:.2} |\n",
            self.known.file,
            self.n_sites,
            self.n_customers,
            self.known.cost,
            self.cost,
            self.bound,
            self.above(),
            100.0 * self.gap,
            self.seconds
        )
    }
}

/// Counts over all trials.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Summary {
    pub(super) n_all: usize,
    n_at_known: usize,
    n_below_known: usize,
    pub(super) n_within_half: usize,
    n_proven: usize,
    n_wrong_bounds: usize,
    n_served: usize,
    n_below_published_bound: usize,
    worst_above: f64,
    worst_gap: f64,
    slowest: f64,
}

impl Summary {
    pub(super) fn of(trials: &[Trial]) -> Self {
        let count = |is: &dyn Fn(&&Trial) -> bool| trials.iter().filter(is).count();
        let most = |of: &dyn Fn(&Trial) -> f64| trials.iter().map(of).fold(f64::NEG_INFINITY, f64::max);
        Self {
            n_all: trials.len(),
            n_at_known: count(&|trial| trial.is_at_known()),
            n_below_known: count(&|trial| trial.is_below_known()),
            n_within_half: count(&|trial| trial.is_complete() && trial.above() <= 0.5),
            n_proven: count(&|trial| trial.is_complete() && trial.gap <= 0.0),
            n_wrong_bounds: count(&|trial| trial.has_wrong_bound()),
            n_served: count(&|trial| trial.is_complete()),
            n_below_published_bound: count(&|trial| {
                trial.is_complete() && trial.cost < trial.known.bound - ROUNDING - NOISE
            }),
            worst_above: most(&|trial| trial.above()),
            worst_gap: most(&|trial| 100.0 * trial.gap),
            slowest: most(&|trial| trial.seconds),
        }
    }

    /// Refuses trials that disprove the solver.
    pub(super) fn verify(&self) -> anyhow::Result<()> {
        let n_wrong = self.n_wrong_bounds + self.n_below_published_bound;
        anyhow::ensure!(n_wrong == 0, "{n_wrong} results contradict what is published");
        anyhow::ensure!(self.n_served == self.n_all, "{} plans do not serve everybody", self.n_all - self.n_served);
        Ok(())
    }

    pub(super) fn facility(&self) -> String {
        format!(
            "{} files: {} at the published optimum, {} within 0.5 % of it, {} proven to be the least; bounds above the optimum: \
             {}; costs below it: {}; worst {:.3} % above, gap at most {:.3} %, slowest {:.1} s",
            self.n_all,
            self.n_at_known,
            self.n_within_half,
            self.n_proven,
            self.n_wrong_bounds,
            self.n_below_published_bound,
            self.worst_above,
            self.worst_gap,
            self.slowest
        )
    }

    pub(super) fn estate(&self) -> String {
        format!(
            "{} files: {} at the best known cost or below, {} below it; bounds above the best known cost: {}; costs below the \
             published bound: {}; worst {:.3} % above the best known cost, gap at most {:.3} %, slowest {:.1} s",
            self.n_all,
            self.n_at_known,
            self.n_below_known,
            self.n_wrong_bounds,
            self.n_below_published_bound,
            self.worst_above,
            self.worst_gap,
            self.slowest
        )
    }
}

/// The page of the facility trials.
pub(super) fn facility_page(trials: &[Trial], summary: &Summary) -> String {
    let about = "\
# Placement on published facility problems

Generated by `cargo xtask facility --write`: single-source capacitated facility location, one run a file at thorough effort, in the unit of the
file. Optima as published: K. Holmberg, M. Rönnqvist, D. Yuan, EJOR 113 (1999) 544-559; J. A. Díaz, E. Fernández, JORS 53 (2002) 728-740; Z. Yang,
F. Chu, H. Chen, EJOR 221 (2012) 521-532; J. E. Beasley, OR-Library, with single-source values of G. Guastaroba, M. G. Speranza, EJOR 238
(2014) 438-450. A published value rounded to hundredths may be 0.01 from ours. Every plan is priced again by a judge that shares no code with the solver.
";
    page(about, &summary.facility(), "published", trials)
}

/// The page of the estate trials.
pub(super) fn estate_page(trials: &[Trial], summary: &Summary) -> String {
    let about = "\
# Placement on estates

Generated by `cargo xtask estate --write`: made-up estates of 20 to 8,000 openings, one run a file at thorough effort, in cents. \"Best known\" is the
best cost stored beside the instances. Every plan is priced again by a judge that shares no code with the solver.
";
    page(about, &summary.estate(), "best known", trials)
}

fn page(about: &str, summary: &str, known: &str, trials: &[Trial]) -> String {
    let mut out = format!(
        "{about}\n{summary}.\n\n| file | sites | customers | {known} | cost | bound | % above | gap % | seconds |\n\
         |---|---:|---:|---:|---:|---:|---:|---:|---:|\n"
    );
    for trial in trials {
        let _ = write!(out, "{}", trial.row());
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn trial(cost: f64, bound: f64, n_unserved: usize) -> Trial {
        let known = Known { file: "a.txt".to_owned(), cost: 1000.0, bound: 990.0 };
        Trial { known, n_sites: 2, n_customers: 3, n_unserved, cost, bound, gap: (cost - bound) / cost, seconds: 1.5 }
    }

    #[test]
    fn counts_tell_optimal_near_and_wrong_apart() {
        let trials = [
            trial(1000.01, 1000.01, 0),
            trial(1000.02, 999.0, 0),
            trial(1005.0, 1000.02, 0),
            trial(1005.1, 990.0, 0),
            trial(995.0, 995.0, 0),
            trial(10.0, 10.0, 2),
        ];
        let summary = Summary::of(&trials);
        assert_eq!((summary.n_all, summary.n_at_known, summary.n_below_known), (6, 2, 1));
        assert_eq!((summary.n_within_half, summary.n_proven, summary.n_wrong_bounds), (4, 2, 1));
        assert!((summary.worst_above - 0.51).abs() < 1e-9);
        assert!(summary.verify().is_err() && Summary::of(&trials[..2]).verify().is_ok());
        assert!(Summary::of(&[trial(995.0, 995.0, 1)]).verify().is_err());
        assert!(trials[2].line().ends_with("BOUND TOO HIGH") && trials[5].line().contains("2 NOT SERVED"));
    }
}
