//! Many customers at one or a few sites: the work stays near-linear in their number.

#![allow(clippy::cast_possible_wrap)]

use std::ops::ControlFlow;

use dw_solve::location::{Arc, Customer, Effort, Family, Model, Problem, Site, Spare, Variant, check, solve};

/// Customers along a corridor, `n_sites` sites that all of them can reach.
fn corridor(n_customers: usize, n_sites: usize) -> Problem {
    let model = |ports: u32, price| Model { ports, price, uses: vec![1, i64::from(ports), 1] };
    let far = |at: usize, site: usize| (at * 100 / n_customers).abs_diff(site * 100 / n_sites) as i64;
    let customer = |at: usize| {
        Customer::single(Variant {
            ports: if at.is_multiple_of(6) { 2 } else { 1 },
            arcs: (0..n_sites)
                .map(|site| Arc { site, cost: 2600 + 260 * far(at, site) + (at * 37 % 101) as i64 })
                .collect(),
            ..Variant::default()
        })
    };
    Problem {
        sites: vec![Site { fixed: 78_000, limits: vec![i64::MAX; 3] }; n_sites],
        families: vec![Family {
            models: vec![model(1, 42_000), model(2, 61_000), model(4, 94_000), model(8, 170_000)],
            spare: Spare::percent_of_installed(20),
            ..Family::default()
        }],
        customers: (0..n_customers).map(customer).collect(),
        ..Problem::default()
    }
}

#[test]
fn the_work_for_many_customers_at_a_few_sites_grows_little_faster_than_their_number() {
    for n_sites in [1, 2, 3] {
        let work = [500, 2_000].map(|n_customers| {
            let problem = corridor(n_customers, n_sites);
            let outcome = solve(&problem, &Effort::default(), &mut |_| ControlFlow::Continue(()));
            assert_eq!(check(&problem, &outcome.plan).map(|cost| cost.total()), Ok(outcome.cost));
            assert!(outcome.unserved.is_empty() && outcome.gap < 0.002, "{}", outcome.gap);
            outcome.work
        });
        assert!(work[1] < 8 * work[0], "{work:?} for {n_sites} sites");
    }
}
