//! Customers with several ways to be served, on seeded sites made here: the plan against those of one way for all, and
//! the gap.

use std::ops::ControlFlow;

use dw_solve::location::{
    Arc, Customer, Effort, Family, Level, Model, Outcome, Problem, Site, Spare, Variant, check, price, solve,
};

/// The minimal standard generator: S. K. Park, K. W. Miller, Communications of the ACM 31 (1988).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: u64) -> i64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        i64::try_from(self.0 % bound).unwrap_or(0)
    }
}

/// One customer per 400 m², one site per seven customers, reach 120 m, in decimetres.
///
/// Served by ports in a room over cables of its own, by ports of another family over thinner cables and dearer
/// equipment at the opening, or by a unit of its own that takes one of a few network ports of a room.
fn campus(n_customers: u64, own_unit: i64, n_network_ports: i64) -> Problem {
    let mut numbers = Numbers(1 + n_customers);
    let side = (n_customers * 40_000).isqrt();
    let mut point = || (numbers.below(side), numbers.below(side));
    let sites: Vec<(i64, i64)> = (0..=n_customers / 7).map(|_| point()).collect();
    let customers: Vec<(i64, i64)> = (0..n_customers).map(|_| point()).collect();
    let model = |ports, price| Model { ports, price, uses: vec![1, 1] };
    let family = |models: &[(u32, i64)]| Family {
        models: models.iter().map(|&(ports, price)| model(ports, price)).collect(),
        spare: Spare::percent_of_installed(10),
        already: Vec::new(),
    };
    let customer = |(at, here): (usize, &(i64, i64))| {
        let arcs = |extra: i64, per_length: i64| -> Vec<Arc> {
            (sites.iter().enumerate())
                .map(|(site, there)| (site, (here.0 - there.0).abs() + (here.1 - there.1).abs()))
                .filter(|&(_, length)| length <= 1200)
                .map(|(site, length)| Arc { site, cost: extra + per_length * (50 + length) })
                .collect()
        };
        let ports = if at % 6 == 0 { 2 } else { 1 };
        let variants = vec![
            Variant { family: 0, ports, uses: Vec::new(), arcs: arcs(0, 40) },
            Variant { family: 1, ports, uses: Vec::new(), arcs: arcs(9_000, 22) },
            Variant { family: 0, ports: 0, uses: vec![0, 1], arcs: arcs(own_unit, 15) },
        ];
        Customer { variants }
    };
    Problem {
        sites: vec![Site { fixed: 78_000, limits: vec![8, n_network_ports] }; sites.len()],
        families: vec![family(&[(1, 42_000), (2, 61_000), (4, 94_000)]), family(&[(4, 90_000), (8, 150_000)])],
        customers: customers.iter().enumerate().map(customer).collect(),
        ..Problem::default()
    }
}

fn run(problem: &Problem, level: Level) -> Outcome {
    let outcome = solve(problem, &Effort::new(level), &mut |_| ControlFlow::Continue(()));
    assert_eq!(price(problem, &outcome.plan.assignment).map(|cost| cost.total()), Ok(outcome.cost));
    assert_eq!(check(problem, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
    assert!(outcome.bound <= outcome.cost);
    outcome
}

/// The problem with only one way to serve everybody.
fn only(problem: &Problem, variant: usize) -> Problem {
    let customers = problem.customers.iter().map(|it| Customer::single(it.variants[variant].clone())).collect();
    Problem { customers, ..problem.clone() }
}

#[test]
fn a_mixed_plan_beats_every_plan_of_one_way_for_all() {
    // Customers, price of a unit of its own, network ports of a room, largest gap in per cent.
    for (n_customers, own_unit, n_network_ports, most) in [
        (60, 40_000, 8, 1.5),
        (200, 30_000, 6, 3.0),
        (200, 40_000, 48, 1.6),
        (200, 45_000, 12, 1.6),
        (1_000, 40_000, 48, 1.6),
    ] {
        let problem = campus(n_customers, own_unit, n_network_ports);
        let mixed = run(&problem, Level::Normal);
        println!("{n_customers}, {own_unit}, {n_network_ports}: cost {} gap {:.2} %", mixed.cost, 100.0 * mixed.gap);
        for variant in 0..3 {
            let one_way = run(&only(&problem, variant), Level::Normal);
            assert!((mixed.unserved.len(), mixed.cost) < (one_way.unserved.len(), one_way.cost), "only {variant}");
        }
        assert!(100.0 * mixed.gap < most, "gap {}", mixed.gap);
    }
}

#[test]
fn a_thorough_search_closes_sixty_customers_of_three_variants() {
    let outcome = run(&campus(60, 40_000, 8), Level::Thorough);
    assert_eq!(outcome.bound, outcome.cost);
}
