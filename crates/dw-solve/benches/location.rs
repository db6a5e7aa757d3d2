//! Time to place 100, 1,000 and 8,000 customers on seeded instances made here, and the gap that remains.
//!
//! Customers and sites lie at random on a square that grows with their number; a site serves the customers within a
//! fixed distance, as cable lengths are limited.

use std::ops::ControlFlow;

use divan::Bencher;
use dw_solve::location::{Arc, Customer, Effort, Family, Level, Model, Problem, Site, Variant, solve};

fn main() {
    divan::main();
}

/// The minimal standard generator: S. K. Park, K. W. Miller, Communications of the ACM 31 (1988).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, bound: u64) -> i64 {
        self.0 = self.0 * 48_271 % 2_147_483_647;
        i64::try_from(self.0 % bound).unwrap_or(0)
    }
}

/// One customer per 400 m², one site per seven customers, reach 120 m, in decimetres.
fn instance(n_customers: u64) -> Problem {
    let mut numbers = Numbers(1 + n_customers);
    let side = (n_customers * 40_000).isqrt();
    let mut point = || (numbers.below(side), numbers.below(side));
    let sites: Vec<(i64, i64)> = (0..=n_customers / 7).map(|_| point()).collect();
    let customers: Vec<(i64, i64)> = (0..n_customers).map(|_| point()).collect();
    let model = |ports, price| Model { ports, price, uses: vec![1] };
    Problem {
        sites: vec![Site { fixed: 78_000, limits: vec![8] }; sites.len()],
        families: vec![Family {
            models: vec![model(1, 42_000), model(2, 61_000), model(4, 94_000)],
            ..Family::default()
        }],
        customers: (customers.iter().enumerate())
            .map(|(at, here)| {
                Customer::single(Variant {
                    ports: if at % 6 == 0 { 2 } else { 1 },
                    arcs: (sites.iter().enumerate())
                        .map(|(site, there)| (site, (here.0 - there.0).abs() + (here.1 - there.1).abs()))
                        .filter(|&(_, length)| length <= 1200)
                        .map(|(site, length)| Arc { site, cost: 26 * (50 + length) })
                        .collect(),
                    ..Variant::default()
                })
            })
            .collect(),
        ..Problem::default()
    }
}

#[divan::bench(args = [100, 1_000, 8_000], sample_count = 3, sample_size = 1)]
fn quick(bencher: Bencher<'_, '_>, n_customers: u64) {
    place(bencher, n_customers, Level::Quick);
}

#[divan::bench(args = [100, 1_000, 8_000], sample_count = 3, sample_size = 1)]
fn normal(bencher: Bencher<'_, '_>, n_customers: u64) {
    place(bencher, n_customers, Level::Normal);
}

/// All customers within reach of one site: a large room.
#[divan::bench(args = [1_000, 2_000, 5_000], sample_count = 3, sample_size = 1)]
fn one_site(bencher: Bencher<'_, '_>, n_customers: u64) {
    let mut problem = instance(n_customers);
    problem.sites = vec![Site { fixed: 78_000, limits: vec![i64::MAX] }];
    let cost = |at: usize| 2_600 + i64::try_from(at % 100).unwrap_or(0);
    let customers = problem.customers.iter_mut().enumerate();
    customers.for_each(|(at, customer)| customer.variants[0].arcs = vec![Arc { site: 0, cost: cost(at) }]);
    bencher.bench(|| solve(&problem, &Effort::new(Level::Normal), &mut |_| ControlFlow::Continue(())));
}

fn place(bencher: Bencher<'_, '_>, n_customers: u64, level: Level) {
    let problem = instance(n_customers);
    let effort = Effort::new(level);
    bencher.bench(|| solve(&problem, &effort, &mut |_| ControlFlow::Continue(())));
}
