//! A higher bound by settling how many sites are in use, and then which.
//!
//! The relaxation opens parts of sites, as it were: on the average of its rounds it opens twelve and a half. A plan opens
//! twelve or thirteen, and under either condition the bound is higher. Nodes are settled further, least bound first,
//! until the effort is spent; the least bound of those left holds for the whole problem.

use super::ascent::{Ascent, FINE};
use super::bound::{Relaxation, Settlement};
use super::frontier::{Frontier, Settled};

/// Rounds of the bound at each node. *Common practice*; chosen by trial.
pub(super) const ROUNDS_PER_NODE: u32 = 60;

/// First step of the bound at a node: its multipliers are near the best already.
const FIRST_STEP: f64 = 0.3;

/// An average this near a whole number of sites counts as one.
const NEARLY_WHOLE: f64 = 0.02;

/// The tree.
#[derive(Debug)]
pub(super) struct Narrowing {
    frontier: Frontier<Node>,
}

#[derive(Debug, Clone)]
struct Node {
    settlement: Settlement,
    multipliers: Vec<i64>,
}

impl Narrowing {
    /// The whole problem, with the multipliers and the bound known for it.
    pub(super) fn new(n_sites: usize, multipliers: &[i64], bound: i64) -> Self {
        let settlement = Settlement { sites: vec![Settled::Free; n_sites], fewest: 0, most: n_sites };
        Self { frontier: Frontier::new(Node { settlement, multipliers: multipliers.to_vec() }, bound) }
    }

    /// What is proven for the whole problem when a plan of this cost is known.
    pub(super) fn bound(&self, cost: i64) -> i64 {
        self.frontier.bound(cost)
    }

    /// Looks at the node with the least bound; says whether there was one that could raise the bound.
    pub(super) fn step(&mut self, ascent: &mut Ascent<Relaxation<'_>>, cost: i64) -> bool {
        if self.frontier.is_stuck() {
            return false;
        }
        let Some((before, mut node)) = self.frontier.pop_below(cost) else { return false };
        ascent.relaxation.settlement = Some(node.settlement.clone());
        ascent.restart(&node.multipliers, FIRST_STEP);
        let (mut n_rounds, mut n_open) = (0, 0);
        while n_rounds < ROUNDS_PER_NODE && ascent.proven() < cost && !ascent.has_settled() {
            ascent.round(cost);
            n_rounds += 1;
            n_open += ascent.relaxation.n_open;
        }
        let bound = ascent.proven().max(before);
        if bound >= cost {
            return true;
        }
        node.multipliers.clone_from(&ascent.best);
        let losses = ascent.relaxation.settle_losses(&node.multipliers, &ascent.is_left_out);
        let missing = cost.saturating_sub(ascent.proven()).saturating_mul(FINE);
        for (site, &(is_open, loss)) in losses.iter().enumerate() {
            if node.settlement.sites[site] == Settled::Free && loss >= missing {
                node.settlement.sites[site] = if is_open { Settled::Open } else { Settled::Closed };
            }
        }
        let average = n_open as f64 / f64::from(n_rounds.max(1));
        self.divide(bound, &node, average, &losses);
        true
    }

    /// Settles one thing more about a node, either way.
    fn divide(&mut self, bound: i64, node: &Node, average: f64, losses: &[(bool, i64)]) {
        let whole = average.round();
        let at_most = average.floor() as usize;
        let settlement = &node.settlement;
        if (average - whole).abs() > NEARLY_WHOLE && (settlement.fewest..settlement.most).contains(&at_most) {
            self.add(bound, node, |child| child.most = at_most);
            self.add(bound, node, |child| child.fewest = at_most + 1);
            return;
        }
        let free = (0..losses.len()).filter(|&site| settlement.sites[site] == Settled::Free);
        let Some(site) = free.min_by_key(|&site| (losses[site].1, site)) else {
            self.frontier.give_up(bound);
            return;
        };
        self.add(bound, node, |child| child.sites[site] = Settled::Open);
        self.add(bound, node, |child| child.sites[site] = Settled::Closed);
    }

    fn add(&mut self, bound: i64, node: &Node, settle: impl Fn(&mut Settlement)) {
        let mut child = node.clone();
        settle(&mut child.settlement);
        self.frontier.add(bound, child);
    }
}
