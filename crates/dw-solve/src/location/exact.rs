//! Small problems to the end: a dynamic programme over loads, kept narrow by the bound.
//!
//! Customers are placed one after another in a fixed order. What the placed ones mean for the rest is only the load of
//! each site, so of all ways to reach the same loads the cheapest is kept. Each load also has a lower bound on the cost
//! of any plan that comes from it: the Lagrangian bound with the placed customers fixed, which needs one table per
//! place in the order, site and family. Loads that cannot lead to a better plan than the one known are dropped; if all
//! are dropped, the known plan is the best there is.
//!
//! Source of the idea: T. L. Morin, R. E. Marsten, "Branch-and-bound strategies for dynamic programming", Operations
//! Research 24 (1976) 611–627.

use std::collections::BTreeMap;

use super::ascent::FINE;
use super::bound::Relaxation;
use super::case::{Case, Spot};
use super::mixes::{FrontId, Mixes};
use super::pack;
use super::state::{IMPOSSIBLE, cost_in_use};

/// Tables are made for no more than this many pairs of customer and site.
const MAX_PAIRS: usize = 4_000;

/// Tables are made for no more than this many customers: their work grows with the third power of it.
const MAX_CUSTOMERS: usize = 300;

/// What the placed customers mean for the rest.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct SiteLoads {
    in_use: Vec<bool>,
    fronts: Vec<FrontId>,
    taken: Vec<i64>,
}

/// The cheapest way to some loads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Way {
    n_unserved: usize,
    arcs: i64,
    /// Loads before the last customer, and how that is served.
    before: u32,
    spot: Spot,
}

/// The best assignment, if it is better than the known one.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Answer {
    /// No assignment beats the known value.
    KnownIsBest,
    /// This one does, and none beats it.
    Better(Vec<Spot>),
}

/// Finds the best assignment, given the value (customers not served, cost) of a known one; `None` when more than
/// `max_loads` loads would have to be looked at or the mixes of models are too many to know them all.
pub(super) fn finish(
    case: &Case,
    relaxation: &mut Relaxation<'_>,
    multipliers: &[i64],
    known: (usize, i64),
    max_loads: usize,
) -> Option<Answer> {
    let n_pairs = case.n_arcs().max(case.n_customers() * case.n_sites());
    if n_pairs > MAX_PAIRS || case.n_customers() > MAX_CUSTOMERS {
        return None;
    }
    let order = order(case);
    let n_lost = case.n_customers() - order.len();
    let mut programme = Programme {
        floor: (known.0 == n_lost).then(|| Floor::new(case, relaxation, multipliers, &order)),
        case,
        mixes: Mixes::new(case),
        known: (known.0 - n_lost, known.1),
    };
    let n_pools = case.n_sites() * case.n_families();
    let start = SiteLoads {
        in_use: vec![false; case.n_sites()],
        fronts: (0..n_pools).map(|pool| case.class(pool / case.n_families(), pool % case.n_families())).collect(),
        taken: vec![0; case.n_sites() * case.resources.len()],
    };
    let mut layer = vec![(start, Way { n_unserved: 0, arcs: 0, before: 0, spot: Spot::NONE })];
    let mut history: Vec<Vec<Way>> = Vec::new();
    let mut n_loads = 0;
    for (at, &customer) in order.iter().enumerate() {
        let next = programme.place(at, customer, &layer, max_loads - n_loads)?;
        history
            .push(std::mem::replace(&mut layer, next.into_iter().collect()).into_iter().map(|(_, way)| way).collect());
        n_loads += layer.len();
    }
    if !programme.mixes.are_complete {
        return None;
    }
    let values = layer.iter().map(|(loads, way)| (way.n_unserved, way.arcs + programme.sites_cost(loads)));
    let best = values.enumerate().min_by_key(|&(_, value)| value).filter(|&(_, value)| value < programme.known);
    let Some((mut at, _)) = best else { return Some(Answer::KnownIsBest) };
    history.push(layer.into_iter().map(|(_, way)| way).collect());
    let mut assignment = vec![Spot::NONE; case.n_customers()];
    for (ways, &customer) in history[1..].iter().zip(&order).rev() {
        assignment[customer] = ways[at].spot;
        at = ways[at].before as usize;
    }
    Some(Answer::Better(assignment))
}

/// Customers with a site, those with the most to lose first: they narrow the choice early.
fn order(case: &Case) -> Vec<usize> {
    let mut order: Vec<usize> = (0..case.n_customers()).filter(|&customer| !case.arcs(customer).is_empty()).collect();
    order.sort_by_key(|&customer| {
        let arcs = case.arcs(customer);
        let to_lose = arcs.get(1).map_or(i64::MAX, |second| second.cost - arcs[0].cost);
        (std::cmp::Reverse(to_lose), customer)
    });
    order
}

struct Programme<'a> {
    case: &'a Case,
    mixes: Mixes,
    /// Absent when the known plan leaves someone out: plans are then compared by number first.
    floor: Option<Floor>,
    known: (usize, i64),
}

impl Programme<'_> {
    /// The loads after one more customer; `None` when there are too many.
    fn place(
        &mut self,
        at: usize,
        customer: usize,
        layer: &[(SiteLoads, Way)],
        max_loads: usize,
    ) -> Option<BTreeMap<SiteLoads, Way>> {
        let mut next: BTreeMap<SiteLoads, Way> = BTreeMap::new();
        for (before, (loads, way)) in layer.iter().enumerate() {
            let before = before as u32;
            for arc in self.case.arcs(customer) {
                let spot = Spot { site: arc.to, variant: arc.variant };
                let Some(loads) = self.with(loads, spot) else { continue };
                let way = Way { n_unserved: way.n_unserved, arcs: way.arcs + arc.cost, before, spot };
                let is_hopeless = self
                    .floor
                    .as_ref()
                    .is_some_and(|floor| floor.bound(self.case, &self.mixes, at + 1, &loads, way.arcs) >= self.known.1);
                if !is_hopeless {
                    next.entry(loads).and_modify(|known| *known = way.min(*known)).or_insert(way);
                }
            }
            if way.n_unserved < self.known.0 {
                let way = Way { n_unserved: way.n_unserved + 1, before, spot: Spot::NONE, ..*way };
                next.entry(loads.clone()).and_modify(|known| *known = way.min(*known)).or_insert(way);
            }
            if next.len() > max_loads {
                return None;
            }
        }
        Some(next)
    }

    /// Loads with one more customer; `None` when it does not fit.
    fn with(&mut self, loads: &SiteLoads, spot: Spot) -> Option<SiteLoads> {
        let mut loads = loads.clone();
        let site = spot.site as usize;
        let what = self.case.variants[spot.variant as usize];
        loads.in_use[site] = true;
        if what.ports > 0 {
            let front = &mut loads.fronts[site * self.case.n_families() + what.family as usize];
            *front = self.mixes.more(self.case, *front, what);
        }
        if what.has_uses {
            let n_resources = self.case.resources.len();
            let taken = loads.taken[site * n_resources..].iter_mut();
            taken.zip(self.case.uses(spot.variant)).for_each(|(taken, uses)| *taken += uses);
        }
        (self.site_cost(&loads, site) < IMPOSSIBLE).then_some(loads)
    }

    fn site_cost(&self, loads: &SiteLoads, site: usize) -> i64 {
        let (n_families, n_resources) = (self.case.n_families(), self.case.resources.len());
        let fronts = &loads.fronts[site * n_families..][..n_families];
        cost_in_use(self.case, &self.mixes, site, fronts, |resource| loads.taken[site * n_resources + resource])
    }

    fn sites_cost(&self, loads: &SiteLoads) -> i64 {
        (0..self.case.n_sites()).filter(|&site| loads.in_use[site]).map(|site| self.site_cost(loads, site)).sum()
    }
}

/// The Lagrangian bound with the first customers of the order placed.
struct Floor {
    /// Multipliers of the customers still to be placed, by place in the order.
    multipliers_left: Vec<i64>,
    /// Least further cost of one family at a site by ports in use: [place in the order][site and family][ports].
    families: Vec<Vec<Vec<i64>>>,
    /// Gain from customers without ports: [place in the order][site].
    loose: Vec<Vec<i64>>,
}

impl Floor {
    fn new(case: &Case, relaxation: &mut Relaxation<'_>, multipliers: &[i64], order: &[usize]) -> Self {
        let mut place = vec![0; case.n_customers()];
        order.iter().enumerate().for_each(|(at, &customer)| place[customer] = at);
        let n_places = order.len() + 1;
        let mut floor = Self {
            multipliers_left: (0..n_places).map(|at| order[at..].iter().map(|&it| multipliers[it]).sum()).collect(),
            families: vec![Vec::new(); n_places],
            loose: vec![Vec::new(); n_places],
        };
        for site in 0..case.n_sites() {
            // The tolls for all customers of the site are valid, and good, for those still to be placed too.
            relaxation.set_tolls_for_all(site, multipliers);
            for at in 0..n_places {
                floor.loose[at].push(relaxation.collect(site, multipliers, |customer| place[customer] >= at));
                for family in 0..case.n_families() {
                    let gains = relaxation.gains(site, family).to_vec();
                    let prices = relaxation.prices(site, family);
                    let least = |used: usize| {
                        let further = prices[used..].iter().zip(&gains).map(|(price, gain)| price - gain);
                        further.min().unwrap_or(0)
                    };
                    floor.families[at].push((0..prices.len()).map(least).collect());
                }
            }
            relaxation.clear_tolls();
        }
        floor
    }

    /// No plan that comes from these loads costs less, in the cost unit.
    fn bound(&self, case: &Case, mixes: &Mixes, at: usize, loads: &SiteLoads, arcs: i64) -> i64 {
        let n_families = case.n_families();
        let mut bound = arcs * FINE + self.multipliers_left[at];
        for site in 0..case.n_sites() {
            let mut cost = case.fixed[site] * FINE - self.loose[at][site];
            for pool in site * n_families..(site + 1) * n_families {
                let ports = pack::ports(mixes.counts(loads.fronts[pool])) as usize;
                cost += self.families[at][pool].get(ports).copied().unwrap_or(0);
            }
            bound += if loads.in_use[site] { cost } else { cost.min(0) };
        }
        (bound + FINE - 1).div_euclid(FINE)
    }
}
