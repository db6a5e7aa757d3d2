//! Solves a stated placement, with what was issued nailed down, and counts what the result costs.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::Money;
use dw_solve::location::{Choice, Effort, Level, Outcome, Plan, Problem, solve};

use super::keep::Kept;
use super::seat::{Unit, seat};
use super::statement::Statement;
use crate::{PlanSoFar, Step, Watch};

/// Rooms whose issued seats are let go, one after another, before everything is planned anew.
const MAX_RELEASES: usize = 4;

/// Openings tried as the one to give up, and the size of a site up to which that is done: a clash never takes minutes.
const MAX_TRIES: usize = 60;
const MAX_TRIED: usize = 300;

/// A seated plan.
#[derive(Debug)]
pub(super) struct Solution {
    /// Variant and site of each customer.
    pub(super) assignment: Vec<Option<Choice>>,
    pub(super) units: Vec<Unit>,
    /// Cost in cents.
    pub(super) cost: i64,
    /// No plan for this data, with what is nailed down, costs less.
    pub(super) bound: i64,
    /// Customers nobody serves.
    pub(super) unserved: Vec<usize>,
    /// The plan as the solver gave it, for its judge.
    pub(super) plan: Plan,
}

/// What work may be spent on solving, and who hears of it.
pub(super) struct Work<'a, 'w> {
    effort: Level,
    watch: &'a mut Watch<'w>,
}

impl<'a, 'w> Work<'a, 'w> {
    pub(super) fn new(effort: Level, watch: &'a mut Watch<'w>) -> Self {
        Self { effort, watch }
    }

    /// Whether somebody stopped the search.
    pub(super) fn is_stopped(&self) -> bool {
        self.watch.is_stopped()
    }

    /// Tells that work goes on; whether somebody wants it to stop.
    pub(super) fn is_to_stop(&mut self) -> bool {
        self.watch.tell(Step { pass: PASS, plan: None }).is_break()
    }

    /// Solves with the effort asked for, and tells of the best plan; `paid` is what it costs beside what the solver counts.
    fn solve(&mut self, problem: &Problem, start: Option<&[Option<Choice>]>, paid: i64) -> Outcome {
        let money = |cents: i64| Money::from_cents(cents.saturating_add(paid));
        let effort = Effort { start: start.map(<[_]>::to_vec), ..Effort::new(self.effort) };
        solve(problem, &effort, &mut |so_far| {
            let (bound, unserved) = (money(so_far.bound), so_far.n_unserved);
            let plan = so_far.cost.map(|cost| PlanSoFar { cost: money(cost), bound, unserved });
            self.watch.tell(Step { pass: PASS, plan })
        })
    }

    /// Solves a problem beside the one asked for, with no more than the effort asked for.
    pub(super) fn run(&mut self, problem: &Problem, level: Level, start: Option<&[Option<Choice>]>) -> Outcome {
        let effort = Effort { start: start.map(<[_]>::to_vec), ..Effort::new(level.min(self.effort)) };
        solve(problem, &effort, &mut |_| self.watch.tell(Step { pass: PASS, plan: None }))
    }
}

/// Name of the pass, as it is heard.
const PASS: &str = "place";

/// The best plan around what stays as issued.
///
/// Where free ports lie so that new openings would need a controller too many for the room, its openings are let go
/// and the plan is made again.
pub(super) fn best(
    statement: &Statement,
    kept: &mut Kept,
    start: Option<&[Option<Choice>]>,
    work: &mut Work<'_, '_>,
) -> Solution {
    release_beyond_limits(statement, kept);
    let mut n_released = 0;
    loop {
        let outcome = serve_most(&kept.nailed(statement), start, kept.price(statement), work);
        let units = seat(statement, kept, &outcome.plan);
        let over = over_limit(statement, &outcome.plan.assignment, &units);
        // A plan with nothing nailed down keeps every limit by itself.
        let over = over.filter(|site| kept.controllers.keys().any(|controller| controller.0 == *site));
        let left_out = outcome.unserved.iter().find_map(|customer| Some(kept.choices.get(customer)?.site));
        let Some(site) = over.or(left_out) else {
            return finish(statement, kept, outcome, units);
        };
        n_released += 1;
        let sites = if n_released < MAX_RELEASES {
            vec![site]
        } else {
            kept.choices.values().map(|choice| choice.site).collect()
        };
        for site in sites {
            kept.release(site, "its room has no place for new controllers beside those issued");
        }
    }
}

/// Lets go the rooms where what was issued alone takes more than there is, as after a limit was lowered.
fn release_beyond_limits(statement: &Statement, kept: &mut Kept) {
    let mut assignment = vec![None; statement.marks.len()];
    kept.choices.iter().for_each(|(&customer, &choice)| assignment[customer] = Some(choice));
    let taken = taken(statement, &assignment, kept.counts().into_iter());
    for (site, taken) in taken.iter().enumerate() {
        let limits = &statement.problem.sites[site].limits;
        if taken.iter().zip(limits).any(|(taken, limit)| taken > limit) {
            kept.release(site, "its room holds less now than was issued there");
        }
    }
}

/// The best plan found; where several openings stay unserved, the one in whose place most others can be served is given
/// up instead, and the rest is planned, and its bound found, without those given up.
fn serve_most(problem: &Problem, start: Option<&[Option<Choice>]>, paid: i64, work: &mut Work<'_, '_>) -> Outcome {
    let whole = work.solve(problem, start, paid);
    if whole.unserved.is_empty() {
        return whole;
    }
    let mut given_up = whole.unserved.clone();
    let mut assignment = whole.plan.assignment.clone();
    let mut n_tries = 0;
    while given_up.len() > 1 && assignment.len() <= MAX_TRIED {
        let sites: BTreeSet<usize> = given_up.iter().flat_map(|&it| problem.customers[it].sites()).collect();
        let here = |customer: &usize| assignment[*customer].is_some_and(|choice| sites.contains(&choice.site));
        let blockers: Vec<usize> = (0..assignment.len()).filter(here).collect();
        let better = blockers.into_iter().find_map(|blocker| {
            n_tries += 1;
            let tried = (n_tries <= MAX_TRIES)
                .then(|| work.run(&without(problem, &[blocker]), Level::Quick, Some(&assignment)))?;
            (tried.unserved.len() < given_up.len()).then_some(tried)
        });
        let Some(better) = better else { break };
        given_up = better.unserved;
        assignment = better.plan.assignment;
    }
    let rest = work.solve(&without(problem, &given_up), Some(&assignment), paid);
    if rest.unserved.len() <= given_up.len() { rest } else { whole }
}

/// The problem with some customers that nobody can serve.
fn without(problem: &Problem, customers: &[usize]) -> Problem {
    let mut rest = problem.clone();
    for &customer in customers {
        rest.customers[customer].variants.clear();
    }
    rest
}

fn finish(statement: &Statement, kept: &Kept, outcome: Outcome, units: Vec<Unit>) -> Solution {
    let cost = cost(statement, &outcome.plan.assignment, &units);
    let bound = outcome.bound.saturating_add(kept.price(statement)).min(cost);
    let assignment = outcome.plan.assignment.clone();
    Solution { assignment, units, cost, bound, unserved: outcome.unserved, plan: outcome.plan }
}

/// Arcs, rooms in use, and controllers beyond those already there.
fn cost(statement: &Statement, assignment: &[Option<Choice>], units: &[Unit]) -> i64 {
    let mut cost = 0;
    let mut used = vec![false; statement.rooms.len()];
    for (customer, choice) in assignment.iter().enumerate() {
        let Some(choice) = *choice else { continue };
        let (site, arcs) = (choice.site, &statement.chosen(customer, choice).arcs);
        cost += arcs.iter().filter(|arc| arc.site == site).map(|arc| arc.cost).min().unwrap_or(0);
        used[site] = true;
    }
    cost += (0..used.len()).filter(|&site| used[site]).map(|site| statement.problem.sites[site].fixed).sum::<i64>();
    for ((site, family, model), count) in counts(units) {
        let bought = count.saturating_sub(statement.already(site, family, model));
        cost += statement.problem.families[family].models[model].price * i64::from(bought);
    }
    cost
}

fn counts(units: &[Unit]) -> BTreeMap<(usize, usize, usize), u32> {
    let mut counts = BTreeMap::new();
    for unit in units {
        *counts.entry((unit.site, unit.family, unit.model)).or_default() += 1;
    }
    counts
}

/// What controllers and units take of each resource, by site.
pub(super) fn taken(
    statement: &Statement,
    assignment: &[Option<Choice>],
    models: impl Iterator<Item = ((usize, usize, usize), u32)>,
) -> Vec<Vec<i64>> {
    let mut taken: Vec<Vec<i64>> = statement.problem.sites.iter().map(|site| vec![0; site.limits.len()]).collect();
    let mut take = |site: usize, uses: &[i64], count: i64| {
        taken[site].iter_mut().zip(uses).for_each(|(taken, uses)| *taken += uses * count);
    };
    for ((site, family, model), count) in models {
        take(site, &statement.problem.families[family].models[model].uses, i64::from(count));
    }
    for (customer, choice) in assignment.iter().enumerate() {
        if let Some(choice) = *choice {
            take(choice.site, &statement.chosen(customer, choice).uses, 1);
        }
    }
    taken
}

/// The first room whose controllers and units take more of something than there is.
fn over_limit(statement: &Statement, assignment: &[Option<Choice>], units: &[Unit]) -> Option<usize> {
    let taken = taken(statement, assignment, counts(units).into_iter());
    let limits = statement.problem.sites.iter().map(|site| &site.limits);
    taken.iter().zip(limits).position(|(taken, limits)| taken.iter().zip(limits).any(|(taken, limit)| taken > limit))
}
