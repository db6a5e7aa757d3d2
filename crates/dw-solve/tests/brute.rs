//! Small random problems against trying everything, and plans against the independent judge.

use std::ops::ControlFlow;

use dw_solve::location::{
    Arc, Choice, Customer, Effort, Family, Feasibility, Level, Model, Outcome, Problem, Site, Spare, Stock, Variant,
    check, feasible, price, solve,
};
use proptest::prelude::*;

fn run(problem: &Problem, level: Level) -> Outcome {
    solve(problem, &Effort::new(level), &mut |_| ControlFlow::Continue(()))
}

/// Fewest customers not served, and the least cost among plans that leave out so few, by trying every assignment.
///
/// A beginning is given up once the independent judge finds no room for it, or once its price and the cheapest arcs of
/// the rest reach the best found: a customer more never makes equipment cheaper.
fn best_of_all(problem: &Problem) -> (usize, i64) {
    fn extend(
        problem: &Problem,
        assignment: &mut [Option<Choice>],
        at: usize,
        n_unserved: usize,
        best: &mut (usize, i64),
    ) {
        let Ok(cost) = price(problem, assignment) else { return };
        let cheapest = |customer: &Customer| customer.variants.iter().flat_map(|it| &it.arcs).map(|arc| arc.cost).min();
        // One that is left out later costs nothing, and then more are left out than so far.
        let rest: i64 = problem.customers[at..].iter().filter_map(cheapest).sum();
        if (n_unserved, cost.total() + rest) >= *best {
            return;
        }
        if at == assignment.len() {
            *best = (n_unserved, cost.total());
            return;
        }
        for (variant, what) in problem.customers[at].variants.iter().enumerate() {
            for arc in &what.arcs {
                assignment[at] = Some(Choice { variant, site: arc.site });
                extend(problem, assignment, at + 1, n_unserved, best);
            }
        }
        assignment[at] = None;
        extend(problem, assignment, at + 1, n_unserved + 1, best);
    }
    let n_customers = problem.customers.len();
    let mut best = (n_customers + 1, i64::MAX);
    extend(problem, &mut vec![None; n_customers], 0, 0, &mut best);
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

fn variant(n_sites: usize, n_families: usize) -> impl Strategy<Value = Variant> {
    let arc = (0..n_sites, -5i64..120).prop_map(|(site, cost)| Arc { site, cost });
    let uses = prop::sample::select(vec![vec![], vec![], vec![0, 7], vec![1, 0]]);
    (0..n_families, 0u32..=4, uses, prop::collection::vec(arc, 1..5)).prop_map(|(family, ports, uses, mut arcs)| {
        arcs.sort_by_key(|arc| (arc.site, arc.cost));
        arcs.dedup_by_key(|arc| arc.site);
        Variant { family, ports, uses, arcs }
    })
}

/// Problems of up to `n_customers` customers with up to `n_variants` variants each.
fn problem(is_limited: bool, n_customers: usize, n_variants: usize) -> impl Strategy<Value = Problem> {
    (1usize..=3, 1usize..=3).prop_flat_map(move |(n_sites, n_families)| {
        let customer = prop::collection::vec(variant(n_sites, n_families), 1..=n_variants)
            .prop_map(|variants| Customer { variants });
        (
            prop::collection::vec(site(is_limited), n_sites),
            prop::collection::vec(family(n_sites), n_families),
            prop::collection::vec(customer, 0..=n_customers),
        )
            .prop_map(|(sites, families, customers)| Problem {
                sites,
                families,
                customers,
                ..Problem::default()
            })
    })
}

/// Problems in which some customers must not share a controller; groups may overlap, and name who does not exist.
fn apart_problem(n_customers: usize, n_variants: usize) -> impl Strategy<Value = Problem> {
    let groups = prop::collection::vec(prop::collection::vec(0..n_customers + 1, 0..5), 1..4);
    let either = prop_oneof![problem(false, n_customers, n_variants), problem(true, n_customers, n_variants)];
    (either, groups).prop_map(|(problem, apart)| Problem { apart, ..problem })
}

/// Problems without ports: customers that take a share of what the sites hold.
fn plain_problem() -> impl Strategy<Value = Problem> {
    (2usize..=4, 1usize..=2).prop_flat_map(|(n_sites, n_resources)| {
        let site =
            (0i64..60, prop::collection::vec(5i64..40, n_resources)).prop_map(|(fixed, limits)| Site { fixed, limits });
        let customer = (prop::collection::vec(0i64..15, n_resources), prop::collection::vec(-3i64..50, n_sites))
            .prop_map(|(uses, costs)| {
                let arcs = costs.into_iter().enumerate().map(|(site, cost)| Arc { site, cost }).collect();
                Customer::single(Variant { uses, arcs, ..Variant::default() })
            });
        (prop::collection::vec(site, n_sites), prop::collection::vec(customer, 1..=8))
            .prop_map(|(sites, customers)| Problem { sites, customers, ..Problem::default() })
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
    fn small_problems_without_limits_reach_the_best_cost_of_all(problem in problem(false, 7, 1)) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        let (n_unserved, cost) = best_of_all(&problem);
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), (n_unserved, cost));
        prop_assert!(outcome.bound <= cost);
    }

    #[test]
    fn small_problems_with_limits_reach_the_best_cost_of_all(problem in problem(true, 7, 1)) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        let best = best_of_all(&problem);
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), best);
    }

    #[test]
    fn small_problems_with_variants_reach_the_best_cost_of_all(
        problem in prop_oneof![problem(false, 8, 3), problem(true, 8, 3)],
    ) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), best_of_all(&problem));
    }

    #[test]
    fn small_problems_with_customers_apart_reach_the_best_cost_of_all(
        problem in prop_oneof![apart_problem(8, 1), apart_problem(7, 2)],
    ) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        let best = best_of_all(&problem);
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), best);
        prop_assert!(outcome.bound <= best.1);
        // Nobody gains by staying apart.
        let together = best_of_all(&Problem { apart: Vec::new(), ..problem });
        prop_assert!(together <= best);
    }

    #[test]
    fn without_a_complete_search_the_bound_for_variants_stays_below_the_best_cost_of_all(
        problem in prop_oneof![problem(false, 8, 3), problem(true, 8, 3)],
    ) {
        // Whoever stops at the first report gets the bound of the relaxation alone.
        let outcome = solve(&problem, &Effort::new(Level::Quick), &mut |_| ControlFlow::Break(()));
        judge(&problem, &outcome)?;
        let best = best_of_all(&problem);
        prop_assert!((outcome.unserved.len(), outcome.cost) >= best);
        if outcome.unserved.len() == best.0 && best.0 == 0 {
            prop_assert!(outcome.bound <= best.1, "bound {} best {}", outcome.bound, best.1);
        }
    }

    #[test]
    fn problems_without_ports_reach_the_best_cost_of_all(problem in plain_problem()) {
        let outcome = run(&problem, Level::Normal);
        judge(&problem, &outcome)?;
        let best = best_of_all(&problem);
        prop_assert_eq!((outcome.unserved.len(), outcome.cost), best);
        prop_assert!(outcome.bound <= best.1);
    }

    #[test]
    fn whoever_stops_a_problem_without_ports_at_once_still_gets_a_plan(problem in plain_problem()) {
        let outcome = solve(&problem, &Effort::new(Level::Normal), &mut |_| ControlFlow::Break(()));
        judge(&problem, &outcome)?;
        let n_customers = problem.customers.len();
        prop_assert!(outcome.unserved.len() < n_customers || best_of_all(&problem).0 == n_customers);
    }

    #[test]
    fn groups_are_feasible_exactly_when_some_plan_serves_them(
        problem in prop_oneof![problem(true, 7, 1), problem(true, 7, 3), apart_problem(7, 2)],
        kept in prop::collection::vec(any::<bool>(), 7),
    ) {
        let served: Vec<usize> = (0..problem.customers.len()).filter(|&customer| kept[customer]).collect();
        let group = problem.only(&served);
        let expected = if best_of_all(&group).0 == 0 { Feasibility::Yes } else { Feasibility::No };
        prop_assert_eq!(feasible(&problem, &kept), expected);
    }
}
