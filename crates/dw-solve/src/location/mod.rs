//! Single-source facility location with modular capacities.
//!
//! Which site serves which customer, with which models, at the least cost: see [`Problem`]. [`solve`] returns the best
//! plan found together with a proven lower bound, so that the caller can print how far from the best it can be at most.
//! [`price()`] and [`check`] judge any plan without the solver's code.

mod case;
mod mixes;
mod pack;
mod plan;
mod price;
mod problem;
mod state;

use std::ops::ControlFlow;

use case::Case;
pub use plan::{Effort, Install, Level, Outcome, Plan, Progress, Seat};
pub use price::{Cost, Violation, check, price};
pub use problem::{Arc, Customer, Family, MAX_AMOUNT, MAX_PORTS, Model, Problem, Site, Stock};
use state::{IMPOSSIBLE, State};

/// The best plan found for a problem, and a bound that no plan can undercut.
pub fn solve(problem: &Problem, effort: &Effort, progress: &mut dyn FnMut(Progress) -> ControlFlow<()>) -> Outcome {
    let case = Case::new(problem);
    let mut state = State::new(&case);
    if let Some(start) = &effort.start {
        let start: Vec<u32> = start.iter().map(|site| site.map_or(case::NOWHERE, |site| site as u32)).collect();
        state.load(&start);
    }
    for customer in 0..case.n_customers() {
        if state.assigned[customer] != case::NOWHERE {
            continue;
        }
        let mut best = (IMPOSSIBLE, 0, 0, 0);
        for arc in case.arcs(customer) {
            let site = arc.to as usize;
            let cost = state.cost_with(site, Some(customer), None);
            let total = arc.cost + cost - state.site_cost[site];
            if cost < IMPOSSIBLE && total < best.0 {
                best = (total, site, arc.cost, cost);
            }
        }
        if best.0 < IMPOSSIBLE {
            state.put(customer, best.1, best.2, best.3);
        }
    }
    let bound: i64 =
        (0..case.n_customers()).filter(|&c| state.assigned[c] != case::NOWHERE).map(|c| case.arcs(c)[0].cost).sum();
    let unserved: Vec<usize> = (0..case.n_customers()).filter(|&c| state.assigned[c] == case::NOWHERE).collect();
    let _ = progress(Progress { work: 0, cost: Some(state.cost), bound, n_unserved: unserved.len() });
    let gap = if state.cost == bound { 0.0 } else { (state.cost - bound) as f64 / state.cost as f64 };
    Outcome { plan: state.plan(), cost: state.cost, bound, gap, unserved, work: 0, stopped: false }
}
