//! Settling sites: a tree of problems in which some sites must, and some must not, be in use.
//!
//! Each node climbs to its own bound; a node that cannot beat the best plan is dropped, and so is either state of a site
//! that its earnings alone rule out. The least bound of the nodes left is a bound for the whole problem. Nodes with the
//! least bound come first, and each suggests the sites of a plan.

use super::anneal::{Annealing, MOVES_PER_ROUND};
use super::relax::Sites;
use crate::location::ascent::{Ascent, FINE, Relaxed};
use crate::location::case::Case;
use crate::location::frontier::{Frontier, Settled};

/// Rounds of the bound at each node. *Common practice*; chosen by trial.
const ROUNDS_PER_NODE: u32 = 40;

/// First step of the bound at a node: its multipliers are near the best already.
const FIRST_STEP: f64 = 0.25;

/// Rounds of the cooling at each node, per so many customers and at least. *Common practice*; chosen by trial.
const CUSTOMERS_PER_ROUND: u64 = 2;
const FEWEST_ROUNDS: u64 = 20;

/// A move costs as much time as so many arcs, as measured.
const ARCS_PER_MOVE: u64 = 8;

/// Nodes in which arcs are settled, too, are many and much alike: they get this part of the cooling.
const PART_WHEN_SETTLED: u64 = 4;

/// A node whose cooling comes near the best plan, within this share of what separates that plan from the bound, is
/// cooled again, so many times as long. *Common practice*; chosen by trial.
const NEAR: f64 = 0.3;
const LONGER: u64 = 10;

/// Rounds of the cooling at a node.
fn cooling(case: &Case, node: &Node) -> u64 {
    let whole = (case.n_customers() as u64 / CUSTOMERS_PER_ROUND).max(FEWEST_ROUNDS);
    if node.arcs.is_empty() { whole } else { whole / PART_WHEN_SETTLED }
}

/// The tree.
#[derive(Debug)]
pub(super) struct Tree<'a> {
    case: &'a Case,
    frontier: Frontier<Node>,
    /// Work done, in arcs evaluated.
    pub(super) work: u64,
}

#[derive(Debug, Clone)]
struct Node {
    settled: Vec<Settled>,
    /// Arcs that must, or must not, be used: customer and site.
    arcs: Vec<(usize, usize, bool)>,
    multipliers: Vec<i64>,
}

impl<'a> Tree<'a> {
    /// The whole problem, with the multipliers and the bound known for it.
    pub(super) fn new(case: &'a Case, multipliers: &[i64], bound: i64) -> Self {
        let settled = vec![Settled::Free; case.n_sites()];
        let root = Node { settled, arcs: Vec::new(), multipliers: multipliers.to_vec() };
        Self { case, frontier: Frontier::new(root, bound), work: 0 }
    }

    /// What is proven for the whole problem when a plan of this cost is known.
    pub(super) fn bound(&self, cost: i64) -> i64 {
        self.frontier.bound(cost)
    }

    /// Looks at the most promising node; says whether there was one that could hold a better plan.
    pub(super) fn step(&mut self, ascent: &mut Ascent<Sites<'_>>, cost: i64, annealing: &mut Annealing<'_>) -> bool {
        let Some((before, mut node)) = self.frontier.pop_below(cost) else { return false };
        self.climb(ascent, &node, cost);
        let bound = ascent.proven().max(before);
        if bound >= cost {
            return true;
        }
        node.multipliers.clone_from(&ascent.best);
        let worth = ascent.relaxation.worth(&node.multipliers);
        let opening = ascent.relaxation.opening(&worth);
        let mut taken = vec![0; self.case.n_customers()];
        let at_best = ascent.relaxation.bound(&node.multipliers, &ascent.is_left_out, &mut taken);
        debug_assert_eq!(at_best, ascent.bound, "the bound is what it was");
        self.work += u64::from(ROUNDS_PER_NODE) * self.case.n_arcs() as u64;
        let n_rounds = cooling(self.case, &node);
        for n_rounds in [n_rounds, n_rounds * LONGER] {
            let cooled = annealing.cool_from(&ascent.relaxation.taker, &opening.is_open, n_rounds);
            self.work += n_rounds * MOVES_PER_ROUND * ARCS_PER_MOVE;
            let best = annealing.cost().map_or(f64::INFINITY, |best| best as f64);
            if cooled > best + NEAR * (best - bound as f64) {
                break;
            }
        }
        let cost = annealing.cost().map_or(cost, |best| best.min(cost));
        let missing = cost.saturating_sub(ascent.proven()).saturating_mul(FINE);
        for site in 0..self.case.n_sites() {
            if node.settled[site] == Settled::Free && opening.losses[site] >= missing {
                node.settled[site] = if opening.is_open[site] { Settled::Open } else { Settled::Closed };
            }
        }
        let free = (0..self.case.n_sites()).filter(|&site| node.settled[site] == Settled::Free);
        if let Some(site) = free.min_by_key(|&site| opening.losses[site]) {
            for state in [Settled::Open, Settled::Closed] {
                let mut child = node.clone();
                child.settled[site] = state;
                self.frontier.add(bound, child);
            }
        } else if let Some((customer, site)) = self.disputed(ascent, &node, &taken) {
            for is_used in [true, false] {
                let mut child = node.clone();
                child.arcs.push((customer, site, is_used));
                self.frontier.add(bound, child);
            }
        } else {
            // Nothing is left to settle.
            self.frontier.give_up(bound);
        }
        true
    }

    /// Raises the bound of a node.
    fn climb(&self, ascent: &mut Ascent<Sites<'_>>, node: &Node, cost: i64) {
        let n_sites = self.case.n_sites();
        let banned = &mut ascent.relaxation.banned;
        banned.clear();
        if !node.arcs.is_empty() {
            banned.resize(n_sites * self.case.n_customers(), false);
        }
        for &(customer, site, is_used) in &node.arcs {
            let row = &mut banned[customer * n_sites..][..n_sites];
            if is_used {
                (0..n_sites).filter(|&other| other != site).for_each(|other| row[other] = true);
            } else {
                row[site] = true;
            }
        }
        ascent.relaxation.settled.clone_from(&node.settled);
        ascent.restart(&node.multipliers, FIRST_STEP);
        for _ in 0..ROUNDS_PER_NODE {
            if ascent.proven() >= cost || ascent.has_settled() {
                break;
            }
            // Where no plan is known yet, aim a little above the bound.
            let proven = ascent.proven();
            ascent.round(cost.min(proven.saturating_add(proven.abs() / 10 + 1)));
        }
    }

    /// A customer with a choice left, and a site to settle for it: one that is not taken exactly once before others, and
    /// of these the one that takes most.
    fn disputed(&self, ascent: &Ascent<Sites<'_>>, node: &Node, taken: &[u32]) -> Option<(usize, usize)> {
        let relaxed = &ascent.relaxation;
        let is_usable =
            |customer: usize, site: usize| node.settled[site] != Settled::Closed && !relaxed.is_banned(customer, site);
        let with_choice = (0..self.case.n_customers()).filter_map(|customer| {
            let sites = self.case.arcs(customer).iter().map(|arc| arc.to as usize);
            let usable: Vec<usize> = sites.filter(|&site| is_usable(customer, site)).collect();
            let taker = (taken[customer] > 0).then_some(relaxed.taker[customer] as usize);
            let site = taker.or(usable.first().copied())?;
            (usable.len() > 1).then_some((customer, site))
        });
        let weight =
            |customer: usize| self.case.uses(self.case.arcs(customer)[0].variant).iter().copied().max().unwrap_or(0);
        with_choice.max_by_key(|&(customer, _)| (taken[customer] != 1, weight(customer), std::cmp::Reverse(customer)))
    }
}
