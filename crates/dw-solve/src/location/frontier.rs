//! Nodes of a tree of problems in which ever more is settled, least bound first.
//!
//! Source: A. H. Land, A. G. Doig, "An automatic method of solving discrete programming problems", Econometrica 28
//! (1960) 497–520.

use std::collections::BTreeMap;

/// What is settled about a site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Settled {
    /// Nothing.
    Free,
    /// It is in use.
    Open,
    /// It is not in use.
    Closed,
}

/// The nodes not yet looked at.
#[derive(Debug)]
pub(super) struct Frontier<N> {
    /// By bound, then by age.
    nodes: BTreeMap<(i64, u64), N>,
    n_made: u64,
    /// Least bound of nodes in which nothing is left to settle, but that could hold a better plan.
    unresolved: Option<i64>,
}

impl<N> Frontier<N> {
    /// The whole problem, with the bound known for it.
    pub(super) fn new(root: N, bound: i64) -> Self {
        Self { nodes: BTreeMap::from([((bound, 0), root)]), n_made: 1, unresolved: None }
    }

    /// What is proven for the whole problem when a plan of this cost is known.
    pub(super) fn bound(&self, cost: i64) -> i64 {
        let open = self.nodes.keys().next().map(|key| key.0);
        open.into_iter().chain(self.unresolved).min().unwrap_or(cost).min(cost)
    }

    /// Whether a node is left unresolved at a bound that none of the others can raise.
    pub(super) fn is_stuck(&self) -> bool {
        let open = self.nodes.keys().next().map(|key| key.0);
        self.unresolved.is_some_and(|least| open.is_none_or(|open| least <= open))
    }

    /// Takes the node with the least bound, and that bound, if it could hold a plan that costs less.
    pub(super) fn pop_below(&mut self, cost: i64) -> Option<(i64, N)> {
        let first = self.nodes.first_entry().filter(|first| first.key().0 < cost)?;
        let bound = first.key().0;
        Some((bound, first.remove()))
    }

    /// Adds a node.
    pub(super) fn add(&mut self, bound: i64, node: N) {
        self.nodes.insert((bound, self.n_made), node);
        self.n_made += 1;
    }

    /// Gives a node up in which nothing is left to settle.
    pub(super) fn give_up(&mut self, bound: i64) {
        self.unresolved = Some(self.unresolved.map_or(bound, |known| known.min(bound)));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_least_bound_of_what_is_open_or_given_up_holds_for_all() {
        let mut frontier = Frontier::new("all", 10);
        assert_eq!((frontier.bound(20), frontier.bound(5)), (10, 5));
        assert_eq!(frontier.pop_below(10), None, "it could only be as good as the plan");
        assert_eq!(frontier.pop_below(20), Some((10, "all")));
        frontier.add(14, "open");
        frontier.add(12, "closed");
        assert_eq!(frontier.bound(20), 12);
        assert_eq!(frontier.pop_below(20), Some((12, "closed")));
        frontier.give_up(13);
        assert!(frontier.is_stuck());
        assert_eq!(frontier.bound(20), 13);
        assert_eq!(frontier.pop_below(20), Some((14, "open")));
        assert_eq!(frontier.bound(20), 13);
    }
}
