//! First plans: sites open in the order of what they earn at the multipliers of the bound.

use std::collections::BinaryHeap;

use super::bound::{Offer, Relaxation};
use super::case::{NOWHERE, Reach};
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
            for &variant in &offer.variants {
                serve_from(state, variant, site);
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

/// Serves a waiting customer in this variant from a site if it fits there.
fn serve_from(state: &mut State<'_>, variant: u32, site: usize) {
    let customer = state.case.variants[variant as usize].customer as usize;
    // A site may offer to serve a customer in several variants at once.
    if state.assigned[customer] != NOWHERE {
        return;
    }
    let site_cost = state.cost_with(site, Some(variant), None);
    if let Some(cost) = state.case.arc_cost(variant, site).filter(|_| site_cost < IMPOSSIBLE) {
        state.put(customer, Reach { to: site as u32, variant, cost }, site_cost);
    }
}

/// Serves a customer by the allowed arc where the cost grows least; says whether there is one.
pub(super) fn insert(state: &mut State<'_>, customer: usize, allows: impl Fn(&Reach) -> bool) -> bool {
    let case = state.case;
    let mut best = None;
    let mut least = IMPOSSIBLE;
    for arc in case.arcs(customer) {
        let site = arc.to as usize;
        // Arcs come cheapest first and a site's cost never falls with a customer more.
        if arc.cost >= least {
            break;
        }
        if !allows(arc) {
            continue;
        }
        let site_cost = state.cost_with(site, Some(arc.variant), None);
        let growth = arc.cost + site_cost - state.site_cost[site];
        if site_cost < IMPOSSIBLE && growth < least {
            least = growth;
            best = Some((*arc, site_cost));
        }
    }
    if let Some((arc, site_cost)) = best {
        state.put(customer, arc, site_cost);
    }
    best.is_some()
}
