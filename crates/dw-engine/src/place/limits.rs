//! What the limits of rooms cost: the plan beside one without them.

use dw_core::Money;
use dw_solve::location::{Level, Plan};

use super::solve::{Solution, Work, taken};
use super::statement::{RESOURCES, Resource, Statement};

/// Openings up to which the second plan is made; beyond it, it takes longer than it is worth while somebody watches.
const MAX_OPENINGS: usize = 300;

/// Limits a plan without limits would break, and what it would cost less.
#[derive(Debug)]
pub(super) struct PriceOfLimits {
    pub(super) less: Money,
    pub(super) broken: Vec<(usize, Resource)>,
}

/// The price of the limits of rooms; `None` when they cost nothing, when somebody is unserved, or for a large site.
pub(super) fn price_of_limits(
    statement: &Statement,
    solution: &Solution,
    work: &mut Work<'_, '_>,
) -> Option<PriceOfLimits> {
    let is_small = statement.openings.len() <= MAX_OPENINGS;
    let is_limited = statement.problem.sites.iter().any(|site| site.limits.iter().any(|&limit| limit < i64::MAX));
    if !is_small || !is_limited || !solution.unserved.is_empty() {
        return None;
    }
    let mut free = statement.problem.clone();
    free.sites.iter_mut().for_each(|site| site.limits.fill(i64::MAX));
    let outcome = work.run(&free, Level::Normal, Some(&solution.assignment));
    let broken = broken(statement, &outcome.plan);
    let less = Money::from_cents((solution.cost - outcome.cost).max(0));
    (!broken.is_empty() && less > Money::ZERO).then_some(PriceOfLimits { less, broken })
}

fn broken(statement: &Statement, plan: &Plan) -> Vec<(usize, Resource)> {
    let models = plan.models.iter().map(|it| ((it.site, it.family, it.model), it.count));
    let taken = taken(statement, &plan.assignment, models);
    let limits = statement.problem.sites.iter().map(|site| &site.limits);
    let by_site = taken.iter().zip(limits).enumerate().flat_map(|(site, (taken, limits))| {
        let over = RESOURCES.iter().zip(taken.iter().zip(limits)).filter(|it| it.1.0 > it.1.1);
        over.map(move |it| (site, *it.0))
    });
    by_site.collect()
}
