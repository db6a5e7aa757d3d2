//! Small random problems against trying everything, and plans against the independent judge.

use std::ops::ControlFlow;

use dw_solve::location::{
    Arc, Customer, Effort, Family, Feasibility, Level, Model, Outcome, Problem, Site, Spare, Stock, check, feasible,
    price, solve,
};
use proptest::prelude::*;

fn run(problem: &Problem, level: Level) -> Outcome {
    solve(problem, &Effort::new(level), &mut |_| ControlFlow::Continue(()))
}

/// Fewest customers not served, and the least cost among plans that leave out so few, by trying every assignment.
fn best_of_all(problem: &Problem) -> (usize, i64) {
    fn extend(problem: &Problem, assignment: &mut Vec<Option<usize>>, best: &mut (usize, i64)) {
        let customer = assignment.len();
        if customer == problem.customers.len() {
            let n_unserved = assignment.iter().filter(|site| site.is_none()).count();
            if n_unserved <= best.0
                && let Ok(cost) = price(problem, assignment)
            {
                *best = (*best).min((n_unserved, cost.total()));
            }
            return;
        }
        for arc in &problem.customers[customer].arcs {
            assignment.push(Some(arc.site));
            extend(problem, assignment, best);
            assignment.pop();
        }
        assignment.push(None);
        if assignment.iter().filter(|site| site.is_none()).count() <= best.0 {
            extend(problem, assignment, best);
        }
        assignment.pop();
    }
    let mut best = (problem.customers.len(), i64::MAX);
    extend(problem, &mut Vec::new(), &mut best);
    best
}

fn models() -> impl Strategy<Value = Vec<Model>> {
    let model = (1u32..7, 0i64..100, 0i64..3, 0i64..30);
    prop::collection::vec(model, 1..4).prop_map(|models| {
        models
            .into_iter()
            .map(|(ports, price, units, watts)| Model { ports, price, uses: vec![units, watts] })
            .collect()
    })
}

fn family(n_sites: usize) -> impl Strategy<Value = Family> {
    let stock = (0..n_sites, 0usize..3, 0u32..3).prop_map(|(site, model, count)| Stock { site, model, count });
    (models(), prop::sample::select(vec![0u32, 10, 20, 50]), prop::collection::vec(stock, 0..3)).prop_map(
        |(models, spare_percent, already)| Family { models, spare: Spare::percent_of_used(spare_percent), already },
    )
}

fn site(is_limited: bool) -> impl Strategy<Value = Site> {
    (0i64..200, 0i64..6, 20i64..120).prop_map(move |(fixed, units, watts)| Site {
        fixed,
        limits: if is_limited { vec![units, watts] } else { Vec::new() },
    })
}

fn customer(n_sites: usize, n_families: usize) -> impl Strategy<Value = Customer> {
    let arc = (0..n_sites, -5i64..120).prop_map(|(site, cost)| Arc { site, cost });
    let uses = prop::sample::select(vec![vec![], vec![], vec![0, 7], vec![1, 0]]);
    (0..n_families, 0u32..=4, uses, prop::collection::vec(arc, 1..5)).prop_map(|(family, ports, uses, mut arcs)| {
        arcs.sort_by_key(|arc| (arc.site, arc.cost));
        arcs.dedup_by_key(|arc| arc.site);
        Customer { family, ports, uses, arcs }
    })
}

fn problem(is_limited: bool) -> impl Strategy<Value = Problem> {
    (1usize..=3, 1usize..=2).prop_flat_map(move |(n_sites, n_families)| {
        (
            prop::collection::vec(site(is_limited), n_sites),
            prop::collection::vec(family(n_sites), n_families),
            prop::collection::vec(customer(n_sites, n_families), 0..=7),
        )
            .prop_map(|(sites, families, customers)| Problem { sites, families, customers })
    })
}

/// What holds for every outcome: the judges agree, and the bound is one for the customers served.
fn judge(problem: &Problem, outcome: &Outcome) -> Result<(), TestCaseError> {
    prop_assert_eq!(price(problem, &outcome.plan.assignment).map(|cost| cost.total()), Ok(outcome.cost));
    prop_assert_eq!(check(problem, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
    prop_assert!(outcome.bound <= outcome.cost);
    let unserved: Vec<usize> =
        (0..problem.customers.len()).filter(|&customer| outcome.plan.assignment[customer].is_none()).collect();
    prop_assert_eq!(&unserved, &outcome.unserved);
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn small_problems_without_limits_reach_the_best_cost_of_all(problem in problem(false)) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        let (n_unserved, cost) = best_of_all(&problem);
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), (n_unserved, cost));
        prop_assert!(outcome.bound <= cost);
    }

    #[test]
    fn small_problems_with_limits_reach_the_best_cost_of_all(problem in problem(true)) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        let best = best_of_all(&problem);
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), best);
    }

    #[test]
    fn groups_are_feasible_exactly_when_some_plan_serves_them(problem in problem(true), kept in prop::collection::vec(any::<bool>(), 7)) {
        let group = Problem {
            customers: problem.customers.iter().zip(&kept).filter(|(_, kept)| **kept).map(|(c, _)| c.clone()).collect(),
            ..problem.clone()
        };
        let expected = if best_of_all(&group).0 == 0 { Feasibility::Yes } else { Feasibility::No };
        prop_assert_eq!(feasible(&problem, &kept), expected);
    }
}
