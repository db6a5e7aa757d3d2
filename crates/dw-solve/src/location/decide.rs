//! Whether a group of customers can be served at all: the question behind clashing demands.

use std::collections::BTreeSet;

use super::build::insert;
use super::case::{Case, NOWHERE};
use super::problem::Problem;
use super::state::{IMPOSSIBLE, Loads, State};

/// Answer of [`feasible`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feasibility {
    /// There is a plan that serves all of them.
    Yes,
    /// There is none.
    No,
    /// The search was cut short.
    Unknown,
}

/// Loads remembered before the search gives up. *Common practice*: some tens of milliseconds, and enough for groups of
/// a dozen customers on half a dozen sites.
const MAX_REMEMBERED: usize = 50_000;

/// Whether the customers marked in `kept`, and only they, can all be served.
///
/// Costs play no part. Customers are placed one after another, those with the fewest choices first; what matters for the
/// rest is only the load of each site, so loads that have failed are remembered and not tried again. The answer is
/// exact unless it is [`Feasibility::Unknown`]. Entries missing from `kept` count as not kept.
///
/// Together with [`crate::clash::irreducible`] this names the customers that cannot be served together:
///
/// ```
/// use dw_solve::clash::irreducible;
/// use dw_solve::location::{Arc, Customer, Family, Model, Problem, Site, Variant, feasible};
/// let model = Model { ports: 1, price: 10, uses: vec![1] };
/// let variant = Variant { ports: 1, arcs: vec![Arc { site: 0, cost: 1 }], ..Variant::default() };
/// let problem = Problem {
///     sites: vec![Site { fixed: 5, limits: vec![2] }],
///     families: vec![Family { models: vec![model], ..Family::default() }],
///     customers: vec![Customer::single(variant); 5],
///     ..Problem::default()
/// };
/// let clash = irreducible(&problem.customers, |kept| feasible(&problem, kept)).unwrap();
/// assert_eq!(clash.members, [0, 1, 2], "three customers on a site for two");
/// ```
pub fn feasible(problem: &Problem, kept: &[bool]) -> Feasibility {
    let case = Case::new(problem);
    let mut order: Vec<usize> =
        (0..case.n_customers()).filter(|&customer| kept.get(customer).copied().unwrap_or(false)).collect();
    order.sort_by_key(|&customer| {
        let ports = case.arcs(customer).iter().map(|arc| case.variants[arc.variant as usize].ports);
        (case.arcs(customer).len(), std::cmp::Reverse(ports.min()), customer)
    });
    let mut state = State::new(&case);
    // Most groups fit at once, each customer where it costs least.
    if order.iter().all(|&customer| insert(&mut state, customer, |_| true)) {
        return Feasibility::Yes;
    }
    for &customer in &order {
        if state.assigned[customer] != NOWHERE {
            state.take(customer);
        }
    }
    let mut search = Search { state, order, failed: BTreeSet::new() };
    match search.place(0) {
        Some(true) => Feasibility::Yes,
        Some(false) if !search.state.mixes.has_doubts => Feasibility::No,
        Some(false) | None => Feasibility::Unknown,
    }
}

struct Search<'a> {
    state: State<'a>,
    order: Vec<usize>,
    /// Loads from which the customers from some place in the order on cannot be served.
    failed: BTreeSet<(usize, Loads)>,
}

impl Search<'_> {
    /// Whether the customers from `at` on can be served beside those placed; `None` when the search is cut short.
    fn place(&mut self, at: usize) -> Option<bool> {
        let Some(&customer) = self.order.get(at) else { return Some(true) };
        let loads = (at, self.state.loads());
        if self.failed.contains(&loads) {
            return Some(false);
        }
        if self.failed.len() >= MAX_REMEMBERED {
            return None;
        }
        for arc in self.state.case.arcs(customer) {
            let site_cost = self.state.cost_with(arc.to as usize, Some(arc.variant), None);
            if site_cost < IMPOSSIBLE {
                self.state.put(customer, *arc, site_cost);
                let answer = self.place(at + 1);
                self.state.take(customer);
                if answer != Some(false) {
                    return answer;
                }
            }
        }
        self.failed.insert(loads);
        Some(false)
    }
}
