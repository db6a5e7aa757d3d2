//! Solves a stated placement, with what was issued nailed down, and counts what the result costs.

use std::collections::BTreeMap;
use std::ops::ControlFlow;

use dw_solve::location::{Effort, Level, Outcome, solve};

use super::keep::Kept;
use super::seat::{Unit, seat};
use super::statement::Statement;

/// Rooms whose issued seats are let go, one after another, before everything is planned anew.
const MAX_RELEASES: usize = 4;

/// A seated plan.
#[derive(Debug)]
pub(super) struct Solution {
    /// Site of each customer.
    pub(super) assignment: Vec<Option<usize>>,
    pub(super) units: Vec<Unit>,
    /// Cost in cents.
    pub(super) cost: i64,
    /// No plan for this data, with what is nailed down, costs less.
    pub(super) bound: i64,
    /// Customers nobody serves.
    pub(super) unserved: Vec<usize>,
}

/// The best plan around what stays as issued.
///
/// Where free ports lie so that new openings would need a controller too many for the room, its openings are let go
/// and the plan is made again.
pub(super) fn best(statement: &Statement, kept: &mut Kept, start: Option<&[Option<usize>]>) -> Solution {
    let mut n_released = 0;
    loop {
        let outcome = run(&kept.nailed(statement), start);
        let units = seat(statement, kept, &outcome.plan);
        let over = over_limit(statement, &outcome.plan.assignment, &units);
        // A plan with nothing nailed down keeps every limit by itself.
        let Some(site) = over.filter(|site| kept.controllers.keys().any(|controller| controller.0 == *site)) else {
            return finish(statement, kept, outcome, units);
        };
        n_released += 1;
        let sites = if n_released < MAX_RELEASES { vec![site] } else { kept.sites.values().copied().collect() };
        for site in sites {
            kept.release(site, "its room has no place for new controllers beside those issued");
        }
    }
}

fn run(problem: &dw_solve::location::Problem, start: Option<&[Option<usize>]>) -> Outcome {
    let effort = Effort { start: start.map(<[_]>::to_vec), ..Effort::new(Level::Normal) };
    solve(problem, &effort, &mut |_| ControlFlow::Continue(()))
}

fn finish(statement: &Statement, kept: &Kept, outcome: Outcome, units: Vec<Unit>) -> Solution {
    let cost = cost(statement, &outcome.plan.assignment, &units);
    let bound = outcome.bound.saturating_add(kept.price(statement)).min(cost);
    Solution { assignment: outcome.plan.assignment, units, cost, bound, unserved: outcome.unserved }
}

/// Arcs, rooms in use, and controllers beyond those already there.
fn cost(statement: &Statement, assignment: &[Option<usize>], units: &[Unit]) -> i64 {
    let mut cost = 0;
    let mut used = vec![false; statement.rooms.len()];
    for (customer, site) in assignment.iter().enumerate() {
        let Some(site) = *site else { continue };
        let arcs = &statement.problem.customers[customer].arcs;
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

/// The first room whose controllers and units take more of something than there is.
fn over_limit(statement: &Statement, assignment: &[Option<usize>], units: &[Unit]) -> Option<usize> {
    let sites = &statement.problem.sites;
    let mut taken: Vec<Vec<i64>> = sites.iter().map(|site| vec![0; site.limits.len()]).collect();
    let mut take = |site: usize, uses: &[i64]| {
        taken[site].iter_mut().zip(uses).for_each(|(taken, uses)| *taken += uses);
    };
    for unit in units {
        take(unit.site, &statement.problem.families[unit.family].models[unit.model].uses);
    }
    for (customer, site) in assignment.iter().enumerate() {
        if let Some(site) = *site {
            take(site, &statement.problem.customers[customer].uses);
        }
    }
    (0..sites.len()).find(|&site| taken[site].iter().zip(&sites[site].limits).any(|(taken, limit)| taken > limit))
}
