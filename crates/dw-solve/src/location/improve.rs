//! Local search: single moves, swaps, and the best division of customers between two sites.
//!
//! Controllers come in steps, so moving one customer seldom pays: the last port of a controller must become free.
//! [`Search::divide`] therefore reconsiders all customers of two sites at once. Sorted by how much better the first site
//! is, the best division for any pair of loads takes a beginning of the list for each port count, so trying all loads
//! finds the best division, merging and opening a site included.

use super::case::{Reach, VariantCase};
use super::mixes::FrontId;
use super::state::{IMPOSSIBLE, State};

/// Most pairs of loads tried for one division; beyond it customers of one port count are divided at a time.
const MAX_DIVISIONS: usize = 4_000;

/// Sites looked at as partners, per customer of a site: the next best ones in use.
const PARTNERS_PER_CUSTOMER: usize = 3;

/// Local search on a state.
#[derive(Debug)]
pub(super) struct Search<'s, 'a> {
    pub(super) state: &'s mut State<'a>,
    /// Arcs and divisions evaluated.
    pub(super) work: u64,
}

/// Customers of one port count that both sites can serve.
#[derive(Debug, Default)]
struct Movable {
    /// How much dearer the first site is, and the customer; best for the first site first.
    customers: Vec<(i64, u32)>,
}

/// The best division found so far.
#[derive(Debug)]
struct Division {
    cost: i64,
    /// Customers of each port count at the first site.
    at_first: [usize; 4],
}

impl Search<'_, '_> {
    /// Improves the plan around the given sites until none of the moves helps.
    pub(super) fn settle(&mut self, mut dirty: Vec<usize>) {
        let mut is_dirty = vec![false; self.state.case.n_sites()];
        for &site in &dirty {
            is_dirty[site] = true;
        }
        while let Some(site) = dirty.pop() {
            is_dirty[site] = false;
            let mut changed = self.move_singly(site);
            changed.extend(self.switch(site));
            if !self.state.members[site].is_empty() {
                for partner in self.partners(site) {
                    if self.divide(site, partner) || self.swap(site, partner) {
                        changed.extend([site, partner]);
                    }
                }
            }
            for site in changed {
                if !std::mem::replace(&mut is_dirty[site], true) {
                    dirty.push(site);
                }
            }
        }
    }

    /// Sites in use that could take customers of this one, ascending.
    pub(super) fn partners(&self, site: usize) -> Vec<usize> {
        let mut partners = Vec::new();
        for &customer in &self.state.members[site] {
            let near = self.state.case.near(customer as usize).iter().map(|&other| other as usize);
            let in_use = near.filter(|&other| other != site && !self.state.members[other].is_empty());
            for other in in_use.take(PARTNERS_PER_CUSTOMER) {
                if !partners.contains(&other) {
                    partners.push(other);
                }
            }
        }
        partners.sort_unstable();
        partners
    }

    /// Moves customers of a site, one at a time, to where they cost less; returns the sites that changed.
    fn move_singly(&mut self, site: usize) -> Vec<usize> {
        let mut changed = Vec::new();
        for customer in self.state.members[site].clone() {
            if let Some(to) = self.move_one(customer as usize) {
                changed.extend([site, to]);
            }
        }
        changed
    }

    /// Serves a customer where and how it costs least, if that is cheaper than now; returns the site.
    fn move_one(&mut self, customer: usize) -> Option<usize> {
        let case = self.state.case;
        let from = self.state.assigned[customer] as usize;
        let now = self.state.arc(customer);
        let cost_without = self.state.cost_with(from, None, Some(now.variant));
        let saved = now.cost + self.state.site_cost[from] - cost_without;
        let mut best = (0, None);
        for arc in case.arcs(customer) {
            let to = arc.to as usize;
            if arc.cost - saved >= best.0 {
                break;
            }
            if to == from && arc.variant == now.variant {
                continue;
            }
            self.work += 1;
            let (leaves, without) =
                if to == from { (Some(now.variant), cost_without) } else { (None, self.state.site_cost[to]) };
            let site_cost = self.state.cost_with(to, Some(arc.variant), leaves);
            let change = arc.cost + site_cost - without - saved;
            if site_cost < IMPOSSIBLE && change < best.0 {
                best = (change, Some(*arc));
            }
        }
        let arc = best.1?;
        self.state.shift(customer, arc);
        Some(arc.to as usize)
    }

    /// Gives two sites the cheapest division of their customers, family by family; says whether that changed anything.
    pub(super) fn divide(&mut self, first: usize, second: usize) -> bool {
        let mut has_changed = false;
        for family in 0..self.state.case.n_families() {
            let all = self.movable(family, first, second);
            if all.iter().map(|list| list.customers.len() + 1).product::<usize>() <= MAX_DIVISIONS {
                has_changed |= self.divide_among(family, first, second, &all);
                continue;
            }
            for size in 0..4 {
                let mut one: [Movable; 4] = Default::default();
                one[size] = std::mem::take(&mut self.movable(family, first, second)[size]);
                has_changed |= self.divide_among(family, first, second, &one);
            }
        }
        has_changed
    }

    /// Customers of one family that both sites can serve in their present variant, by port count, best for the first site first.
    fn movable(&self, family: usize, first: usize, second: usize) -> [Movable; 4] {
        let mut movable: [Movable; 4] = Default::default();
        for (site, other) in [(first, second), (second, first)] {
            for &customer in &self.state.members[site] {
                let variant = self.state.variant[customer as usize];
                let what = self.state.case.variants[variant as usize];
                if what.ports == 0 || what.has_uses || what.is_apart || what.family as usize != family {
                    continue;
                }
                if let Some(there) = self.state.case.arc_cost(variant, other) {
                    let here = self.state.arc_cost[customer as usize];
                    let dearer = if site == first { here - there } else { there - here };
                    movable[usize::from(what.ports) - 1].customers.push((dearer, customer));
                }
            }
        }
        for list in &mut movable {
            list.customers.sort_unstable();
        }
        movable
    }

    /// Finds the best division of some customers of a family, and makes it if it is better than the present one.
    fn divide_among(&mut self, family: usize, first: usize, second: usize, movable: &[Movable; 4]) -> bool {
        if movable.iter().all(|list| list.customers.is_empty()) {
            return false;
        }
        let (mut at_first, mut at_second) = (self.state.front(first, family), self.state.front(second, family));
        let (mut n_first, mut n_second) = (self.state.members[first].len(), self.state.members[second].len());
        let mut arcs = 0;
        // The search starts from all of them at the second site.
        for list in movable {
            for &(dearer, customer) in &list.customers {
                if self.state.assigned[customer as usize] as usize == first {
                    let what = self.variant_of(customer);
                    at_first = self.state.mixes.fewer(self.state.case, at_first, what);
                    at_second = self.state.mixes.more(self.state.case, at_second, what);
                    n_first -= 1;
                    n_second += 1;
                    arcs -= dearer;
                }
            }
        }
        let now = self.state.site_cost[first] + self.state.site_cost[second];
        let mut best = Division { cost: now, at_first: [usize::MAX; 4] };
        let load = Pair { family, sites: [first, second], fronts: [at_first, at_second], n: [n_first, n_second] };
        self.try_divisions(movable, 0, load, arcs, &mut [0; 4], &mut best);
        if best.cost >= now {
            return false;
        }
        self.apply(movable, first, second, &best.at_first);
        true
    }

    /// How a customer is served now.
    fn variant_of(&self, customer: u32) -> VariantCase {
        self.state.case.variants[self.state.variant[customer as usize] as usize]
    }

    /// Tries every number of customers of each port count at the first site.
    fn try_divisions(
        &mut self,
        movable: &[Movable; 4],
        size: usize,
        mut load: Pair,
        mut arcs: i64,
        taken: &mut [usize; 4],
        best: &mut Division,
    ) {
        let next = (size..4).find(|&size| !movable[size].customers.is_empty());
        let Some(size) = next else {
            self.work += 1;
            let cost = arcs + self.state.cost_if(&load, 0) + self.state.cost_if(&load, 1);
            if cost < best.cost {
                *best = Division { cost, at_first: *taken };
            }
            return;
        };
        taken[size] = 0;
        self.try_divisions(movable, size + 1, load, arcs, taken, best);
        for (nth, &(dearer, customer)) in movable[size].customers.iter().enumerate() {
            let what = self.variant_of(customer);
            load.fronts[0] = self.state.mixes.more(self.state.case, load.fronts[0], what);
            load.fronts[1] = self.state.mixes.fewer(self.state.case, load.fronts[1], what);
            load.n[0] += 1;
            load.n[1] -= 1;
            arcs += dearer;
            taken[size] = nth + 1;
            self.try_divisions(movable, size + 1, load, arcs, taken, best);
        }
    }

    /// Takes those that change sides away first, then puts them where they belong, so that limits hold at the end.
    fn apply(&mut self, movable: &[Movable; 4], first: usize, second: usize, at_first: &[usize; 4]) {
        let mut moves = Vec::new();
        for (list, &n_first) in movable.iter().zip(at_first) {
            for (nth, &(dearer, customer)) in list.customers.iter().enumerate() {
                let customer = customer as usize;
                let from = self.state.assigned[customer] as usize;
                let to = if nth < n_first { first } else { second };
                if from != to {
                    let here = self.state.arc(customer);
                    let cost = if to == first { here.cost + dearer } else { here.cost - dearer };
                    moves.push((customer, Reach { to: to as u32, cost, ..here }));
                }
            }
        }
        for &(customer, ..) in &moves {
            self.state.take(customer);
        }
        for (customer, arc) in moves {
            self.state.serve(customer, arc);
        }
    }

    /// Exchanges one pair of customers that take resources themselves or stay apart from others, if that is cheaper.
    fn swap(&mut self, first: usize, second: usize) -> bool {
        let of = |state: &State<'_>, site: usize| -> Vec<usize> {
            let members = state.members[site].iter().map(|&customer| customer as usize);
            let stands_out = |&it: &usize| {
                let what = state.case.variants[state.variant[it] as usize];
                what.has_uses || what.is_apart
            };
            members.filter(stands_out).collect()
        };
        let (ours, theirs) = (of(self.state, first), of(self.state, second));
        let now = self.state.site_cost[first] + self.state.site_cost[second];
        for &a in &ours {
            let a_here = self.state.arc(a);
            let Some(a_there) = self.state.case.arc_cost(a_here.variant, second) else { continue };
            for &b in &theirs {
                let b_here = self.state.arc(b);
                let Some(b_there) = self.state.case.arc_cost(b_here.variant, first) else { continue };
                let arcs = a_there + b_there - a_here.cost - b_here.cost;
                self.work += 1;
                let first_cost = self.state.cost_with(first, Some(b_here.variant), Some(a_here.variant));
                let second_cost = self.state.cost_with(second, Some(a_here.variant), Some(b_here.variant));
                if arcs + first_cost + second_cost < now {
                    self.state.take(a);
                    self.state.take(b);
                    self.state.serve(b, Reach { to: a_here.to, cost: b_there, ..b_here });
                    self.state.serve(a, Reach { to: b_here.to, cost: a_there, ..a_here });
                    return true;
                }
            }
        }
        false
    }
}

/// Pair of one family at two sites while a division is tried.
#[derive(Debug, Clone, Copy)]
pub(super) struct Pair {
    pub(super) family: usize,
    pub(super) sites: [usize; 2],
    pub(super) fronts: [FrontId; 2],
    /// Customers of all families at each site.
    pub(super) n: [usize; 2],
}
