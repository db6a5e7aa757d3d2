//! Behaviour of placement on hand-made problems: limits, spare ports, stock, pins, warm start, stopping, odd data.

use std::ops::ControlFlow;

use dw_solve::location::{
    Arc, Choice, Customer, Effort, Family, Feasibility, Install, Level, MAX_AMOUNT, Model, Outcome, Problem, Seat,
    Site, Spare, Stock, Variant, Violation, check, feasible, price, solve,
};
use proptest::prelude::*;

fn run(problem: &Problem) -> Outcome {
    solve(problem, &Effort::default(), &mut |_| ControlFlow::Continue(()))
}

fn variant(family: usize, ports: u32, arcs: &[(usize, i64)]) -> Variant {
    let arcs = arcs.iter().map(|&(site, cost)| Arc { site, cost }).collect();
    Variant { family, ports, arcs, uses: Vec::new() }
}

fn customer(ports: u32, arcs: &[(usize, i64)]) -> Customer {
    Customer::single(variant(0, ports, arcs))
}

/// The first variant at a site.
fn at(site: usize) -> Choice {
    Choice::first_at(site)
}

fn family() -> Family {
    let model = |ports, price| Model { ports, price, uses: vec![1] };
    Family { models: vec![model(1, 420), model(2, 610), model(4, 940)], ..Family::default() }
}

/// `n_sites` sites of fixed cost 780 with at most `limit` models each.
fn problem(n_sites: usize, limit: i64, customers: Vec<Customer>) -> Problem {
    Problem {
        sites: vec![Site { fixed: 780, limits: vec![limit] }; n_sites],
        families: vec![family()],
        customers,
        ..Problem::default()
    }
}

#[test]
fn the_customers_beyond_the_limit_stay_unserved_and_the_rest_is_planned() {
    let problem = problem(1, 1, vec![customer(1, &[(0, 10)]); 6]);
    let outcome = run(&problem);
    assert_eq!(outcome.unserved.len(), 2);
    assert_eq!((outcome.cost, outcome.bound), (780 + 940 + 40, 780 + 940 + 40));
    assert_eq!(check(&problem, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
}

#[test]
fn customers_without_a_site_or_a_family_stay_unserved() {
    let stranger = Customer::single(variant(7, 1, &[(0, 1)]));
    let problem = problem(1, 8, vec![customer(1, &[]), customer(1, &[(9, 1)]), stranger, customer(1, &[(0, 5)])]);
    let outcome = run(&problem);
    assert_eq!(outcome.unserved, [0, 1, 2]);
    assert_eq!(outcome.cost, 780 + 420 + 5);
    assert_eq!(run(&Problem::default()).cost, 0);
}

#[test]
fn spare_ports_are_bought_at_every_site() {
    let mut problem = problem(1, 8, vec![customer(1, &[(0, 0)]); 4]);
    assert_eq!(run(&problem).cost, 780 + 940);
    problem.families[0].spare = Spare::percent_of_used(10);
    assert_eq!(run(&problem).cost, 780 + 940 + 420, "4.4 ports become 5");
}

#[test]
fn equipment_that_is_already_there_is_used_and_not_paid_for() {
    let mut problem = problem(2, 8, vec![customer(1, &[(0, 10), (1, 300)]); 4]);
    problem.families[0].already = vec![Stock { site: 1, model: 2, count: 1 }];
    problem.sites[1].fixed = 0;
    let outcome = run(&problem);
    assert_eq!(outcome.plan.assignment, [Some(at(1)); 4]);
    assert_eq!(outcome.cost, 1200);
    assert_eq!(outcome.plan.models, [Install { site: 1, family: 0, model: 2, count: 1 }]);
}

#[test]
fn a_customer_with_a_single_arc_is_pinned() {
    let problem = problem(2, 8, vec![customer(1, &[(0, 10)]), customer(1, &[(0, 10), (1, 5)])]);
    let outcome = run(&problem);
    assert_eq!(outcome.plan.assignment, [Some(at(0)), Some(at(0))]);
}

#[test]
fn ports_of_one_customer_stay_on_one_model() {
    let problem = problem(1, 8, vec![customer(1, &[(0, 0)]), customer(2, &[(0, 0)]), customer(1, &[(0, 0)])]);
    let seats = run(&problem).plan.seats;
    let seat = |first_port| Some(Seat { site: 0, family: 0, model: 2, number: 0, first_port });
    assert_eq!(seats, [seat(2), seat(0), seat(3)]);
}

#[test]
fn a_dearer_mix_is_taken_where_the_cheapest_does_not_fit() {
    let mut problem = problem(1, 1, vec![customer(1, &[(0, 0)]); 2]);
    problem.families[0].models[0].price = 100;
    assert_eq!(run(&problem).cost, 780 + 610, "two models of one port would be cheaper but take two places");
}

#[test]
fn families_share_the_limits_of_a_site() {
    let mut problem = problem(2, 2, Vec::new());
    problem.families.push(family());
    problem.customers = (0..4).map(|at| Customer::single(variant(at % 2, 4, &[(0, 1), (1, 9)]))).collect();
    let outcome = run(&problem);
    assert_eq!(outcome.unserved, Vec::<usize>::new());
    assert_eq!(outcome.cost, 2 * 780 + 4 * 940 + 2 + 18);
    assert_eq!(outcome.bound, outcome.cost);
}

/// A customer with a unit of its own for 500, or a port for 50, at one site.
fn own_unit_or_port() -> Customer {
    Customer { variants: vec![variant(0, 0, &[(0, 500)]), variant(0, 1, &[(0, 50)])] }
}

#[test]
fn units_of_their_own_give_way_to_a_controller_once_it_pays() {
    let mut two = problem(1, 8, vec![own_unit_or_port(); 2]);
    two.families[0].models = vec![Model { ports: 4, price: 940, uses: vec![1] }];
    let outcome = run(&two);
    assert_eq!(outcome.plan.assignment, [Some(Choice { variant: 0, site: 0 }); 2]);
    assert_eq!((outcome.cost, outcome.bound), (780 + 2 * 500, 780 + 2 * 500));
    let three = Problem { customers: vec![own_unit_or_port(); 3], ..two };
    let outcome = run(&three);
    assert_eq!(outcome.plan.assignment, [Some(Choice { variant: 1, site: 0 }); 3]);
    assert_eq!((outcome.cost, outcome.bound), (780 + 940 + 3 * 50, 780 + 940 + 3 * 50));
    assert_eq!(check(&three, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
}

#[test]
fn the_judge_knows_the_variant_a_customer_is_served_in() {
    let problem = problem(1, 8, vec![own_unit_or_port()]);
    let cost = |variant| price(&problem, &[Some(Choice { variant, site: 0 })]).map(|cost| cost.total());
    assert_eq!(cost(0), Ok(780 + 500));
    assert_eq!(cost(1), Ok(780 + 50 + 420));
    assert_eq!(cost(2), Err(Violation::NoArc { customer: 0, site: 0 }));
    let mut plan = run(&problem).plan;
    plan.assignment[0] = Some(Choice { variant: 0, site: 0 });
    assert_eq!(check(&problem, &plan), Err(Violation::Seat { customer: 0 }), "its own unit needs no seat");
}

#[test]
fn a_previous_assignment_is_never_made_worse() {
    let spread = |at: i64| customer(1, &[(0, at * 7 % 90), (1, at * 13 % 90), (2, at * 29 % 90), (3, at * 31 % 90)]);
    let problem = problem(4, 3, (0..40).map(spread).collect());
    let cold = run(&problem);
    let start = Some(cold.plan.assignment.clone());
    let warm = solve(&problem, &Effort { level: Level::Quick, seed: 3, start }, &mut |_| ControlFlow::Continue(()));
    assert!(warm.cost <= cold.cost);
    let start = Some(vec![Some(at(99)), None, Some(at(1)), Some(Choice { variant: 7, site: 0 })]);
    let odd = solve(&problem, &Effort { level: Level::Quick, seed: 3, start }, &mut |_| ControlFlow::Continue(()));
    assert_eq!(odd.unserved, Vec::<usize>::new());
}

#[test]
fn the_same_effort_gives_the_same_plan_and_stopping_gives_the_best_so_far() {
    let spread =
        |at: i64| customer(1 + u32::from(at % 5 == 0), &[(0, at * 7 % 90), (1, at * 13 % 90), (2, at * 29 % 90)]);
    let problem = problem(3, 8, (0..70).map(spread).collect());
    assert_eq!(run(&problem), run(&problem));
    let mut costs = Vec::new();
    let stopped = solve(&problem, &Effort::default(), &mut |progress| {
        costs.extend(progress.cost);
        ControlFlow::Break(())
    });
    assert!(stopped.stopped);
    assert_eq!(costs.len(), 1);
    assert_eq!(price(&problem, &stopped.plan.assignment).map(|cost| cost.total()), Ok(stopped.cost));
    assert!(stopped.bound <= stopped.cost);
}

#[test]
fn the_judge_refuses_plans_with_faults() {
    let problem = problem(2, 1, vec![customer(2, &[(0, 10)]), customer(2, &[(0, 10)]), customer(1, &[(0, 1), (1, 2)])]);
    let good = run(&problem).plan;
    assert_eq!(price(&problem, &[Some(at(0))]), Err(Violation::Length));
    assert_eq!(price(&problem, &[Some(at(1)), None, None]), Err(Violation::NoArc { customer: 0, site: 1 }));
    assert_eq!(price(&problem, &[Some(at(0)); 3]), Err(Violation::NoRoom { site: 0 }));
    let verdict = |change: &dyn Fn(&mut dw_solve::location::Plan)| {
        let mut plan = good.clone();
        change(&mut plan);
        check(&problem, &plan).map(|cost| cost.total())
    };
    assert_eq!(verdict(&|_| {}), Ok(2 * 780 + 940 + 420 + 22));
    assert_eq!(verdict(&|plan| plan.seats[1] = plan.seats[0]), Err(Violation::Taken { customer: 1 }));
    assert_eq!(verdict(&|plan| plan.seats[1] = None), Err(Violation::Seat { customer: 1 }));
    assert_eq!(verdict(&|plan| plan.models[0].count = 2), Err(Violation::Limit { site: 0, resource: 0 }));
    let beyond = |plan: &mut dw_solve::location::Plan| {
        if let Some(seat) = &mut plan.seats[0] {
            seat.first_port = 3;
        }
    };
    assert_eq!(verdict(&beyond), Err(Violation::Seat { customer: 0 }));
    let mut with_spare = problem.clone();
    with_spare.families[0].spare = Spare::percent_of_used(50);
    assert_eq!(check(&with_spare, &good), Err(Violation::Spare { site: 0, family: 0 }));
}

#[test]
fn three_hundred_customers_of_every_port_count_share_unlimited_sites() {
    let models = [(1, 420), (2, 610), (4, 940), (8, 1700), (16, 3000), (32, 5500)];
    let models = models.map(|(ports, price)| Model { ports, price, uses: vec![1] }).to_vec();
    let cost = |at: usize, site: usize| i64::try_from((at * 7919 + site * 104_729) % 500).unwrap_or(0);
    let problem = Problem {
        sites: vec![Site { fixed: 780, limits: Vec::new() }; 3],
        families: vec![Family { models, spare: Spare::percent_of_used(10), already: Vec::new() }; 2],
        customers: (0..300usize)
            .map(|at| {
                let ports = u32::try_from(at * at % 5).unwrap_or(0);
                Customer::single(variant(at % 2, ports, &[(0, cost(at, 0)), (1, cost(at, 1)), (2, cost(at, 2))]))
            })
            .collect(),
        ..Problem::default()
    };
    let outcome = run(&problem);
    assert_eq!(outcome.unserved, Vec::<usize>::new());
    assert!(outcome.gap < 0.01, "gap {}", outcome.gap);
    assert_eq!(price(&problem, &outcome.plan.assignment).map(|cost| cost.total()), Ok(outcome.cost));
    assert_eq!(check(&problem, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
}

/// Any number, the extremes often.
fn amount() -> impl Strategy<Value = i64> {
    prop_oneof![Just(i64::MAX), Just(i64::MIN), Just(0), Just(MAX_AMOUNT), -5i64..5, any::<i64>()]
}

fn uses() -> impl Strategy<Value = Vec<i64>> {
    prop::collection::vec(amount(), 0..3)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_data_makes_the_solver_fail(
        sites in prop::collection::vec((amount(), uses()).prop_map(|(fixed, limits)| Site { fixed, limits }), 0..4),
        models in prop::collection::vec(
            (prop_oneof![Just(u32::MAX), 0u32..5], amount(), uses())
                .prop_map(|(ports, price, uses)| Model { ports, price, uses }),
            0..4,
        ),
        spare_percent in prop_oneof![Just(0), Just(u32::MAX), 0u32..200],
        already in prop::collection::vec(
            (0usize..5, 0usize..5, any::<u32>()).prop_map(|(site, model, count)| Stock { site, model, count }),
            0..3,
        ),
        customers in prop::collection::vec(
            prop::collection::vec(
                (0usize..3, 0u32..7, uses(), prop::collection::vec((0usize..5, amount()), 0..4)).prop_map(
                    |(family, ports, uses, arcs)| Variant { uses, ..variant(family, ports, &arcs) },
                ),
                0..4,
            )
            .prop_map(|variants| Customer { variants }),
            0..9,
        ),
    ) {
        let problem = Problem { sites, families: vec![Family { models, spare: Spare::percent_of_used(spare_percent), already }], customers, ..Problem::default() };
        let outcome = run(&problem);
        prop_assert!(outcome.bound <= outcome.cost);
        prop_assert_eq!(price(&problem, &outcome.plan.assignment).map(|cost| cost.total()), Ok(outcome.cost));
        prop_assert_eq!(check(&problem, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
    }
}

#[test]
fn two_customers_apart_cost_the_second_controller_and_a_third_sits_with_one_of_them() {
    let near = [customer(1, &[(0, 5)]), customer(1, &[(0, 5)]), customer(1, &[(0, 5)])];
    let together = problem(1, 9, near.to_vec());
    let apart = Problem { apart: vec![vec![0, 1]], ..together.clone() };
    assert_eq!(run(&together).cost, 780 + 940 + 15);
    let outcome = run(&apart);
    // One for two openings, one for one.
    assert_eq!((outcome.cost, outcome.bound), (780 + 610 + 420 + 15, 780 + 610 + 420 + 15));
    let unit = |at: usize| outcome.plan.seats[at].map(|seat| (seat.model, seat.number));
    assert_ne!(unit(0), unit(1));
    assert!(unit(2) == unit(0) || unit(2) == unit(1));
    assert_eq!(check(&apart, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
    let on_one = run(&together).plan;
    assert_eq!(check(&apart, &on_one), Err(Violation::Shared { customer: 1 }));
    assert_eq!(price(&apart, &on_one.assignment).map(|cost| cost.models), Ok(610 + 420));
}

#[test]
fn customers_apart_go_to_another_site_where_that_is_cheaper_or_the_only_way() {
    let two = vec![customer(1, &[(0, 5), (1, 500)]), customer(1, &[(0, 5), (1, 10)])];
    let apart = Problem { apart: vec![vec![0, 1]], ..problem(2, 1, two) };
    let outcome = run(&apart);
    assert_eq!(outcome.plan.assignment, [Some(at(0)), Some(at(1))]);
    let one_site = problem(1, 1, vec![customer(1, &[(0, 5)]), customer(1, &[(0, 5)])]);
    assert_eq!(feasible(&one_site, &[true, true]), Feasibility::Yes);
    let apart = Problem { apart: vec![vec![0, 1]], ..one_site };
    assert_eq!(feasible(&apart, &[true, true]), Feasibility::No);
    assert_eq!(run(&apart).unserved.len(), 1);
}

#[test]
fn sixteen_customers_all_apart_take_sixteen_controllers_and_the_others_sit_beside_them() {
    let apart = Problem { apart: vec![(0..16).collect()], ..problem(1, 99, vec![customer(1, &[(0, 5)]); 40]) };
    let outcome = run(&apart);
    let mut units: Vec<_> = outcome.plan.seats[..16].iter().flatten().map(|seat| (seat.model, seat.number)).collect();
    units.sort_unstable();
    units.dedup();
    assert_eq!(units.len(), 16);
    let mixes = (0..17).flat_map(|ones| (0..17).flat_map(move |twos| (0..17).map(move |fours| (ones, twos, fours))));
    let enough = mixes.filter(|(ones, twos, fours)| ones + twos + fours >= 16 && ones + 2 * twos + 4 * fours >= 40);
    let least = enough.map(|(ones, twos, fours)| ones * 420 + twos * 610 + fours * 940).min();
    assert_eq!(Some(outcome.cost - 780 - 40 * 5), least);
    assert_eq!(check(&apart, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
}

#[test]
fn a_part_of_a_problem_keeps_who_stays_apart() {
    let whole = Problem { apart: vec![vec![0, 2, 3], vec![1, 2]], ..problem(1, 9, vec![customer(1, &[(0, 5)]); 4]) };
    let part = whole.only(&[3, 1, 0]);
    assert_eq!(part.apart, [vec![2, 0], vec![1]]);
    assert_eq!(part.customers.len(), 3);
}
