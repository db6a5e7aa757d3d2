//! The net cables can run in: drawn ways, and straight legs along two axes where none is drawn.
//!
//! Where ways are drawn on a storey, cables join them at the nearest points. Where none is drawn, they run along two axes
//! to the building's entry point, up or down there, and between buildings from entry point to entry point. A blocked
//! way is no way: what only a blocked way would join stays apart.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::CableWayId;
use dw_job::Job;
use dw_solve::ways::Graph;

use super::areas::{Areas, View};
use super::drawn::{Drawn, Groups, Piece};
use super::ground::{Ground, Spot};
use crate::survey::Survey;

mod walk;

/// Longest gap between ways in the open that counts as a slip of the drawing; a longer one is open ground
/// (*common practice*).
const OPEN_GAP_MM: u64 = 5_000;

/// Pieces looked at from a point: its nearest ones.
const NEAREST_PIECES: usize = 4;

/// How much farther than the nearest piece another one may be: a cable takes a few steps more to a way that leads the
/// right way, but does not run beside a way (*common practice*).
const FARTHER_MM: u64 = 5_000;

/// The net of a site.
#[derive(Debug)]
pub(super) struct Net<'a> {
    pub(super) ground: Ground,
    pub(super) drawn: Drawn<'a>,
    pub(super) areas: Areas,
    graph: Graph,
    /// What each edge of the graph is.
    legs: Vec<Leg>,
    /// Open level pieces by plane: indices into the drawn pieces.
    on_plane: BTreeMap<usize, Vec<usize>>,
    /// Node of the entry point on each plane of a building.
    entries: BTreeMap<usize, usize>,
    /// Ways of one storey that hang together with no other.
    pub(super) gaps: Vec<Gap>,
}

/// An edge of the graph.
#[derive(Debug, Clone, Copy)]
struct Leg {
    /// Drawn piece it follows, if any, from so far along its way to so far, walked from the edge's first node.
    along: Option<Along>,
    /// Length outside drawn ways.
    off: u64,
    /// Whether cables lie outdoors on it.
    outdoors: bool,
}

/// Part of a drawn way.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Along {
    piece: usize,
    from: u64,
    to: u64,
}

/// A gap between drawn ways that is counted as open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Gap {
    pub(super) way: CableWayId,
    pub(super) other: CableWayId,
    pub(super) length: u64,
}

/// A point joined to the net.
#[derive(Debug, Clone)]
pub(super) struct Landed {
    pub(super) spot: Spot,
    view: View,
    touches: Vec<Touch>,
    /// Whether there is a way to join, be it full or not.
    has_ways: bool,
    /// Entry points reached directly: node and length.
    entries: Vec<(usize, u64)>,
}

/// Where a point meets a piece.
#[derive(Debug, Clone, Copy)]
struct Touch {
    piece: usize,
    /// Length outside the way.
    off: u64,
    /// Length along the piece from its first end.
    at: u64,
}

/// The shortest connection of two points.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Link {
    /// Length without drops and slack.
    pub(super) length: u64,
    by: By,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum By {
    /// Straight along two axes.
    Air,
    /// Along one piece: touches of both.
    Piece { room: usize, opening: usize },
    /// Through the graph to a touch of the opening, from this end of its piece.
    Touch { touch: usize, node: usize },
    /// Through the graph to an entry point.
    Entry { node: usize },
}

/// A traced connection.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Trace {
    /// Ways by their index, from so far along the way to so far, in order from the room.
    pub(super) ways: Vec<(usize, u64, u64)>,
    pub(super) off: u64,
    /// Whether cables lie outdoors somewhere on it.
    pub(super) outdoors: bool,
}

impl Trace {
    /// Adds a part of a way, joined to the part before where it goes on in the same way.
    fn push(&mut self, way: usize, from: u64, to: u64) {
        match self.ways.last_mut() {
            _ if from == to => {}
            Some(last) if last.0 == way && last.2 == from => last.2 = to,
            _ => self.ways.push((way, from, to)),
        }
    }
}

impl<'a> Net<'a> {
    pub(super) fn new(job: &'a Job, survey: &Survey) -> Self {
        let ground = Ground::new(job, survey);
        let areas = Areas::new(job, &ground);
        let drawn = Drawn::new(job, &ground, &areas);
        let graph = Graph::new(drawn.joints.len());
        let mut net = Self {
            ground,
            drawn,
            areas,
            graph,
            legs: Vec::new(),
            on_plane: BTreeMap::new(),
            entries: BTreeMap::new(),
            gaps: Vec::new(),
        };
        let mut groups = Groups::new(net.drawn.joints.len());
        for idx in 0..net.drawn.pieces.len() {
            let piece = net.drawn.pieces[idx];
            groups.join(piece.a, piece.b);
            if !piece.blocked {
                let along = Some(Along { piece: idx, from: piece.start, to: piece.start + piece.length });
                net.edge(piece.a, piece.b, piece.length, Leg { along, off: 0, outdoors: piece.outdoors });
                if piece.is_level() {
                    net.on_plane.entry(piece.from.plane).or_default().push(idx);
                }
            }
        }
        net.close_gaps(&mut groups);
        net.link_storeys(&groups);
        net.link_buildings(&groups);
        net
    }

    fn edge(&mut self, a: usize, b: usize, length: u64, leg: Leg) {
        if self.graph.add_edge(a, b, length).is_some() {
            self.legs.push(leg);
        }
    }

    /// The first open way of a plane.
    fn first_way(&self, plane: usize) -> Option<CableWayId> {
        let piece = *self.pieces_on(plane).first()?;
        Some(self.drawn.ways[self.drawn.pieces[piece].way].id.clone())
    }

    fn pieces_on(&self, plane: usize) -> &[usize] {
        self.on_plane.get(&plane).map_or(&[], Vec::as_slice)
    }

    /// Joins the groups of ways on each storey across their smallest gaps, the smallest group first.
    fn close_gaps(&mut self, groups: &mut Groups) {
        for plane in self.on_plane.keys().copied().collect::<Vec<_>>() {
            while let Some((gap, touch, from)) = self.smallest_gap(plane, groups) {
                if plane == 0 && touch.off > OPEN_GAP_MM {
                    break;
                }
                let node = gap;
                let piece = self.drawn.pieces[touch.piece];
                self.gaps.push(Gap {
                    way: self.drawn.ways[self.drawn.pieces[from].way].id.clone(),
                    other: self.drawn.ways[piece.way].id.clone(),
                    length: touch.off,
                });
                self.join_node(node, touch);
                groups.join(node, piece.a);
            }
        }
    }

    /// The smallest gap between the smallest group of a plane and the others: joint, where it meets another group,
    /// and the piece the joint belongs to.
    fn smallest_gap(&self, plane: usize, groups: &Groups) -> Option<(usize, Touch, usize)> {
        let mut members: BTreeMap<usize, Vec<usize>> = BTreeMap::new();
        for &piece in self.pieces_on(plane) {
            members.entry(groups.of(self.drawn.pieces[piece].a)).or_default().push(piece);
        }
        if members.len() < 2 {
            return None;
        }
        let (_, smallest) = members.iter().map(|(&group, pieces)| (pieces.len(), group)).min()?;
        let (ours, others): (Vec<usize>, Vec<usize>) =
            members.values().flatten().partition(|&&piece| groups.of(self.drawn.pieces[piece].a) == smallest);
        let mut best: Option<(usize, Touch, usize)> = None;
        for (from, onto) in [(&ours, &others), (&others, &ours)] {
            for &piece in from {
                let Piece { a, b, .. } = self.drawn.pieces[piece];
                for joint in [a, b] {
                    let view = self.areas.view(self.drawn.joints[joint], plane);
                    for &target in onto {
                        let farthest = best.as_ref().map_or(u64::MAX, |best| best.1.off);
                        let touch = self.touch(target, &view, farthest);
                        if let Some(touch) = touch.filter(|touch| touch.off < farthest) {
                            best = Some((joint, touch, piece));
                        }
                    }
                }
            }
        }
        best
    }

    /// Edges from a node beside a piece to both its ends.
    fn join_node(&mut self, node: usize, touch: Touch) {
        let piece = self.drawn.pieces[touch.piece];
        for (end, along) in self.ends_of(touch) {
            let length = touch.off + along.from.abs_diff(along.to);
            self.edge(node, end, length, Leg { along: Some(along), off: touch.off, outdoors: piece.outdoors });
        }
    }

    /// From where a point meets a piece to both its ends: the joint, and the part of the way to it.
    fn ends_of(&self, touch: Touch) -> [(usize, Along); 2] {
        let Piece { a, b, start, length, .. } = self.drawn.pieces[touch.piece];
        let along = |to: u64| Along { piece: touch.piece, from: start + touch.at, to };
        [(a, along(start)), (b, along(start + length))]
    }

    /// Entry points on every storey, joined up and down where drawn ways do not join the storeys.
    fn link_storeys(&mut self, groups: &Groups) {
        let on_plane = self.groups_by(groups, |spot| spot.plane);
        for building in 0..self.ground.buildings.len() {
            let mut below: Option<(usize, i64)> = None;
            for storey in self.ground.buildings[building].storeys.clone() {
                let spot = self.ground.entry_on(building, storey);
                let node = self.graph.add_node();
                self.entries.insert(storey.0, node);
                if let Some(touch) = self.nearest(&self.areas.view(spot, spot.plane)).into_iter().next() {
                    self.join_node(node, touch);
                }
                if let Some((plane, z)) = below.replace(storey) {
                    let apart = disjoint(on_plane.get(&plane), on_plane.get(&storey.0));
                    if apart && let Some(&other) = self.entries.get(&plane) {
                        let height = z.abs_diff(storey.1);
                        self.gaps.extend(self.first_way(storey.0).zip(self.first_way(plane)).map(|(way, other)| Gap {
                            way,
                            other,
                            length: height,
                        }));
                        self.edge(other, node, height, Leg { along: None, off: height, outdoors: false });
                    }
                }
            }
        }
    }

    /// Entry points of two buildings, joined straight unless ways are drawn at both or join them; ways drawn outdoors,
    /// joined to the entry points of buildings they do not lead to.
    fn link_buildings(&mut self, groups: &Groups) {
        let planes = self.ground.planes.clone();
        let in_building = self.groups_by(groups, |spot| planes[spot.plane].building.map_or(0, |building| building + 1));
        for first in 0..self.ground.buildings.len() {
            let (storey, from) = (self.ground.buildings[first].ground, self.gate(first));
            let Some(&node) = self.entries.get(&storey.0) else { continue };
            for second in first + 1..self.ground.buildings.len() {
                let drawn_at = |building| in_building.contains_key(&(building + 1));
                let to = self.gate(second);
                if !(drawn_at(first) && drawn_at(second))
                    && let Some(&other) = self.entries.get(&to.plane)
                {
                    // Nothing is drawn there: the cable crosses the open ground.
                    if let Some(length) = self.areas.distance(&self.areas.view(from, 0), to) {
                        self.edge(node, other, length, Leg { along: None, off: length, outdoors: true });
                    }
                }
            }
            let leads_here = in_building.get(&(first + 1)).cloned().unwrap_or_default();
            for &group in in_building.get(&0).iter().copied().flatten().filter(|group| !leads_here.contains(group)) {
                let outdoors = self.pieces_on(0).iter().copied();
                let theirs = outdoors.filter(|&piece| groups.of(self.drawn.pieces[piece].a) == group);
                let view = self.areas.view(from, 0);
                let touches = theirs.filter_map(|piece| self.touch(piece, &view, u64::MAX));
                let nearest = touches.min_by_key(|touch| (touch.off, touch.piece));
                if let Some(touch) = nearest {
                    self.join_node(node, touch);
                }
            }
        }
    }

    /// The point where the cables of a building leave it.
    fn gate(&self, building: usize) -> Spot {
        self.ground.entry_on(building, self.ground.buildings[building].ground)
    }

    /// Groups of ways by a property of their joints.
    fn groups_by(&self, groups: &Groups, key: impl Fn(Spot) -> usize) -> BTreeMap<usize, BTreeSet<usize>> {
        let mut by: BTreeMap<usize, BTreeSet<usize>> = BTreeMap::new();
        for (joint, spot) in self.drawn.joints.iter().enumerate() {
            by.entry(key(*spot)).or_default().insert(groups.of(joint));
        }
        by
    }

    /// Where a point meets a piece along two axes, around blocked areas, at most so far away; `None` when it cannot get
    /// there.
    fn touch(&self, piece: usize, view: &View, farthest: u64) -> Option<Touch> {
        let (spot, piece_at) = (view.spot(), &self.drawn.pieces[piece]);
        // Along a straight piece the distance falls and rises in straight lines, so that the least is at an end or
        // where the piece passes the column or row of the point or of a corner on the way around.
        let ends = [(0, 1), (1, 1)].into_iter().filter_map(|(num, den)| piece_at.at(num, den));
        let beside = piece_at.passing(spot.x, spot.y);
        let near = ends.chain(beside).map(|(at, point)| (spot.manhattan(point), at, point));
        let near: Vec<(u64, u64, Spot)> = near.collect();
        let &(off, at, point) = near.iter().min_by_key(|it| (it.0, it.1)).filter(|it| it.0 <= farthest)?;
        if self.areas.sees(view, point) {
            return Some(Touch { piece, off, at });
        }
        let corners = self.areas.corners(piece_at.from.plane).iter().flat_map(|&(x, y)| piece_at.passing(x, y));
        let around = corners.map(|(at, point)| (spot.manhattan(point), at, point));
        let mut best: Option<(u64, u64)> = None;
        for (least, at, point) in near.iter().copied().chain(around) {
            if least <= farthest && best.is_none_or(|best| (least, at) < best) {
                best = best.into_iter().chain(self.areas.distance(view, point).map(|off| (off, at))).min();
            }
        }
        best.filter(|best| best.0 <= farthest).map(|(off, at)| Touch { piece, off, at })
    }

    /// The nearest open pieces of a point's plane, the nearest first.
    fn nearest(&self, view: &View) -> Vec<Touch> {
        let pieces = self.pieces_on(view.spot().plane).iter();
        let mut pieces: Vec<(u64, usize)> =
            pieces.map(|&piece| (self.drawn.pieces[piece].at_least_from(view.spot()), piece)).collect();
        pieces.sort_unstable();
        let mut touches: Vec<Touch> = Vec::with_capacity(NEAREST_PIECES + 1);
        for (at_least, piece) in pieces {
            let beside = touches.first().map_or(u64::MAX, |nearest| nearest.off + FARTHER_MM);
            let farthest = touches.get(NEAREST_PIECES - 1).map_or(beside, |last| beside.min(last.off));
            if at_least > farthest {
                break;
            }
            if let Some(touch) = self.touch(piece, view, farthest) {
                let rank = touches.partition_point(|it| (it.off, it.piece) < (touch.off, touch.piece));
                touches.insert(rank, touch);
                touches.truncate(NEAREST_PIECES);
            }
        }
        let farthest = touches.first().map_or(0, |nearest| nearest.off + FARTHER_MM);
        touches.retain(|touch| touch.off <= farthest);
        touches
    }

    /// Joins a point to the net.
    pub(super) fn land(&self, spot: Spot) -> Landed {
        let view = self.areas.view(spot, spot.plane);
        let touches = self.nearest(&view);
        let nearest_way = touches.first().map_or(u64::MAX, |touch| touch.off);
        let mut entries = Vec::new();
        if self.ground.planes[spot.plane].building.is_none() {
            for building in 0..self.ground.buildings.len() {
                let gate = self.gate(building);
                let length = self.areas.distance(&view, gate).filter(|&length| length <= nearest_way);
                entries.extend(self.entries.get(&gate.plane).copied().zip(length));
            }
        } else if touches.is_empty()
            && let (Some(building), Some(&node)) =
                (self.ground.planes[spot.plane].building, self.entries.get(&spot.plane))
        {
            let entry = self.ground.entry_on(building, (spot.plane, spot.z));
            entries.extend(self.areas.distance(&view, entry).map(|length| (node, length)));
        }
        Landed { spot, view, has_ways: !touches.is_empty(), touches, entries }
    }
}

fn disjoint(a: Option<&BTreeSet<usize>>, b: Option<&BTreeSet<usize>>) -> bool {
    a.zip(b).is_none_or(|(a, b)| a.is_disjoint(b))
}
