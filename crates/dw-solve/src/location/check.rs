//! An independent judge of complete plans: it shares no code with the solver.
//!
//! Nothing is chosen here; every seat, limit and figure is verified as it stands.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::Plan;
use super::price::{Cost, Violation, add_uses, arcs_and_fixed};
use super::problem::Problem;

/// Verifies a complete plan as it stands and adds up its cost.
///
/// Every served customer with ports has a seat on a model that the plan lists, no port is used twice, ports in use and
/// spare ones are there, nobody shares a model with one to stay apart from, and no limit is exceeded.
pub fn check(problem: &Problem, plan: &Plan) -> Result<Cost, Violation> {
    let (mut cost, by_site) = arcs_and_fixed(problem, &plan.assignment)?;
    if plan.seats.len() != plan.assignment.len() {
        return Err(Violation::Length);
    }
    let mut counts: BTreeMap<(usize, usize, usize), u64> = BTreeMap::new();
    for install in &plan.models {
        *counts.entry((install.site, install.family, install.model)).or_default() += u64::from(install.count);
    }
    check_seats(problem, plan, &counts)?;
    check_apart(problem, plan)?;
    let mut installed: BTreeMap<(usize, usize), u64> = BTreeMap::new();
    let mut taken: BTreeMap<usize, Vec<i64>> = BTreeMap::new();
    for (&(site, family, model), &count) in &counts {
        let kind = &problem.families[family];
        let what = &kind.models[model];
        let there = kind.already.iter().filter(|stock| stock.site == site && stock.model == model);
        let there: u64 = there.map(|stock| u64::from(stock.count)).sum();
        let bought = i64::try_from(count.saturating_sub(there)).unwrap_or(i64::MAX);
        cost.models = cost.models.saturating_add(what.price.max(0).saturating_mul(bought));
        *installed.entry((site, family)).or_default() += u64::from(what.ports) * count;
        let taken = taken.entry(site).or_insert_with(|| vec![0; problem.sites[site].limits.len()]);
        for _ in 0..count {
            add_uses(taken, &what.uses);
        }
    }
    for (&site, served) in &by_site {
        let taken = taken.entry(site).or_insert_with(|| vec![0; problem.sites[site].limits.len()]);
        let mut used = vec![0u64; problem.families.len()];
        for (_, variant) in served {
            add_uses(taken, &variant.uses);
            if variant.ports > 0 {
                used[variant.family] += u64::from(variant.ports);
            }
        }
        for (family, used) in used.into_iter().enumerate() {
            let there = installed.get(&(site, family)).copied().unwrap_or(0);
            let (wanted, of) = problem.families[family].spare.ratio();
            if there * of < used * wanted {
                return Err(Violation::Spare { site, family });
            }
        }
    }
    for (&site, taken) in &taken {
        let exceeded = taken.iter().zip(&problem.sites[site].limits).position(|(taken, limit)| taken > limit);
        if let Some(resource) = exceeded {
            return Err(Violation::Limit { site, resource });
        }
    }
    Ok(cost)
}

/// Verifies that every seat exists, suits its customer and is used once.
fn check_seats(problem: &Problem, plan: &Plan, counts: &BTreeMap<(usize, usize, usize), u64>) -> Result<(), Violation> {
    for &(site, family, model) in counts.keys() {
        let exists = problem.families.get(family).is_some_and(|family| model < family.models.len());
        if site >= problem.sites.len() || !exists {
            return Err(Violation::NoRoom { site });
        }
    }
    let mut in_use = BTreeSet::new();
    for (customer, what) in problem.customers.iter().enumerate() {
        let served = plan.assignment[customer].and_then(|it| Some((it.site, what.variants.get(it.variant)?)));
        let served = served.filter(|(_, variant)| variant.ports > 0);
        let (Some((site, what)), Some(seat)) = (served, plan.seats[customer]) else {
            if served.is_some() || plan.seats[customer].is_some() {
                return Err(Violation::Seat { customer });
            }
            continue;
        };
        let count = counts.get(&(seat.site, seat.family, seat.model)).copied().unwrap_or(0);
        let suits = seat.site == site && seat.family == what.family && u64::from(seat.number) < count;
        let ports = if suits { problem.families[seat.family].models[seat.model].ports } else { 0 };
        if seat.first_port.saturating_add(what.ports) > ports {
            return Err(Violation::Seat { customer });
        }
        for port in seat.first_port..seat.first_port + what.ports {
            if !in_use.insert((seat.site, seat.family, seat.model, seat.number, port)) {
                return Err(Violation::Taken { customer });
            }
        }
    }
    Ok(())
}

/// Verifies that no two customers of a group hold ports of one model.
fn check_apart(problem: &Problem, plan: &Plan) -> Result<(), Violation> {
    for group in &problem.apart {
        let members: BTreeSet<usize> = group.iter().copied().collect();
        let mut in_use = BTreeSet::new();
        for customer in members {
            let Some(seat) = plan.seats.get(customer).copied().flatten() else { continue };
            if !in_use.insert((seat.site, seat.family, seat.model, seat.number)) {
                return Err(Violation::Shared { customer });
            }
        }
    }
    Ok(())
}
