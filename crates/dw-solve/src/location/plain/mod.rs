//! Problems in which nobody asks for ports and each customer is served in one manner only: the capacitated facility
//! location of the books. Models play no part in them, so the bound can keep the limits, and the search can break them
//! on its way.
//!
//! The course: multipliers climb ([`relax`]); annealing looks for a plan ([`anneal`]); a tree of settled sites and arcs
//! closes in from both sides ([`tree`]) until its effort is spent.

mod anneal;
mod relax;
mod sack;
mod tree;

use std::ops::ControlFlow;

use self::anneal::{Annealing, MOVES_PER_ROUND};
use self::relax::Sites;
use self::tree::Tree;
use super::ascent::Ascent;
use super::case::Case;
use super::plan::{Level, Progress};
use crate::random::Random;

/// Customers times sites up to which tables of all arcs are kept.
const MAX_PAIRS: usize = 4_000_000;

/// Cost of a plan not found yet; small enough for the fine units of the bound.
const UNKNOWN: i64 = i64::MAX / 256;

/// Rounds of one cooling, per customer. *Common practice*; chosen by trial.
const ROUNDS_PER_CUSTOMER: u64 = 5;

/// Amount of work, by trial on published instances.
struct Budget {
    /// Rounds of the bound.
    rounds: u32,
    coolings: u64,
    /// Work of the tree, in arcs evaluated.
    branching: u64,
}

impl Budget {
    fn of(level: Level) -> Self {
        match level {
            Level::Quick => Self { rounds: 60, coolings: 1, branching: 0 },
            Level::Normal => Self { rounds: 200, coolings: 2, branching: 10_000_000 },
            Level::Thorough => Self { rounds: 600, coolings: 8, branching: 500_000_000 },
        }
    }
}

/// What was found.
#[derive(Debug)]
pub(super) struct Found {
    /// Site of each customer; `None` when no plan serves everybody within the limits, as far as was seen.
    pub(super) plan: Option<Vec<u32>>,
    /// No plan costs less.
    pub(super) bound: i64,
    pub(super) work: u64,
    pub(super) stopped: bool,
}

/// Whether this is the course for a problem.
pub(super) fn suits(case: &Case) -> bool {
    case.n_customers() > 0
        && !case.has_alternatives
        && case.n_customers() * case.n_sites() <= MAX_PAIRS
        && case.is_limited.iter().any(|is_limited| *is_limited)
        && case.variants.iter().all(|variant| variant.ports == 0)
        && (0..case.n_customers()).all(|customer| !case.arcs(customer).is_empty())
}

/// Looks for the best plan, from a start (site of each customer) when there is one.
pub(super) fn solve(
    case: &Case,
    level: Level,
    seed: u64,
    start: Option<&[u32]>,
    progress: &mut dyn FnMut(Progress) -> ControlFlow<()>,
) -> Found {
    let budget = Budget::of(level);
    let n_customers = case.n_customers();
    let mut ascent = Ascent::new(Sites::new(case), Sites::start(case), vec![false; n_customers]);
    let per_round = case.n_arcs() as u64;
    let mut course = Course { work: 0, stopped: false, n_customers, progress };
    for round in 1..=budget.rounds {
        let target = ascent.proven().saturating_add(ascent.proven().abs() / 20 + 1);
        ascent.round(target);
        course.work += per_round;
        if ascent.has_settled() || (round % 20 == 0 && course.tell(None, ascent.proven())) {
            break;
        }
    }
    let worth = ascent.relaxation.worth(&ascent.best);
    let mut annealing = Annealing::new(case, start, &ascent.relaxation.taker, worth, Random::new(seed));
    let n_rounds = n_customers as u64 * ROUNDS_PER_CUSTOMER;
    for _ in 0..budget.coolings {
        if course.stopped || annealing.cost().is_some_and(|cost| cost <= ascent.proven()) {
            break;
        }
        annealing.cool_best(n_rounds, |best| course.tell(best, ascent.proven()));
        course.work += MOVES_PER_ROUND * n_rounds;
    }
    let mut tree = Tree::new(case, &ascent.best, ascent.proven());
    let before = course.work;
    while tree.work < budget.branching && !course.stopped {
        if !tree.step(&mut ascent, annealing.cost().unwrap_or(UNKNOWN), &mut annealing) {
            break;
        }
        course.work = before + tree.work;
        let cost = annealing.cost();
        course.tell(cost, tree.bound(cost.unwrap_or(UNKNOWN)));
    }
    let bound = tree.bound(annealing.cost().unwrap_or(UNKNOWN));
    Found { plan: annealing.into_best(), bound, work: course.work, stopped: course.stopped }
}

/// Work done, and whom to tell.
struct Course<'p> {
    work: u64,
    stopped: bool,
    n_customers: usize,
    progress: &'p mut dyn FnMut(Progress) -> ControlFlow<()>,
}

impl Course<'_> {
    /// Reports; says whether to stop.
    fn tell(&mut self, cost: Option<i64>, bound: i64) -> bool {
        let n_unserved = if cost.is_some() { 0 } else { self.n_customers };
        self.stopped |= (self.progress)(Progress { work: self.work, cost, bound, n_unserved }).is_break();
        self.stopped
    }
}
