//! Shortest connections in the net: their lengths, the ways they take, and whether they lead outdoors.

use std::collections::BTreeSet;

use dw_solve::ways::Ways;

use super::{Along, By, Landed, Leg, Link, Net, Trace};
use crate::route::drawn::Piece;

impl Net<'_> {
    /// Shortest ways from a point into the net.
    pub(in crate::route) fn ways_from(&self, landed: &Landed, limit: u64) -> Ways {
        self.open_ways_from(landed, limit, &|_| true)
    }

    /// The same over those pieces only that are open, from a point that joins no other ([`Landed::over`]).
    pub(in crate::route) fn open_ways_from(
        &self,
        landed: &Landed,
        limit: u64,
        is_open: &dyn Fn(usize) -> bool,
    ) -> Ways {
        let starts: Vec<(usize, u64)> = self.nodes_of(landed).map(|(node, gone, _)| (node, gone)).collect();
        self.graph.through(&starts, limit, &|edge| self.legs[edge].along.is_none_or(|along| is_open(along.piece)))
    }

    /// For every node: whether the shortest way from a point to it leads outdoors.
    pub(in crate::route) fn outdoors(&self, landed: &Landed, ways: &Ways) -> Vec<bool> {
        let mut outdoors = ways.with(&|edge| self.legs[edge].outdoors);
        for (node, is_out) in outdoors.iter_mut().enumerate() {
            let start = ways.start(node).filter(|_| !*is_out);
            let begin = start.and_then(|start| self.begin(landed, start));
            *is_out |= begin.is_some_and(|begin| self.step_outdoors(landed, begin.1, begin.2));
        }
        outdoors
    }

    /// Whether a connection leads outdoors on its way, given which nodes are reached outdoors.
    pub(in crate::route) fn link_outdoors(
        &self,
        outdoors: &[bool],
        room: &Landed,
        opening: &Landed,
        link: Link,
    ) -> bool {
        match link.by {
            By::Air => false,
            By::Piece { room: ours, opening: theirs } => {
                let (ours, theirs) = (room.touches[ours], opening.touches[theirs]);
                self.drawn.pieces[ours.piece].outdoors && ours.at != theirs.at
            }
            By::Touch { node, .. } | By::Entry { node } => {
                let end = self.end(opening, link.by);
                outdoors.get(node).copied().unwrap_or(false) || self.step_outdoors(opening, end, link.by)
            }
        }
    }

    /// Whether the leg between a point and the net lies outdoors.
    fn step_outdoors(&self, landed: &Landed, length: u64, by: By) -> bool {
        let By::Touch { touch, .. } = by else { return false };
        let touch = landed.touches[touch];
        length > touch.off && self.drawn.pieces[touch.piece].outdoors
    }

    /// How a point joins the node its way begins at.
    fn begin(&self, landed: &Landed, start: usize) -> Option<(usize, u64, By)> {
        self.nodes_of(landed).filter(|it| it.0 == start).min_by_key(|it| (it.1, it.2))
    }

    /// Length between a point and the node its connection ends at.
    fn end(&self, landed: &Landed, by: By) -> u64 {
        self.nodes_of(landed).filter(|it| it.2 == by).map(|it| it.1).min().unwrap_or(0)
    }

    /// Nodes a point is joined to: node, length to it, and how.
    fn nodes_of<'l>(&'l self, landed: &'l Landed) -> impl Iterator<Item = (usize, u64, By)> {
        let by_touch = landed.touches.iter().enumerate().flat_map(|(idx, &touch)| {
            self.ends_of(touch)
                .map(|(node, along)| (node, touch.off + along.from.abs_diff(along.to), By::Touch { touch: idx, node }))
        });
        by_touch.chain(landed.entries.iter().map(|&(node, length)| (node, length, By::Entry { node })))
    }

    /// Nodes a point can be reached through.
    pub(in crate::route) fn doors_of(&self, landed: &Landed) -> BTreeSet<usize> {
        self.nodes_of(landed).map(|node| node.0).collect()
    }

    /// How many nodes there are.
    pub(in crate::route) fn n_nodes(&self) -> usize {
        self.graph.n_nodes()
    }

    /// The shortest connection of a room, from which `ways` were found, with an opening; `None` when there is none.
    pub(in crate::route) fn link(&self, room: &Landed, ways: &Ways, opening: &Landed) -> Option<Link> {
        let through = self
            .nodes_of(opening)
            .filter_map(|(node, length, by)| Some(Link { length: ways.distance(node)?.saturating_add(length), by }));
        let along = room.touches.iter().enumerate().flat_map(|(idx, ours)| {
            let same = opening.touches.iter().enumerate().filter(move |(_, theirs)| theirs.piece == ours.piece);
            same.map(move |(other, theirs)| Link {
                length: ours.off + theirs.off + ours.at.abs_diff(theirs.at),
                by: By::Piece { room: idx, opening: other },
            })
        });
        let straight = self.areas.distance(&room.view, opening.spot);
        // A cable that would take longer to a way and back from it than straight there goes straight there.
        let may_go_straight = |straight: &u64| {
            room.spot.plane == opening.spot.plane
                && match (room.touches.first(), opening.touches.first()) {
                    (Some(ours), Some(theirs)) => *straight <= ours.off + theirs.off,
                    // Where every way is full, a cable does not leave them for that.
                    _ => !(room.has_ways && opening.has_ways),
                }
        };
        let air = straight.filter(may_go_straight).map(|length| Link { length, by: By::Air });
        through.chain(along).chain(air).min()
    }

    /// Ways of a connection from the room outwards, and its length outside them.
    pub(in crate::route) fn trace(&self, room: &Landed, ways: &Ways, opening: &Landed, link: Link) -> Trace {
        let mut trace = Trace { ways: Vec::new(), off: 0, outdoors: false };
        let node = match link.by {
            By::Air => {
                trace.off = link.length;
                return trace;
            }
            By::Piece { room: ours, opening: theirs } => {
                let (ours, theirs) = (room.touches[ours], opening.touches[theirs]);
                let Piece { way, start, outdoors, .. } = self.drawn.pieces[ours.piece];
                trace.off = ours.off + theirs.off;
                trace.outdoors = outdoors && ours.at != theirs.at;
                trace.push(way, start + ours.at, start + theirs.at);
                return trace;
            }
            By::Touch { node, .. } | By::Entry { node } => node,
        };
        let mut at = ways.start(node).unwrap_or(node);
        if let Some((_, length, by)) = self.begin(room, at) {
            self.step(&mut trace, room, length, by, false);
        }
        for edge in ways.path(node).unwrap_or_default() {
            let (Leg { along, off, outdoors }, ends) = (self.legs[edge], self.graph.edges()[edge]);
            trace.off += off;
            trace.outdoors |= outdoors;
            let is_forward = ends.a == at;
            at = if is_forward { ends.b } else { ends.a };
            if let Some(Along { piece, from, to }) = along {
                let (from, to) = if is_forward { (from, to) } else { (to, from) };
                trace.push(self.drawn.pieces[piece].way, from, to);
            }
        }
        self.step(&mut trace, opening, self.end(opening, link.by), link.by, true);
        trace
    }

    /// Adds the leg between a point and the net, at the end of the trace towards the point.
    fn step(&self, trace: &mut Trace, landed: &Landed, length: u64, by: By, is_end: bool) {
        trace.outdoors |= self.step_outdoors(landed, length, by);
        let By::Touch { touch, node } = by else {
            trace.off += length;
            return;
        };
        let touch = landed.touches[touch];
        trace.off += touch.off;
        // Both ends of a piece may be one joint: the length tells which was meant.
        let ends = self.ends_of(touch).into_iter().filter(|end| end.0 == node);
        if let Some((_, Along { piece, from, to })) = ends.min_by_key(|end| end.1.from.abs_diff(end.1.to)) {
            let (from, to) = if is_end { (to, from) } else { (from, to) };
            trace.push(self.drawn.pieces[piece].way, from, to);
        }
    }
}

impl Landed {
    /// The same point, joining only those pieces that are open.
    pub(in crate::route) fn over(&self, is_open: &dyn Fn(usize) -> bool) -> Self {
        let touches = self.touches.iter().filter(|touch| is_open(touch.piece)).copied().collect();
        Self { touches, ..self.clone() }
    }
}
