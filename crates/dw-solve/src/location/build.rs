//! First plans: sites open in the order of what they earn at the multipliers of the bound.

use std::collections::BinaryHeap;

use super::bound::{Offer, Relaxation};
use super::case::NOWHERE;
use super::state::{IMPOSSIBLE, State};

/// Serves the waiting customers; only the given sites may be opened for several of them at once.
///
/// Sites make offers for the customers still waiting; the best offer is taken, the others are made anew when their
/// turn comes. Who is left goes wherever the cost grows least.
pub(super) fn build(
    state: &mut State<'_>,
    relaxation: &mut Relaxation<'_>,
    multipliers: &[i64],
    sites: &[usize],
    waiting: &[usize],
) {
    let mut offer = Offer::default();
    let mut queue = BinaryHeap::new();
    let is_waiting = |state: &State<'_>, customer: usize| state.assigned[customer] == NOWHERE;
    for &site in sites.iter().filter(|&&site| state.members[site].is_empty()) {
        relaxation.offer(site, multipliers, |customer| is_waiting(state, customer), &mut offer);
        if offer.value > 0 {
            queue.push((offer.value, std::cmp::Reverse(site)));
        }
    }
    while let Some((_, std::cmp::Reverse(site))) = queue.pop() {
        relaxation.offer(site, multipliers, |customer| is_waiting(state, customer), &mut offer);
        let is_beaten = queue.peek().is_some_and(|&(next, _)| next > offer.value);
        if offer.value > 0 && is_beaten {
            queue.push((offer.value, std::cmp::Reverse(site)));
        } else if offer.value > 0 {
            for &customer in &offer.customers {
                serve_from(state, customer as usize, site);
            }
        }
    }
    let mut waiting: Vec<usize> = waiting.iter().copied().filter(|&customer| is_waiting(state, customer)).collect();
    // Those with the fewest sites to choose from go first.
    waiting.sort_by_key(|&customer| (state.case.arcs(customer).len(), customer));
    for customer in waiting {
        insert(state, customer, |_| true);
    }
}

/// Serves a customer from a site if it fits there.
fn serve_from(state: &mut State<'_>, customer: usize, site: usize) {
    let site_cost = state.cost_with(site, Some(customer), None);
    if let Some(arc_cost) = state.case.arc_cost(customer, site).filter(|_| site_cost < IMPOSSIBLE) {
        state.put(customer, site, arc_cost, site_cost);
    }
}

/// Serves a customer from the allowed site where the cost grows least; says whether there is one.
pub(super) fn insert(state: &mut State<'_>, customer: usize, allows: impl Fn(usize) -> bool) -> bool {
    let case = state.case;
    let mut best = None;
    let mut least = IMPOSSIBLE;
    for arc in case.arcs(customer) {
        let site = arc.to as usize;
        // Arcs come cheapest first and a site's cost never falls with a customer more.
        if arc.cost >= least {
            break;
        }
        if !allows(site) {
            continue;
        }
        let site_cost = state.cost_with(site, Some(customer), None);
        let growth = arc.cost + site_cost - state.site_cost[site];
        if site_cost < IMPOSSIBLE && growth < least {
            least = growth;
            best = Some((site, arc.cost, site_cost));
        }
    }
    if let Some((site, arc_cost, site_cost)) = best {
        state.put(customer, site, arc_cost, site_cost);
    }
    best.is_some()
}
