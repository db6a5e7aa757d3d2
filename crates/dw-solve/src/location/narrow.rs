//! A higher bound by settling how many sites are in use, and then which.
//!
//! The relaxation opens parts of sites, as it were: on the average of its rounds it opens twelve and a half. A plan opens
//! twelve or thirteen, and under either condition the bound is higher. Nodes are settled further, least bound first,
//! until the effort is spent; the least bound of those left holds for the whole problem.
//!
//! Source: A. H. Land, A. G. Doig, "An automatic method of solving discrete programming problems", Econometrica 28
//! (1960) 497–520 (the tree).

use std::collections::BTreeMap;

use super::ascent::{Ascent, FINE};
use super::bound::{Relaxation, Settlement, Site};

/// Rounds of the bound at each node. *Common practice*; chosen by trial.
pub(super) const ROUNDS_PER_NODE: u32 = 60;

/// First step of the bound at a node: its multipliers are near the best already.
const FIRST_STEP: f64 = 0.3;

/// An average this near a whole number of sites counts as one.
const NEARLY_WHOLE: f64 = 0.02;

/// Nodes not yet looked at.
#[derive(Debug)]
pub(super) struct Narrowing {
    /// By bound, then by age.
    nodes: BTreeMap<(i64, u64), Node>,
    n_made: u64,
    /// Least bound of nodes in which nothing is left to settle.
    unresolved: Option<i64>,
}

#[derive(Debug, Clone)]
struct Node {
    settlement: Settlement,
    multipliers: Vec<i64>,
}

impl Narrowing {
    /// The whole problem, with the multipliers and the bound known for it.
    pub(super) fn new(n_sites: usize, multipliers: &[i64], bound: i64) -> Self {
        let settlement = Settlement { sites: vec![Site::Free; n_sites], fewest: 0, most: n_sites };
        let root = Node { settlement, multipliers: multipliers.to_vec() };
        Self { nodes: BTreeMap::from([((bound, 0), root)]), n_made: 1, unresolved: None }
    }

    /// What is proven for the whole problem when a plan of this cost is known.
    pub(super) fn bound(&self, cost: i64) -> i64 {
        let open = self.nodes.keys().next().map(|key| key.0);
        open.into_iter().chain(self.unresolved).min().unwrap_or(cost).min(cost)
    }

    /// Looks at the node with the least bound; says whether there was one that could hold a better plan.
    pub(super) fn step(&mut self, ascent: &mut Ascent<Relaxation<'_>>, cost: i64) -> bool {
        let Some(((before, _), mut node)) = self.nodes.pop_first() else { return false };
        if before >= cost || self.unresolved.is_some_and(|least| least <= before) {
            self.nodes.insert((before, 0), node);
            return false;
        }
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
            if node.settlement.sites[site] == Site::Free && loss >= missing {
                node.settlement.sites[site] = if is_open { Site::Open } else { Site::Closed };
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
        let free = (0..losses.len()).filter(|&site| settlement.sites[site] == Site::Free);
        let Some(site) = free.min_by_key(|&site| (losses[site].1, site)) else {
            self.unresolved = Some(self.unresolved.map_or(bound, |known| known.min(bound)));
            return;
        };
        self.add(bound, node, |child| child.sites[site] = Site::Open);
        self.add(bound, node, |child| child.sites[site] = Site::Closed);
    }

    fn add(&mut self, bound: i64, node: &Node, settle: impl Fn(&mut Settlement)) {
        let mut child = node.clone();
        settle(&mut child.settlement);
        self.nodes.insert((bound, self.n_made), child);
        self.n_made += 1;
    }
}
