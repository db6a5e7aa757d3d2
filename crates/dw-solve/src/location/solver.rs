//! The course of a solution: bound, first plans, search, plan.

use std::ops::ControlFlow;

use super::ascent::Ascent;
use super::bound::{self, Relaxation};
use super::build::build;
use super::case::{Case, NOWHERE, Spot};
use super::exact::{self, Answer};
use super::improve::Search;
use super::mixes::Mixes;
use super::narrow::{Narrowing, ROUNDS_PER_NODE};
use super::plain;
use super::plan::{Effort, Level, Outcome, Progress};
use super::problem::{Choice, Problem};
use super::renew::Renewal;
use super::state::State;
use crate::random::Random;

/// Rounds of the bound between two plans built from its multipliers, and between two reports.
const ROUNDS_PER_PLAN: u32 = 50;

/// Tries of the search between two reports.
const TRIES_PER_REPORT: usize = 64;

/// Customers times sites up to which settling sites raises the bound noticeably.
const MAX_NARROWED: usize = 200_000;

/// Fewest tries of the search; small problems need more tries per customer than large ones.
const MIN_TRIES: usize = 150;

/// Most tries of the search: about a minute.
const MOST_TRIES: usize = 70_000;

/// One in so many tries comes before the bound is raised by settling sites. *Common practice*; chosen by trial.
const FIRST_PART: usize = 4;

/// Customers per site up to which the search makes all its tries. A try renews whole sites, so that with more customers at
/// each there are fewer tries for the same work; few sites leave little to choose anyway.
const USUAL_AT_A_SITE: usize = 32;

/// Factor on the tries where customers can be served in several variants: there is more to choose. By trial.
const TRIES_WITH_VARIANTS: usize = 2;

/// Amount of work for a level, by trial on the estate instances.
struct Budget {
    /// Rounds of the bound.
    rounds: u32,
    /// Whether plans are built now and then although there is one to begin from. Otherwise one is built at the end.
    builds: bool,
    /// Tries of the search, per 16 customers.
    tries: usize,
    /// Loads looked at to close a small problem.
    loads: usize,
    /// Arcs evaluated to settle sites.
    narrowing: u64,
    /// How much dearer a plan may become at the beginning of the search, in thousandths of the average cost of a site;
    /// it shrinks to nothing at the end. A short search does better without.
    tolerance: i64,
}

impl Budget {
    fn of(level: Level) -> Self {
        match level {
            Level::Quick => Self { rounds: 100, builds: false, tries: 1, loads: 2_000, narrowing: 0, tolerance: 0 },
            Level::Normal => {
                Self { rounds: 300, builds: true, tries: 8, loads: 60_000, narrowing: 2_000_000, tolerance: 0 }
            }
            Level::Thorough => {
                Self { rounds: 1_500, builds: true, tries: 768, loads: 2_000_000, narrowing: 900_000_000, tolerance: 7 }
            }
        }
    }

    fn n_tries(&self, case: &Case) -> usize {
        let once = (case.n_customers() * self.tries / 16).max(MIN_TRIES * self.tries / 8).min(MOST_TRIES);
        let usual = if case.has_alternatives { once * TRIES_WITH_VARIANTS } else { once };
        let at_a_site = case.n_customers() / case.n_sites().max(1);
        (usual * USUAL_AT_A_SITE / at_a_site.max(USUAL_AT_A_SITE)).max(1)
    }
}

/// The best plan found for a problem, and a bound that no plan can undercut.
///
/// The course: multipliers climb to a lower bound ([Lagrangian relaxation](super)); plans are built from them now and
/// then and improved by local search; parts of the best one are renewed until the effort is spent. A previous assignment
/// in `effort.start` competes with the plans built. `progress` is called now and then and may stop the work; the best
/// plan so far is returned then.
///
/// Customers that cannot be served are listed in [`Outcome::unserved`] and the others get their best plan; serving more
/// customers always goes before cost, but without a proof that no plan serves more. The bound then holds for the
/// customers served.
///
/// ```
/// use std::ops::ControlFlow;
/// use dw_solve::location::{Arc, Choice, Customer, Effort, Family, Model, Problem, Site, Variant, price, solve};
/// let models = [(1, 420), (2, 610), (4, 940)].map(|(ports, price)| Model { ports, price, uses: vec![] });
/// let problem = Problem {
///     sites: vec![Site { fixed: 780, limits: vec![] }; 2],
///     families: vec![Family { models: models.to_vec(), ..Family::default() }],
///     customers: [(10, 90), (20, 30), (80, 20)]
///         .map(|(a, b)| {
///             let arcs = vec![Arc { site: 0, cost: a }, Arc { site: 1, cost: b }];
///             Customer::single(Variant { ports: 1, arcs, ..Variant::default() })
///         })
///         .to_vec(),
///     ..Problem::default()
/// };
/// let outcome = solve(&problem, &Effort::default(), &mut |_| ControlFlow::Continue(()));
/// assert_eq!(outcome.plan.assignment, [Some(Choice { variant: 0, site: 0 }); 3]);
/// assert_eq!(outcome.cost, 780 + 940 + 10 + 20 + 80);
/// assert_eq!(price(&problem, &outcome.plan.assignment).map(|cost| cost.total()), Ok(outcome.cost));
/// assert!(outcome.bound <= outcome.cost);
/// ```
pub fn solve(problem: &Problem, effort: &Effort, progress: &mut dyn FnMut(Progress) -> ControlFlow<()>) -> Outcome {
    let case = Case::new(problem);
    let is_lost = (0..case.n_customers()).map(|customer| case.arcs(customer).is_empty()).collect();
    let mut course = Course {
        case: &case,
        budget: Budget::of(effort.level),
        ascent: Ascent::new(Relaxation::new(&case), bound::start(&case), is_lost),
        best: State::new(&case),
        mixes: None,
        has_plan: false,
        work: 0,
        progress,
        stopped: false,
        is_best: false,
        own_bound: None,
    };
    if let Some(start) = &effort.start {
        course.try_start(start);
    }
    if !course.solve_plain(effort) {
        course.climb();
        let mut random = Random::new(effort.seed);
        let (n_tries, tolerance) = (course.budget.n_tries(&case), course.budget.tolerance);
        if course.is_narrowed() {
            // A plan near the best makes it cheap to raise the bound, and the bound ends the search for a better one early.
            let n_first = n_tries / FIRST_PART;
            course.search(n_first, 0, &mut random);
            course.finish();
            course.narrow();
            course.search(n_tries - n_first, tolerance, &mut random);
        } else {
            course.search(n_tries, tolerance, &mut random);
            course.finish();
        }
    }
    course.outcome()
}

/// The work in progress.
struct Course<'c, 'p> {
    case: &'c Case,
    budget: Budget,
    ascent: Ascent<Relaxation<'c>>,
    best: State<'c>,
    /// Mixes of a state that was not kept: finding them takes a good part of the work.
    mixes: Option<Mixes>,
    /// Whether `best` is a plan yet.
    has_plan: bool,
    work: u64,
    progress: &'p mut dyn FnMut(Progress) -> ControlFlow<()>,
    stopped: bool,
    /// Whether the best plan is proven to be the best by a complete search.
    is_best: bool,
    /// A bound beyond that of the multipliers.
    own_bound: Option<i64>,
}

impl<'c> Course<'c, '_> {
    /// Takes a previous assignment as a first plan.
    fn try_start(&mut self, start: &[Option<Choice>]) {
        let mut state = self.nobody();
        let start = start.iter().take(self.case.n_customers()).enumerate();
        let spots: Vec<Spot> = start
            .map(|(customer, choice)| choice.map_or(Spot::NONE, |choice| self.case.spot(customer, choice)))
            .collect();
        state.load(&spots);
        self.complete(state);
    }

    /// Solves a problem without ports by its own course; says whether it was one, and a plan was found.
    fn solve_plain(&mut self, effort: &Effort) -> bool {
        if !plain::suits(self.case) {
            return false;
        }
        let start = (self.has_plan && self.best.n_unserved == 0).then_some(self.best.assigned.as_slice());
        let found = plain::solve(self.case, effort.level, effort.seed, start, self.progress);
        self.work += found.work;
        self.stopped = found.stopped;
        let Some(sites) = found.plan else { return false };
        let spots: Vec<Spot> = sites
            .into_iter()
            .enumerate()
            .map(|(customer, site)| Spot { site, variant: self.case.arcs(customer)[0].variant })
            .collect();
        let mut state = State::new(self.case);
        state.load(&spots);
        self.complete(state);
        self.own_bound = Some(found.bound);
        true
    }

    /// Raises the bound, with a plan now and then to aim at.
    fn climb(&mut self) {
        let has_start = self.has_plan;
        for round in 1..=self.budget.rounds {
            let is_whole = self.has_plan && self.n_possible() == self.case.n_customers() - self.best.n_unserved;
            let proven = self.ascent.proven();
            let target = if is_whole { self.best.cost } else { proven.saturating_add(proven.abs() / 10) };
            self.ascent.round(target);
            self.work += self.case.n_arcs() as u64;
            // Whoever has stopped the work before gets a plan all the same.
            let is_last = round == self.budget.rounds || self.ascent.has_settled() || self.stopped;
            let builds = self.budget.builds || !has_start;
            if builds && round.is_multiple_of(ROUNDS_PER_PLAN) || is_last {
                let state = self.nobody();
                self.complete(state);
                if self.case.has_alternatives && builds {
                    let mut random = Random::new(u64::from(round));
                    self.ascent.relaxation.favour(&mut random);
                    let state = self.nobody();
                    self.complete(state);
                    self.ascent.relaxation.favour_none();
                }
                self.report();
            }
            if is_last || self.stopped || self.is_proven() {
                return;
            }
        }
    }

    /// How many customers have a site at all.
    fn n_possible(&self) -> usize {
        self.ascent.is_left_out.iter().filter(|out| !**out).count()
    }

    /// Completes a plan by the multipliers of the bound, improves it, and keeps it if it is the best.
    fn complete(&mut self, mut state: State<'c>) {
        let sites: Vec<usize> = (0..self.case.n_sites()).collect();
        let customers: Vec<usize> =
            (0..self.case.n_customers()).filter(|&customer| state.assigned[customer] == NOWHERE).collect();
        build(&mut state, &mut self.ascent.relaxation, &self.ascent.best, &sites, &customers);
        let mut search = Search { state: &mut state, work: 0 };
        search.settle(sites);
        self.work += search.work;
        if !self.has_plan || (state.n_unserved, state.cost) < (self.best.n_unserved, self.best.cost) {
            std::mem::swap(&mut self.best, &mut state);
            self.has_plan = true;
        }
        self.mixes = Some(state.mixes);
    }

    /// A state that serves nobody yet and knows the mixes found for the last one that was not kept.
    fn nobody(&mut self) -> State<'c> {
        self.mixes.take().map_or_else(|| State::new(self.case), |mixes| State::with(self.case, mixes))
    }

    /// Renews parts of the best plan, so many times, with so much [tolerance](Budget::tolerance).
    fn search(&mut self, n_tries: usize, tolerance: i64, random: &mut Random) {
        if self.is_best {
            return;
        }
        let n_in_use = self.best.members.iter().map(|members| i64::from(!members.is_empty())).sum::<i64>().max(1);
        let tolerance = self.best.cost.abs() / n_in_use / 1000 * tolerance;
        let mut done = 0;
        let bound = self.proven();
        let multipliers = self.ascent.best.clone();
        let mut state = std::mem::replace(&mut self.best, State::new(self.case));
        let mut renewal =
            Renewal::new(&mut state, &mut self.ascent.relaxation, &multipliers, Random::new(random.next()));
        while done < n_tries && !self.stopped && !renewal.is_at(bound) {
            for _ in 0..TRIES_PER_REPORT.min(n_tries - done) {
                let left = (n_tries - done) as i128;
                renewal.renew((i128::from(tolerance) * left / n_tries as i128) as i64);
                done += 1;
            }
            let (n_unserved, cost) = renewal.best_value();
            let report = Progress { work: self.work + renewal.work(), cost: Some(cost), bound, n_unserved };
            self.stopped = (self.progress)(report).is_break();
        }
        self.work += renewal.finish();
        self.best = state;
    }

    /// Whether the bound is raised by settling sites: for a problem that is not too large.
    fn is_narrowed(&self) -> bool {
        self.budget.narrowing > 0 && self.case.n_sites() * self.case.n_customers() <= MAX_NARROWED
    }

    /// Raises the bound by settling sites.
    fn narrow(&mut self) {
        if self.stopped || self.is_best || self.best.n_unserved > 0 || self.is_proven() {
            return;
        }
        let cost = self.best.cost;
        let known = self.ascent.proven();
        let (multipliers, step) = (self.ascent.best.clone(), self.ascent.step);
        let mut narrowing = Narrowing::new(self.case.n_sites(), &multipliers, known);
        let until = self.work + self.budget.narrowing;
        while self.work < until && !self.stopped && narrowing.step(&mut self.ascent, cost) {
            self.work += u64::from(ROUNDS_PER_NODE) * self.case.n_arcs() as u64;
            let bound = narrowing.bound(cost);
            self.stopped =
                (self.progress)(Progress { work: self.work, cost: Some(cost), bound, n_unserved: 0 }).is_break();
        }
        self.ascent.relaxation.settlement = None;
        self.ascent.restart(&multipliers, step);
        self.own_bound = Some(narrowing.bound(cost).max(known));
    }

    /// Closes the gap of a small problem by a complete search.
    fn finish(&mut self) {
        if self.stopped || self.is_proven() {
            return;
        }
        let known = (self.best.n_unserved, self.best.cost);
        let (relaxation, multipliers) = (&mut self.ascent.relaxation, &self.ascent.best);
        match exact::finish(self.case, relaxation, multipliers, known, self.budget.loads) {
            Some(Answer::Better(assignment)) => {
                self.best = State::new(self.case);
                self.best.load(&assignment);
                self.is_best = true;
            }
            Some(Answer::KnownIsBest) => self.is_best = true,
            None => {}
        }
    }

    fn report(&mut self) {
        let report = Progress {
            work: self.work,
            cost: self.has_plan.then_some(self.best.cost),
            bound: self.ascent.proven(),
            n_unserved: self.best.n_unserved,
        };
        self.stopped = (self.progress)(report).is_break();
    }

    /// What is proven so far.
    fn proven(&self) -> i64 {
        self.own_bound.unwrap_or_else(|| self.ascent.proven())
    }

    /// Whether the best plan is proven to be the best there is.
    fn is_proven(&self) -> bool {
        self.has_plan && self.best.n_unserved == 0 && self.best.cost <= self.proven()
    }

    /// The plan and its figures; the bound is computed anew when it must hold for fewer customers.
    fn outcome(mut self) -> Outcome {
        let is_unserved: Vec<bool> = self.best.assigned.iter().map(|&site| site == NOWHERE).collect();
        if !self.is_best && is_unserved != self.ascent.is_left_out {
            self.ascent = Ascent::new(Relaxation::new(self.case), bound::start(self.case), is_unserved.clone());
            for _ in 0..self.budget.rounds {
                if self.stopped || self.ascent.has_settled() {
                    break;
                }
                self.ascent.round(self.best.cost);
                self.work += self.case.n_arcs() as u64;
            }
        }
        let cost = self.best.cost;
        let bound = if self.is_best { cost } else { self.proven().min(cost) };
        let gap = if bound == cost { 0.0 } else { (cost - bound) as f64 / (cost as f64).abs().max(1.0) };
        Outcome {
            plan: self.best.plan(),
            cost,
            bound,
            gap,
            unserved: (0..is_unserved.len()).filter(|&customer| is_unserved[customer]).collect(),
            work: self.work,
            stopped: self.stopped,
        }
    }
}
