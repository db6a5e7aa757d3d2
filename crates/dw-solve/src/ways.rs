//! Shortest ways in an undirected graph with whole-number lengths.
//!
//! Source: E. W. Dijkstra, "A note on two problems in connexion with graphs", Numerische Mathematik 1 (1959).

use std::cmp::Reverse;
use std::collections::BinaryHeap;

/// An undirected graph; nodes and edges are numbered from 0 in the order they were added.
///
/// ```
/// use dw_solve::ways::Graph;
/// let mut graph = Graph::new(3);
/// let first = graph.add_edge(0, 1, 40).unwrap();
/// let second = graph.add_edge(1, 2, 25).unwrap();
/// graph.add_edge(0, 2, 90).unwrap();
/// let ways = graph.from(0);
/// assert_eq!(ways.distance(2), Some(65));
/// assert_eq!(ways.path(2), Some(vec![first, second]));
/// ```
#[derive(Debug, Clone, Default)]
pub struct Graph {
    edges: Vec<Edge>,
    incident: Vec<Vec<usize>>,
}

/// One edge between two nodes; it may be walked both ways.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Edge {
    /// One end.
    pub a: usize,
    /// The other end.
    pub b: usize,
    /// Length in the caller's unit, for example millimetres.
    pub length: u64,
}

impl Edge {
    /// The end that is not `node`.
    fn other(&self, node: usize) -> usize {
        if self.a == node { self.b } else { self.a }
    }
}

impl Graph {
    /// A graph of `n_nodes` nodes without edges.
    pub fn new(n_nodes: usize) -> Self {
        Self { edges: Vec::new(), incident: vec![Vec::new(); n_nodes] }
    }

    /// Adds a node and returns its number.
    pub fn add_node(&mut self) -> usize {
        self.incident.push(Vec::new());
        self.incident.len() - 1
    }

    /// Adds an edge and returns its number; `None`, and no edge, when an end is not a node.
    pub fn add_edge(&mut self, a: usize, b: usize, length: u64) -> Option<usize> {
        if a.max(b) >= self.incident.len() {
            return None;
        }
        let id = self.edges.len();
        self.edges.push(Edge { a, b, length });
        self.incident[a].push(id);
        if a != b {
            self.incident[b].push(id);
        }
        Some(id)
    }

    /// How many nodes there are.
    pub fn n_nodes(&self) -> usize {
        self.incident.len()
    }

    /// The edges, by number.
    pub fn edges(&self) -> &[Edge] {
        &self.edges
    }

    /// The shortest way from `source` to every node.
    ///
    /// Nodes are settled by distance, then by number; among equally short ways to a node the one found first in that
    /// order is kept, and among equal edges the one added first. Sums beyond `u64` saturate.
    pub fn from(&self, source: usize) -> Ways {
        self.within(&[(source, 0)], u64::MAX)
    }

    /// The shortest way to every node within `limit`, beginning at the best of several starts.
    ///
    /// Each start is a node and the length already gone there, for example from a point beside the graph. Starts that
    /// are not nodes are left out. The order in which equally short ways are chosen is that of [`Self::from`].
    pub fn within(&self, starts: &[(usize, u64)], limit: u64) -> Ways {
        self.through(starts, limit, &|_| true)
    }

    /// The same over those edges only that are open.
    pub fn through(&self, starts: &[(usize, u64)], limit: u64, is_open: &dyn Fn(usize) -> bool) -> Ways {
        let mut ways = Ways { distances: vec![None; self.n_nodes()], previous: vec![None; self.n_nodes()] };
        let mut queue = BinaryHeap::new();
        for &(node, gone) in starts.iter().filter(|start| start.0 < self.n_nodes() && start.1 <= limit) {
            if ways.distances[node].is_none_or(|known| gone < known) {
                ways.distances[node] = Some(gone);
                queue.push(Reverse((gone, node)));
            }
        }
        while let Some(Reverse((distance, node))) = queue.pop() {
            if ways.distances[node] != Some(distance) {
                continue;
            }
            for &id in &self.incident[node] {
                let edge = self.edges[id];
                let next = edge.other(node);
                let through = distance.saturating_add(edge.length);
                if through <= limit && is_open(id) && ways.distances[next].is_none_or(|known| through < known) {
                    ways.distances[next] = Some(through);
                    ways.previous[next] = Some((node, id));
                    queue.push(Reverse((through, next)));
                }
            }
        }
        ways
    }
}

/// Distances and ways from one or several starts, made by [`Graph::from`] and [`Graph::within`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ways {
    distances: Vec<Option<u64>>,
    previous: Vec<Option<(usize, usize)>>,
}

impl Ways {
    /// Length of the shortest way to `node`; `None` when it cannot be reached or does not exist.
    pub fn distance(&self, node: usize) -> Option<u64> {
        self.distances.get(node).copied().flatten()
    }

    /// Edge numbers from the start to `node`, in walking order; empty for a start itself, `None` when it cannot be
    /// reached.
    pub fn path(&self, node: usize) -> Option<Vec<usize>> {
        self.distance(node)?;
        let mut path = Vec::new();
        let mut at = node;
        while let Some((before, edge)) = self.previous[at] {
            path.push(edge);
            at = before;
        }
        path.reverse();
        Some(path)
    }

    /// For every node that is reached: whether an edge of this kind lies on its shortest way.
    ///
    /// ```
    /// let mut graph = dw_solve::ways::Graph::new(3);
    /// let (first, second) = (graph.add_edge(0, 1, 4), graph.add_edge(1, 2, 4));
    /// assert_eq!(graph.from(0).with(&|edge| Some(edge) == second), [false, false, true]);
    /// # assert!(first.is_some());
    /// ```
    pub fn with(&self, is_of_kind: &dyn Fn(usize) -> bool) -> Vec<bool> {
        let mut known: Vec<Option<bool>> = vec![None; self.distances.len()];
        for node in 0..known.len() {
            let mut path = vec![node];
            let mut is_with = known[node].unwrap_or(false);
            let mut at = node;
            while known[at].is_none() {
                let Some((before, edge)) = self.previous[at] else { break };
                if is_of_kind(edge) {
                    is_with = true;
                    break;
                }
                at = before;
                is_with = known[at].unwrap_or(false);
                path.push(at);
            }
            // Every node passed lies beyond what was found last.
            for passed in path {
                known[passed].get_or_insert(is_with);
            }
        }
        known.into_iter().map(Option::unwrap_or_default).collect()
    }

    /// The start from which the shortest way to `node` begins; `None` when it cannot be reached.
    pub fn start(&self, node: usize) -> Option<usize> {
        self.distance(node)?;
        let mut at = node;
        while let Some((before, _)) = self.previous[at] {
            at = before;
        }
        Some(at)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    /// Shortest distances by relaxing every edge until nothing changes.
    fn relaxed(graph: &Graph, source: usize) -> Vec<Option<u64>> {
        let mut distances = vec![None; graph.n_nodes()];
        distances[source] = Some(0);
        for _ in 0..graph.n_nodes() {
            for edge in graph.edges() {
                for (from, to) in [(edge.a, edge.b), (edge.b, edge.a)] {
                    let through = distances[from].map(|known: u64| known + edge.length);
                    if through.is_some() && (distances[to].is_none() || through < distances[to]) {
                        distances[to] = through;
                    }
                }
            }
        }
        distances
    }

    proptest! {
        #[test]
        fn distances_agree_with_plain_relaxation_and_paths_add_up(
            edges in prop::collection::vec((0usize..7, 0usize..7, 0u64..50), 0..16),
        ) {
            let mut graph = Graph::new(7);
            for (a, b, length) in edges {
                prop_assert!(graph.add_edge(a, b, length).is_some());
            }
            let ways = graph.from(2);
            let expected = relaxed(&graph, 2);
            for (node, &distance) in expected.iter().enumerate() {
                prop_assert_eq!(ways.distance(node), distance);
                let Some(path) = ways.path(node) else {
                    prop_assert!(distance.is_none());
                    continue;
                };
                let mut at = 2;
                let mut length = 0;
                for id in path {
                    let edge = graph.edges()[id];
                    prop_assert!(edge.a == at || edge.b == at);
                    at = edge.other(at);
                    length += edge.length;
                }
                prop_assert_eq!(at, node);
                prop_assert_eq!(Some(length), distance);
            }
        }
    }

    #[test]
    fn equally_short_ways_are_chosen_by_number() {
        let mut graph = Graph::new(4);
        let over_two = [graph.add_edge(0, 2, 5), graph.add_edge(2, 3, 5)];
        let over_one = [graph.add_edge(0, 1, 5), graph.add_edge(1, 3, 5)];
        assert!(over_two.iter().chain(&over_one).all(Option::is_some));
        assert_eq!(graph.from(0).path(3), Some(vec![2, 3]), "node 1 is settled before node 2");
    }

    #[test]
    fn nodes_that_cannot_be_reached_have_no_distance_and_no_path() {
        let mut graph = Graph::new(2);
        assert_eq!(graph.add_edge(0, 5, 1), None);
        let ways = graph.from(0);
        assert_eq!((ways.distance(1), ways.path(1)), (None, None));
        assert_eq!((ways.distance(0), ways.path(0)), (Some(0), Some(Vec::new())));
        assert_eq!(graph.from(9).distance(0), None);
        assert_eq!(graph.add_node(), 2);
    }

    #[test]
    fn ways_from_several_starts_begin_at_the_nearest_and_end_at_the_limit() {
        let mut graph = Graph::new(4);
        for (a, b, length) in [(0, 1, 10), (1, 2, 10), (2, 3, 10)] {
            assert!(graph.add_edge(a, b, length).is_some());
        }
        let ways = graph.within(&[(0, 0), (3, 5), (9, 0)], 15);
        assert_eq!([0, 1, 2, 3].map(|node| ways.distance(node)), [Some(0), Some(10), Some(15), Some(5)]);
        assert_eq!((ways.start(2), ways.path(2)), (Some(3), Some(vec![2])));
        assert_eq!(graph.within(&[(0, 0)], 15).distance(2), None, "20 is beyond the limit");
        assert_eq!(graph.within(&[(0, 0)], 20).distance(2), Some(20), "exactly at the limit");
    }
}
