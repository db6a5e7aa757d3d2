//! The lower bound where nobody asks for ports: Lagrangian relaxation of "every customer is served once", with the
//! scarcest limit of each site kept, and with sites enough to hold everybody.
//!
//! ```text
//! earns_j(u) = max over sets S of Σ_{i∈S} (u_i − c_ij) − fixed_j          with  Σ_{i∈S} use_i ≤ limit_j
//! bound(u)   = Σ u_i − max over sets T of sites Σ_{j∈T} earns_j(u)        with  Σ_{j∈T} limit_j ≥ Σ use_i
//! ```
//!
//! Both maxima are [knapsacks](super::sack). Every plan opens such a set of sites, so any multipliers give a valid bound.
//! Source: J. Barceló, J. Casanovas, "A heuristic Lagrangean algorithm for the capacitated plant location problem",
//! EJOR 15 (1984) 212–226 (the relaxation).

use super::sack::{self, Item, Window};
use crate::location::ascent::{FINE, Relaxed};
use crate::location::case::{Case, NOWHERE};
use crate::location::frontier::Settled;

/// Below anything a site can earn.
const LOWEST: i64 = i64::MIN / 4;

/// All customers need this much of a resource that every site limits.
#[derive(Debug, Clone, Copy)]
struct Cover {
    resource: usize,
    demand: i64,
}

/// The relaxation, with what is settled so far.
#[derive(Debug)]
pub(super) struct Sites<'a> {
    case: &'a Case,
    cover: Option<Cover>,
    /// By site.
    pub(super) settled: Vec<Settled>,
    /// Whether an arc is ruled out, by customer and site; empty when none is.
    pub(super) banned: Vec<bool>,
    /// A site that takes each customer at the multipliers last tried, or [`NOWHERE`].
    pub(super) taker: Vec<u32>,
    worthwhile: Vec<u32>,
    items: Vec<Item>,
}

/// What a site would do at given multipliers.
#[derive(Debug, Default)]
struct Offer {
    value: i64,
    customers: Vec<u32>,
}

/// What the relaxation does with the sites.
#[derive(Debug)]
pub(super) struct Opening {
    pub(super) is_open: Vec<bool>,
    /// By how much the bound rises at least when a free site goes the other way, in fine units.
    pub(super) losses: Vec<i64>,
}

impl<'a> Sites<'a> {
    pub(super) fn new(case: &'a Case) -> Self {
        Self {
            case,
            cover: cover(case),
            settled: vec![Settled::Free; case.n_sites()],
            banned: Vec::new(),
            taker: vec![NOWHERE; case.n_customers()],
            worthwhile: Vec::new(),
            items: Vec::new(),
        }
    }

    /// Multipliers to start from: the two cheapest arcs of each customer matter most.
    pub(super) fn start(case: &Case) -> Vec<i64> {
        let of_customer = |customer| case.arcs(customer).iter().take(2).next_back().map_or(0, |arc| arc.cost * FINE);
        (0..case.n_customers()).map(of_customer).collect()
    }

    pub(super) fn is_banned(&self, customer: usize, site: usize) -> bool {
        self.banned.get(customer * self.case.n_sites() + site).is_some_and(|is_banned| *is_banned)
    }

    /// What each site earns, negative where it opens at a loss.
    pub(super) fn worth(&mut self, multipliers: &[i64]) -> Vec<i64> {
        (0..self.case.n_sites()).map(|site| self.offer(site, multipliers, LOWEST).value).collect()
    }

    /// Which sites the relaxation opens, given what each earns.
    pub(super) fn opening(&self, worth: &[i64]) -> Opening {
        let n_sites = self.case.n_sites();
        let is_free = |site: &usize| self.settled[*site] == Settled::Free;
        let is_settled_open = |site: usize| self.settled[site] == Settled::Open;
        let losses: Vec<i64> = worth.iter().map(|worth| worth.saturating_abs()).collect();
        let is_open = |site: usize| is_settled_open(site) || (is_free(&site) && worth[site] > 0);
        let mut opening = Opening { is_open: (0..n_sites).map(is_open).collect(), losses };
        let Some(cover) = self.cover else { return opening };
        let free: Vec<usize> = (0..n_sites).filter(is_free).collect();
        let items: Vec<Item> =
            free.iter().map(|&site| Item { value: worth[site], weight: self.holds(site, cover) }).collect();
        let window = self.window(cover, &items);
        let choice = sack::choose(&items, window, LOWEST);
        if let (Some(taken), Some((relaxed, of_items))) = (choice.taken, sack::losses(&items, window)) {
            for &site in &free {
                opening.is_open[site] = false;
            }
            for at in taken {
                opening.is_open[free[at]] = true;
            }
            // The bound rests on the best choice, the losses on its relaxation.
            let between = relaxed - choice.at_most;
            for (&site, loss) in free.iter().zip(of_items) {
                opening.losses[site] = (loss - between).max(0);
            }
        }
        opening
    }

    fn holds(&self, site: usize, cover: Cover) -> i64 {
        self.case.limits(site)[cover.resource].max(0)
    }

    /// What free sites have to hold beside those settled to be open.
    fn window(&self, cover: Cover, free: &[Item]) -> Window {
        let open = (0..self.case.n_sites()).filter(|&site| self.settled[site] == Settled::Open);
        let held = open.map(|site| self.holds(site, cover)).fold(0, i64::saturating_add);
        let high = free.iter().map(|item| item.weight).fold(0, i64::saturating_add);
        Window { low: cover.demand.saturating_sub(held).max(0), high }
    }

    /// The most a site can earn, if that is more than `to_beat`; else `to_beat`.
    fn offer(&mut self, site: usize, multipliers: &[i64], to_beat: i64) -> Offer {
        self.worthwhile.clear();
        self.items.clear();
        let case = self.case;
        let resource = self.scarcest(site, multipliers);
        for arc in case.site_arcs(site) {
            let customer = arc.to as usize;
            let value = multipliers[customer] - arc.cost * FINE;
            if value > 0 && !self.is_banned(customer, site) {
                self.worthwhile.push(arc.to);
                let weight = resource.map_or(0, |resource| case.uses(arc.variant)[resource]);
                self.items.push(Item { value, weight });
            }
        }
        let fixed = case.fixed[site] * FINE;
        let high = resource.map_or(0, |resource| case.limits(site)[resource]);
        let choice = sack::choose(&self.items, Window { low: 0, high }, to_beat + fixed);
        let customers = choice.taken.into_iter().flatten().map(|at| self.worthwhile[at]).collect();
        Offer { value: choice.at_most - fixed, customers }
    }

    /// The resource of which the customers worth taking ask most beyond the limit.
    fn scarcest(&self, site: usize, multipliers: &[i64]) -> Option<usize> {
        let case = self.case;
        let limits = case.limits(site).iter().enumerate().filter(|it| *it.1 < i64::MAX);
        let asked = |resource: usize| -> i128 {
            let wanted = case.site_arcs(site).iter().filter(|arc| multipliers[arc.to as usize] > arc.cost * FINE);
            wanted.map(|arc| i128::from(case.uses(arc.variant)[resource])).sum()
        };
        limits
            .map(|(resource, &limit)| (resource, i128::from(limit.max(1)), asked(resource)))
            .max_by(|a, b| (a.2 * b.1).cmp(&(b.2 * a.1)))
            .map(|it| it.0)
    }

    fn take(&mut self, site: usize, offer: &Offer, taken: &mut [u32]) {
        for &customer in &offer.customers {
            taken[customer as usize] += 1;
            self.taker[customer as usize] = site as u32;
        }
    }
}

impl Relaxed for Sites<'_> {
    fn bound(&mut self, multipliers: &[i64], _is_left_out: &[bool], taken: &mut [u32]) -> i64 {
        taken.fill(0);
        self.taker.fill(NOWHERE);
        let mut bound: i64 = multipliers.iter().sum();
        let mut free: Vec<(usize, Offer)> = Vec::new();
        for site in 0..self.case.n_sites() {
            let state = self.settled[site];
            if state == Settled::Closed {
                continue;
            }
            let to_beat = if state == Settled::Free && self.cover.is_none() { 0 } else { LOWEST };
            let offer = self.offer(site, multipliers, to_beat);
            if state == Settled::Free {
                free.push((site, offer));
            } else {
                bound -= offer.value;
                self.take(site, &offer, taken);
            }
        }
        let holds = |site: usize| self.cover.map_or(0, |cover| self.holds(site, cover));
        let items: Vec<Item> =
            free.iter().map(|(site, offer)| Item { value: offer.value, weight: holds(*site) }).collect();
        let window = self.cover.map_or(Window { low: 0, high: 0 }, |cover| self.window(cover, &items));
        let choice = sack::choose(&items, window, LOWEST);
        for at in choice.taken.into_iter().flatten() {
            let (site, offer) = &free[at];
            self.take(*site, offer, taken);
        }
        bound - choice.at_most
    }
}

/// The resource that customers need the largest share of, where all sites limit it.
fn cover(case: &Case) -> Option<Cover> {
    let of_resource = |resource: usize| {
        let limits = (0..case.n_sites()).map(|site| case.limits(site)[resource]);
        let total: i128 = limits.clone().map(|limit| i128::from(limit.max(0))).sum();
        let uses = (0..case.n_customers()).map(|customer| case.uses(case.arcs(customer)[0].variant)[resource]);
        let demand: i64 = uses.fold(0, i64::saturating_add);
        let is_scarce = limits.clone().all(|limit| limit < i64::MAX) && demand > 0;
        is_scarce.then_some((total, Cover { resource, demand }))
    };
    (0..case.resources.len())
        .filter_map(of_resource)
        .max_by(|a, b| (i128::from(a.1.demand) * b.0).cmp(&(i128::from(b.1.demand) * a.0)))
        .map(|it| it.1)
}
