//! A closer look at sites where the relaxation earns too much: a customer taken in several variants, or customers that
//! together take more than a limit of the site.
//!
//! Both are met by small Lagrangian terms of the site alone, chosen from the offer at hand. Any terms are valid, since a
//! plan serves each customer in one variant and keeps every limit; good ones make the bound higher.

use super::{Offer, Relaxation};
use crate::location::ascent::FINE;
use crate::location::case::{ModelCase, Reach};
use crate::random::Random;

/// Largest handicap less the smallest, as a share of the usual price of a port. By trial.
const FAVOUR: f64 = 0.8;

/// Largest charges, far above any gain: for a variant, and for a port. Charging less than is due keeps a bound valid.
const MAX_CHARGE: i128 = 1 << 60;
const MAX_PORT_CHARGE: i128 = 1 << 44;

/// A charge on one limited resource of a site.
#[derive(Debug)]
pub(super) struct Charge {
    /// Which of the limited resources.
    resource: usize,
    /// Charge for a unit of it, in fine units.
    per_unit: i64,
    /// Charge for all there is; the site earns it whether used or not.
    pub(super) for_limit: i64,
    /// Charge that no port of each family escapes: its share of the model that takes least.
    pub(super) per_port: Vec<i64>,
}

impl Relaxation<'_> {
    /// Sets tolls and a charge that suit an offer; says whether there is anything to set.
    pub(super) fn tighten(&mut self, site: usize, multipliers: &[i64], offer: &Offer) -> bool {
        self.charge = self.find_charge(site, multipliers, offer);
        let has_tolls = self.case.has_alternatives && self.set_tolls(site, multipliers, offer);
        has_tolls || self.charge.is_some()
    }

    /// Takes tolls and charge back.
    pub(super) fn loosen(&mut self) {
        self.charge = None;
        self.clear_tolls();
    }

    /// Cost of an arc and charge for what its variant takes, in fine units.
    pub(super) fn cost(&self, arc: &Reach) -> i64 {
        let what = self.case.variants[arc.variant as usize];
        let Some(charge) = self.charge.as_ref().filter(|_| what.has_uses) else { return arc.cost * FINE };
        let uses = self.case.uses(arc.variant)[charge.resource];
        arc.cost * FINE + (i128::from(charge.per_unit) * i128::from(uses)).min(MAX_CHARGE) as i64
    }

    /// The charge at which no more customers would take the scarcest resource of a site than there is of it: the gain for
    /// a unit of it of the first customer beyond the limit.
    fn find_charge(&self, site: usize, multipliers: &[i64], offer: &Offer) -> Option<Charge> {
        let case = self.case;
        if !case.is_limited[site] {
            return None;
        }
        let takers = offer.variants.iter().copied().filter(|&variant| case.variants[variant as usize].has_uses);
        let takers: Vec<u32> = takers.collect();
        let taken = |resource: usize| takers.iter().map(|&variant| case.uses(variant)[resource]).sum::<i64>();
        let limits = case.limits(site).iter().map(|&limit| limit.max(0)).enumerate();
        let (resource, limit) = limits.filter(|&(resource, limit)| taken(resource) > limit).min_by_key(|it| it.1)?;
        let mut rates: Vec<(i64, i64)> = Vec::new();
        for variant in takers {
            let uses = case.uses(variant)[resource];
            if let Some(cost) = case.arc_cost(variant, site).filter(|_| uses > 0) {
                rates.push(((multipliers[self.customer(variant)] - cost * FINE) / uses, uses));
            }
        }
        rates.sort_unstable_by(|a, b| b.cmp(a));
        let mut left = limit;
        let beyond = rates.iter().find(|(_, uses)| {
            left -= uses;
            left < 0
        });
        let per_unit = beyond.map(|it| it.0).filter(|&rate| rate > 0)?;
        let per_port = case.families.iter().map(|family| {
            let least = |model: &ModelCase| {
                (i128::from(per_unit) * i128::from(model.uses[resource]) / i128::from(model.ports)).min(MAX_PORT_CHARGE)
            };
            family.models.iter().map(least).min().unwrap_or(0) as i64
        });
        Some(Charge { resource, per_unit, for_limit: per_unit.checked_mul(limit)?, per_port: per_port.collect() })
    }

    /// Sets the tolls that suit a site when it may take everybody.
    pub(in crate::location) fn set_tolls_for_all(&mut self, site: usize, multipliers: &[i64]) {
        if self.case.has_alternatives {
            let mut offer = std::mem::take(&mut self.other);
            self.best_offer(site, multipliers, |_| true, &mut offer);
            self.clear_tolls();
            self.set_tolls(site, multipliers, &offer);
            self.other = offer;
        }
    }

    /// Sets tolls for the customers that an offer takes more than once; says whether there are any.
    ///
    /// A customer has to yield its toll at the site however it is served, and whatever it gains in a variant is less by
    /// as much. Any tolls are valid: one variant at most is chosen, so what is taken off is earned elsewhere. The toll
    /// here is what the second best variant would leave after the usual price of its ports, so that only the best is
    /// worth more than its ports.
    fn set_tolls(&mut self, site: usize, multipliers: &[i64], offer: &Offer) -> bool {
        for &variant in &offer.variants {
            let customer = self.customer(variant);
            self.n_taken[customer] += 1;
            if self.n_taken[customer] == 2 {
                self.tolled.push(customer as u32);
            }
        }
        for &variant in &offer.variants {
            let customer = self.customer(variant);
            self.n_taken[customer] = 0;
        }
        let case = self.case;
        for &customer in &self.tolled {
            let arcs = case.site_arcs(site);
            let from = arcs.partition_point(|arc| arc.to < customer);
            let own = arcs[from..].iter().take_while(|arc| arc.to == customer);
            let gain = |arc: &Reach| multipliers[customer as usize] - self.cost(arc);
            let (with_ports, loose): (Vec<&Reach>, Vec<&Reach>) =
                own.partition(|arc| case.variants[arc.variant as usize].ports > 0);
            let base = loose.into_iter().map(gain).max().unwrap_or(0).max(0);
            let mut nets: Vec<i64> = (with_ports.into_iter())
                .map(|arc| {
                    let what = case.variants[arc.variant as usize];
                    gain(arc) - base - i64::from(what.ports) * self.price_when_full(site, what.family as usize)
                })
                .collect();
            nets.sort_unstable_by(|a, b| b.cmp(a));
            self.tolls[customer as usize] = nets.get(1).copied().unwrap_or(0).max(0);
        }
        self.tolled.retain(|&customer| self.tolls[customer as usize] > 0);
        !self.tolled.is_empty()
    }

    /// Takes all tolls back.
    pub(in crate::location) fn clear_tolls(&mut self) {
        for customer in self.tolled.drain(..) {
            self.tolls[customer as usize] = 0;
        }
    }

    /// Price of a port where a family fills a site.
    fn price_when_full(&self, site: usize, family: usize) -> i64 {
        let most = self.most_ports[site * self.case.n_families() + family];
        self.prices(site, family)[most as usize] / i64::from(most.max(1))
    }

    /// Favours some families, or going without, at random: plans built then differ in more than their sites.
    pub(in crate::location) fn favour(&mut self, random: &mut Random) {
        if self.case.has_alternatives {
            for handicap in &mut self.handicaps {
                *handicap = (FAVOUR * (random.unit() - 0.5) * self.usual_price as f64) as i64;
            }
        }
    }

    /// Favours nothing any more; a bound holds only so.
    pub(in crate::location) fn favour_none(&mut self) {
        self.handicaps.fill(0);
    }

    /// Lists the variants of one customer. What it gains without ports, and its toll, it gains in any case; a variant
    /// with ports is listed for what it gains beyond that.
    pub(super) fn list_several(&mut self, arcs: &[Reach], multiplier: i64) -> i64 {
        let case = self.case;
        let kind =
            |arc: &Reach| (case.variants[arc.variant as usize].family, case.variants[arc.variant as usize].ports);
        let without = self.handicaps[case.n_families()];
        let loose = arcs.iter().filter(|arc| kind(arc).1 == 0).min_by_key(|arc| self.cost(arc));
        let gain = loose.map_or(0, |arc| self.list(arc, multiplier - self.cost(arc) - without));
        let toll = self.tolls[arcs[0].to as usize];
        for (at, arc) in arcs.iter().enumerate().filter(|it| kind(it.1).1 > 0) {
            // Of variants with the same ports only the cheapest can be the best.
            let cost = self.cost(arc);
            let beats = |(other_at, other): (usize, &Reach)| {
                kind(other) == kind(arc) && (self.cost(other), other_at) < (cost, at)
            };
            if !arcs.iter().enumerate().any(beats) {
                let (family, ports) = kind(arc);
                let handicap = self.handicaps[family as usize] * i64::from(ports);
                self.list(arc, multiplier - cost - handicap - gain - toll);
            }
        }
        gain + toll
    }

    /// Adds the customers without ports unless a family takes them, and leaves out those with a toll.
    pub(super) fn add_loose(&mut self, variants: &mut Vec<u32>) {
        if !self.case.has_alternatives {
            variants.extend(&self.loose);
            return;
        }
        let n_with_ports = variants.len();
        for &variant in variants.iter() {
            let customer = self.customer(variant);
            self.n_taken[customer] = 1;
        }
        let is_free = |variant: &u32| self.n_taken[self.customer(*variant)] == 0;
        variants.extend(self.loose.iter().copied().filter(is_free));
        for &variant in &variants[..n_with_ports] {
            let customer = self.customer(variant);
            self.n_taken[customer] = 0;
        }
        variants.retain(|&variant| self.tolls[self.customer(variant)] == 0);
    }
}
