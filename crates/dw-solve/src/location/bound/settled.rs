//! The relaxation when something is settled about which sites, and how many of them, are in use.

use super::{Offer, Relaxation};
use crate::location::frontier::Settled;

/// What is settled about all sites.
#[derive(Debug, Clone)]
pub(in crate::location) struct Settlement {
    pub(in crate::location) sites: Vec<Settled>,
    /// Fewest and most sites in use.
    pub(in crate::location) fewest: usize,
    pub(in crate::location) most: usize,
}

impl Settlement {
    /// The sites that earn most together, best first, of those that earn the given amounts; those settled to be open
    /// always, others while they earn or are needed.
    fn choose(&self, earns: &[i64]) -> Vec<usize> {
        let mut order: Vec<usize> = (0..earns.len()).filter(|&site| self.sites[site] != Settled::Closed).collect();
        order.sort_by_key(|&site| (self.sites[site] != Settled::Open, std::cmp::Reverse(earns[site]), site));
        let n_open = order.iter().filter(|&&site| self.sites[site] == Settled::Open).count();
        let n_paying = order[n_open..].iter().filter(|&&site| earns[site] > 0).count();
        order.truncate((n_open + n_paying).clamp(self.fewest, self.most.max(self.fewest)).max(n_open));
        order
    }
}

impl Relaxation<'_> {
    /// What the sites earn together, and who is taken how often, under what is settled.
    pub(super) fn earn_settled(
        &mut self,
        multipliers: &[i64],
        is_left_out: &[bool],
        settlement: &Settlement,
        taken: &mut [u32],
    ) -> i64 {
        let offers = self.offers(multipliers, is_left_out, settlement);
        let earns: Vec<i64> = offers.iter().map(|offer| offer.value).collect();
        let chosen = settlement.choose(&earns);
        self.n_open = chosen.len();
        for &site in &chosen {
            self.count(&offers[site], taken);
        }
        chosen.into_iter().map(|site| earns[site]).sum()
    }

    /// Whether each site is open, and by how much the bound rises at least when it goes the other way.
    pub(in crate::location) fn settle_losses(&mut self, multipliers: &[i64], is_left_out: &[bool]) -> Vec<(bool, i64)> {
        let Some(settlement) = self.settlement.take() else { return Vec::new() };
        let offers = self.offers(multipliers, is_left_out, &settlement);
        let earns: Vec<i64> = offers.iter().map(|offer| offer.value).collect();
        let sum =
            |settlement: &Settlement| -> i64 { settlement.choose(&earns).into_iter().map(|site| earns[site]).sum() };
        let best = sum(&settlement);
        let chosen = settlement.choose(&earns);
        let mut losses = vec![(false, i64::MAX); earns.len()];
        for &site in &chosen {
            losses[site].0 = true;
        }
        for (site, loss) in losses.iter_mut().enumerate().filter(|it| settlement.sites[it.0] == Settled::Free) {
            let mut other = settlement.clone();
            other.sites[site] = if loss.0 { Settled::Closed } else { Settled::Open };
            loss.1 = best - sum(&other);
        }
        self.settlement = Some(settlement);
        losses
    }

    fn offers(&mut self, multipliers: &[i64], is_left_out: &[bool], settlement: &Settlement) -> Vec<Offer> {
        (0..self.case.n_sites())
            .map(|site| {
                let mut offer = Offer::default();
                if settlement.sites[site] != Settled::Closed {
                    self.offer(site, multipliers, |customer| !is_left_out[customer], &mut offer);
                }
                offer
            })
            .collect()
    }
}
