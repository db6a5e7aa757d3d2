//! Search beyond local moves: empty a few neighbouring sites, rebuild there, settle, and keep what is no worse.
//!
//! Source of the idea: G. Schrimpf and others, "Record breaking optimization results using the ruin and recreate
//! principle", Journal of Computational Physics 159 (2000) 139–171; threshold acceptance after G. Dueck, T. Scheuer,
//! Journal of Computational Physics 90 (1990) 161–175.

use super::bound::Relaxation;
use super::build::{build, insert};
use super::case::{NOWHERE, Spot};
use super::improve::Search;
use super::state::State;
use crate::random::Random;

/// Closed sites offered to a customer of an emptied site: those among its nearest so many.
const NEAREST_SITES: usize = 5;

/// Search by renewing parts of a plan.
#[derive(Debug)]
pub(super) struct Renewal<'r, 's, 'a> {
    pub(super) search: Search<'s, 'a>,
    pub(super) relaxation: &'r mut Relaxation<'a>,
    /// Multipliers that guide the rebuilding.
    pub(super) multipliers: &'r [i64],
    pub(super) random: Random,
    /// Multipliers with noise, refreshed for the customers concerned.
    noisy: Vec<i64>,
    /// Best assignment so far, its cost and its number of customers not served.
    best: Vec<Spot>,
    best_value: (usize, i64),
}

impl<'r, 's, 'a> Renewal<'r, 's, 'a> {
    pub(super) fn new(
        state: &'s mut State<'a>,
        relaxation: &'r mut Relaxation<'a>,
        multipliers: &'r [i64],
        random: Random,
    ) -> Self {
        let best = state.spots();
        let best_value = (state.n_unserved, state.cost);
        let search = Search { state, work: 0 };
        Self { search, relaxation, multipliers, random, noisy: multipliers.to_vec(), best, best_value }
    }

    /// One try; `tolerance` is how much dearer a plan may become and still be kept for further tries.
    pub(super) fn renew(&mut self, tolerance: i64) {
        let value = (self.search.state.n_unserved, self.search.state.cost);
        let Some(centre) = self.centre() else { return };
        self.search.state.journal.clear();
        let dirty = match self.random.below(10) {
            0..2 => self.close(centre),
            2..4 => self.open_near(centre),
            _ => self.rebuild_around(centre),
        };
        self.search.settle(dirty);
        let now = (self.search.state.n_unserved, self.search.state.cost);
        let limit = (value.0, value.1.saturating_add(tolerance));
        if now > limit {
            self.search.state.undo_to(0);
        } else if now < self.best_value {
            self.best_value = now;
            self.best = self.search.state.spots();
        }
    }

    /// Customers not served by the best plan so far, and its cost.
    pub(super) fn best_value(&self) -> (usize, i64) {
        self.best_value
    }

    /// Whether the best plan serves everyone at the given cost.
    pub(super) fn is_at(&self, bound: i64) -> bool {
        self.best_value.0 == 0 && self.best_value.1 <= bound
    }

    /// Work done by the search.
    pub(super) fn work(&self) -> u64 {
        self.search.work
    }

    /// Puts the best plan back.
    pub(super) fn finish(self) -> u64 {
        let Self { search: Search { state, work }, best, .. } = self;
        let now = state.spots();
        for (customer, (spot, now)) in best.iter().zip(&now).enumerate() {
            if *now != Spot::NONE && now != spot {
                state.take(customer);
            }
        }
        state.load(&best);
        work
    }

    /// A site in use, chosen through a random customer; that of an unserved customer's nearest site when there is one.
    fn centre(&mut self) -> Option<usize> {
        let state = &*self.search.state;
        let n_customers = state.case.n_customers();
        for _ in 0..8 {
            let customer = self.random.below(n_customers);
            let arcs = state.case.arcs(customer);
            let site = match state.assigned[customer] {
                NOWHERE if arcs.is_empty() => continue,
                NOWHERE => arcs[self.random.below(arcs.len())].to as usize,
                site => site as usize,
            };
            if !state.members[site].is_empty() {
                return Some(site);
            }
        }
        None
    }

    /// Sends the customers of a site elsewhere.
    fn close(&mut self, site: usize) -> Vec<usize> {
        let mut customers = self.empty(&[site]);
        self.shuffle(&mut customers);
        for customer in &customers {
            insert(self.search.state, *customer, |arc| arc.to as usize != site);
        }
        let mut dirty = self.sites_of(&customers);
        dirty.push(site);
        self.serve(&customers);
        dirty
    }

    /// Opens a site near another one and gives it the customers that save most by it.
    fn open_near(&mut self, centre: usize) -> Vec<usize> {
        let state = &mut *self.search.state;
        let member = state.members[centre][self.random.below(state.members[centre].len())] as usize;
        let closed: Vec<usize> = (state.case.near(member).iter().take(4 * NEAREST_SITES))
            .map(|&site| site as usize)
            .filter(|&site| state.members[site].is_empty())
            .take(NEAREST_SITES)
            .collect();
        if closed.is_empty() {
            return vec![centre];
        }
        let site = closed[self.random.below(closed.len())];
        let mut savings: Vec<(i64, u32)> = (state.case.site_arcs(site).iter())
            .filter(|arc| state.assigned[arc.to as usize] != NOWHERE)
            .map(|arc| (arc.cost - state.arc_cost[arc.to as usize], arc.to))
            .collect();
        savings.sort_unstable();
        let n_moved = 4 * (1 + self.random.below(6));
        let mut dirty = vec![site];
        for (_, customer) in savings.into_iter().take(n_moved) {
            let customer = customer as usize;
            let before = state.take(customer);
            if !insert(state, customer, |arc| arc.to as usize == site) {
                state.serve(customer, before);
                break;
            }
            let from = before.to as usize;
            if !dirty.contains(&from) {
                dirty.push(from);
            }
        }
        dirty
    }

    /// Empties a few neighbouring sites and rebuilds from offers at multipliers with some noise.
    fn rebuild_around(&mut self, centre: usize) -> Vec<usize> {
        let n_sites = 2 + self.random.below(4);
        let mut sites = vec![centre];
        while sites.len() < n_sites {
            let from = sites[self.random.below(sites.len())];
            let near: Vec<usize> =
                self.search.partners(from).into_iter().filter(|partner| !sites.contains(partner)).collect();
            if near.is_empty() {
                break;
            }
            sites.push(near[self.random.below(near.len())]);
        }
        let mut customers = self.empty(&sites);
        customers.extend(self.waiting_near(&sites, &customers));
        for &customer in &customers {
            for &site in self.search.state.case.near(customer).iter().take(NEAREST_SITES) {
                let site = site as usize;
                if self.search.state.members[site].is_empty() && !sites.contains(&site) {
                    sites.push(site);
                }
            }
            let noise = 0.9 + 0.2 * self.random.unit();
            self.noisy[customer] = (self.multipliers[customer] as f64 * noise) as i64;
        }
        self.relaxation.favour(&mut self.random);
        build(self.search.state, self.relaxation, &self.noisy, &sites, &customers);
        self.relaxation.favour_none();
        self.sites_of(&customers)
    }

    /// Customers that were not served before and could be from the given sites.
    fn waiting_near(&self, sites: &[usize], taken: &[usize]) -> Vec<usize> {
        let state = &*self.search.state;
        if state.n_unserved == taken.len() {
            return Vec::new();
        }
        let near = sites.iter().flat_map(|&site| state.case.site_arcs(site)).map(|arc| arc.to as usize);
        let mut waiting: Vec<usize> =
            near.filter(|customer| state.assigned[*customer] == NOWHERE && !taken.contains(customer)).collect();
        waiting.sort_unstable();
        waiting.dedup();
        waiting
    }

    /// Takes all customers of some sites away and lists them.
    fn empty(&mut self, sites: &[usize]) -> Vec<usize> {
        let mut customers: Vec<usize> = Vec::new();
        for &site in sites {
            customers.extend(self.search.state.members[site].iter().map(|&customer| customer as usize));
        }
        for &customer in &customers {
            self.search.state.take(customer);
        }
        customers
    }

    /// Serves those still waiting, wherever possible.
    fn serve(&mut self, customers: &[usize]) {
        for &customer in customers {
            if self.search.state.assigned[customer] == NOWHERE {
                insert(self.search.state, customer, |_| true);
            }
        }
    }

    /// Sites of some customers, without repetition.
    fn sites_of(&self, customers: &[usize]) -> Vec<usize> {
        let mut sites: Vec<usize> = customers
            .iter()
            .map(|&customer| self.search.state.assigned[customer])
            .filter(|&site| site != NOWHERE)
            .map(|site| site as usize)
            .collect();
        sites.sort_unstable();
        sites.dedup();
        sites
    }

    fn shuffle(&mut self, customers: &mut [usize]) {
        for at in (1..customers.len()).rev() {
            customers.swap(at, self.random.below(at + 1));
        }
    }
}
