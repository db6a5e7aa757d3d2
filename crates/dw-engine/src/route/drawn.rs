//! Drawn cable ways as joints and pieces: ends that coincide are joined, and a way that ends on another one, or on a
//! riser that passes its storey, divides it.

use std::collections::BTreeMap;

use dw_core::{BlockedAreaId, CableWayId};
use dw_job::Job;
use dw_job::model::{CableWay, CableWayKind};

use super::areas::Areas;
use super::ground::{Ground, Spot, length_mm};

/// Ends this near to each other, or to another way, join (*common practice*: plans are read to a decimetre).
pub(super) const JOIN_MM: u32 = 100;

/// By so much a stated length may lie below the straight line, as rounding.
const SHORTER_MM: u64 = 100;

/// The ways of a job cut into pieces between joints.
#[derive(Debug, Default)]
pub(super) struct Drawn<'a> {
    /// Complete ways in the order of their ids.
    pub(super) ways: Vec<&'a CableWay>,
    /// Joints.
    pub(super) joints: Vec<Spot>,
    /// Pieces, way by way.
    pub(super) pieces: Vec<Piece>,
    /// Ways without two ends on storeys of the job.
    pub(super) incomplete: Vec<CableWayId>,
    /// Ways stated shorter than the straight line between their ends: stated and straight length.
    pub(super) too_short: Vec<(CableWayId, u64, u64)>,
    /// Ways that cross a blocked area: the area, and how much of the way lies in it.
    pub(super) crossing: Vec<(CableWayId, BlockedAreaId, u64)>,
}

/// A piece of a way between two joints.
#[derive(Debug, Clone, Copy)]
pub(super) struct Piece {
    /// Index of the way.
    pub(super) way: usize,
    /// Joint at its first end.
    pub(super) a: usize,
    /// Joint at its second end.
    pub(super) b: usize,
    /// First end.
    pub(super) from: Spot,
    /// Second end.
    pub(super) to: Spot,
    /// Length.
    pub(super) length: u64,
    /// Length of its way before it.
    pub(super) start: u64,
    /// Whether cables lie outdoors in it.
    pub(super) outdoors: bool,
    /// Whether cables may not use it.
    pub(super) blocked: bool,
}

impl Piece {
    /// Whether it lies on one plane, so that cables may join it anywhere.
    pub(super) fn is_level(&self) -> bool {
        self.from.plane == self.to.plane
    }
}

impl<'a> Drawn<'a> {
    pub(super) fn new(job: &'a Job, ground: &Ground, areas: &Areas) -> Self {
        let mut drawn = Self::default();
        let mut joints = Joints::default();
        let mut order: Vec<&CableWay> = job.cable_ways.iter().collect();
        order.sort_by(|a, b| a.id.cmp(&b.id));
        let mut ends = Vec::new();
        for way in order {
            if let Some((from, to)) = way_ends(ground, way) {
                drawn.ways.push(way);
                ends.push((from, to, joints.at(from), joints.at(to)));
            } else {
                drawn.incomplete.push(way.id.clone());
            }
        }
        // A way is cut where it enters and leaves a blocked area, so that the rest of it stays open.
        for &(from, to, ..) in ends.iter().filter(|end| end.0.plane == end.1.plane) {
            areas.crossings(from, to).into_iter().for_each(|spot| {
                joints.at(spot);
            });
        }
        for (way, &(from, to, a, b)) in ends.iter().enumerate() {
            drawn.cut(way, [from, to], [a, b], &joints, ground);
            drawn.block(way, areas);
        }
        drawn.joints = joints.spots;
        drawn
    }

    /// Blocks the level pieces of a way that lie in a blocked area.
    fn block(&mut self, way: usize, areas: &Areas) {
        let first = self.pieces.iter().rposition(|piece| piece.way != way).map_or(0, |last| last + 1);
        let mut lengths: BTreeMap<&BlockedAreaId, u64> = BTreeMap::new();
        for piece in self.pieces[first..].iter_mut().filter(|piece| piece.is_level() && !piece.blocked) {
            let (x, y) = (i64::midpoint(piece.from.x, piece.to.x), i64::midpoint(piece.from.y, piece.to.y));
            if let Some(area) = areas.around(Spot { x, y, ..piece.from }, piece.from.plane) {
                piece.blocked = true;
                *lengths.entry(area).or_default() += piece.length;
            }
        }
        let id = &self.ways[way].id;
        self.crossing.extend(lengths.into_iter().map(|(area, length)| (id.clone(), area.clone(), length)));
    }

    /// Cuts a way at every joint on it.
    fn cut(&mut self, way: usize, ends: [Spot; 2], joined: [usize; 2], joints: &Joints, ground: &Ground) {
        let [from, to] = ends;
        let drawn = self.ways[way];
        let straight = from.straight(to);
        let stated = drawn.length.map_or(straight, length_mm);
        // No way is shorter than the straight line; a decimetre is rounding.
        if stated.saturating_add(SHORTER_MM) < straight {
            self.too_short.push((drawn.id.clone(), stated, straight));
        }
        let length = stated.max(straight);
        let mut cuts = vec![(0, joined[0], from)];
        for joint in joints.between(from, to, ground) {
            let part = if joined.contains(&joint) { None } else { share_along(joints.spots[joint], from, to) };
            cuts.extend(part.map(|(num, den)| {
                let along = u128::from(length) * num / den;
                (u64::try_from(along).unwrap_or(length), joint, joints.spots[joint])
            }));
        }
        cuts.sort_by_key(|cut| (cut.0, cut.1));
        cuts.push((length, joined[1], to));
        for pair in cuts.windows(2) {
            self.pieces.push(Piece {
                way,
                a: pair[0].1,
                b: pair[1].1,
                from: pair[0].2,
                to: pair[1].2,
                length: pair[1].0 - pair[0].0,
                start: pair[0].0,
                outdoors: is_outdoors(drawn),
                blocked: drawn.blocked == Some(true),
            });
        }
    }
}

/// Whether cables lie outdoors in a way: in the ground or in the air.
pub(super) fn is_outdoors(way: &CableWay) -> bool {
    matches!(way.kind, Some(CableWayKind::Duct | CableWayKind::Span))
}

fn way_ends(ground: &Ground, way: &CableWay) -> Option<(Spot, Spot)> {
    let from = ground.spot(way.storey.as_ref()?, way.x1?, way.y1?)?;
    let to = ground.spot(way.to_storey.as_ref().or(way.storey.as_ref())?, way.x2?, way.y2?)?;
    Some((from, to))
}

/// Points where ways join.
#[derive(Debug, Default)]
struct Joints {
    spots: Vec<Spot>,
    /// Joints by plane and square of the grid.
    squares: BTreeMap<(usize, i64, i64), Vec<usize>>,
    on_plane: BTreeMap<usize, Vec<usize>>,
}

impl Joints {
    /// The joint nearest to a point within the tolerance; a new one when there is none.
    fn at(&mut self, spot: Spot) -> usize {
        let square = |value: i64| value.div_euclid(i64::from(JOIN_MM));
        let (column, row) = (square(spot.x), square(spot.y));
        let around = (column - 1..=column + 1).flat_map(|x| (row - 1..=row + 1).map(move |y| (spot.plane, x, y)));
        let near = around.filter_map(|key| self.squares.get(&key)).flatten().copied();
        let nearest = near.map(|joint| (spot.straight(self.spots[joint]), joint)).min();
        if let Some((_, joint)) = nearest.filter(|near| near.0 <= u64::from(JOIN_MM)) {
            return joint;
        }
        let joint = self.spots.len();
        self.spots.push(spot);
        self.squares.entry((spot.plane, column, row)).or_default().push(joint);
        self.on_plane.entry(spot.plane).or_default().push(joint);
        joint
    }

    /// Joints that may lie on a way: those of its plane, or of the storeys a riser passes.
    fn between(&self, from: Spot, to: Spot, ground: &Ground) -> impl Iterator<Item = usize> {
        let building = |plane: usize| ground.planes[plane].building;
        let low = [from.x.min(to.x), from.y.min(to.y), from.z.min(to.z)].map(|low| low - i64::from(JOIN_MM));
        let high = [from.x.max(to.x), from.y.max(to.y), from.z.max(to.z)].map(|high| high + i64::from(JOIN_MM));
        let inside = move |spot: Spot| {
            [spot.x, spot.y, spot.z].into_iter().zip(low.into_iter().zip(high)).all(|(at, (l, h))| l <= at && at <= h)
        };
        let planes: Vec<usize> = if from.plane == to.plane {
            vec![from.plane]
        } else {
            let ours = [building(from.plane), building(to.plane)];
            (1..ground.planes.len()).filter(|&plane| ours.contains(&building(plane))).collect()
        };
        let joints = planes.into_iter().filter_map(|plane| self.on_plane.get(&plane)).flatten().copied();
        joints.filter(move |&joint| inside(self.spots[joint]))
    }
}

/// How far along the straight line from `from` to `to` a point lies, as a fraction; `None` when it is not on it.
fn share_along(spot: Spot, from: Spot, to: Spot) -> Option<(u128, u128)> {
    let vector = |a: Spot, b: Spot| [b.x - a.x, b.y - a.y, b.z - a.z].map(i128::from);
    let dot = |u: [i128; 3], v: [i128; 3]| u.into_iter().zip(v).map(|(u, v)| u * v).sum::<i128>();
    let (line, point) = (vector(from, to), vector(from, spot));
    let (whole, part) = (dot(line, line), dot(point, line));
    let tolerance = i128::from(JOIN_MM).pow(2);
    let is_near = part > 0 && part < whole && dot(point, point) * whole - part * part <= tolerance * whole;
    is_near.then_some((part.unsigned_abs(), whole.unsigned_abs()))
}

/// Sets of joints that hang together.
#[derive(Debug)]
pub(super) struct Groups {
    parent: Vec<usize>,
}

impl Groups {
    /// Every joint on its own.
    pub(super) fn new(n_joints: usize) -> Self {
        Self { parent: (0..n_joints).collect() }
    }

    /// The lowest joint of the group.
    pub(super) fn of(&self, mut joint: usize) -> usize {
        while self.parent[joint] != joint {
            joint = self.parent[joint];
        }
        joint
    }

    /// Joins two groups.
    pub(super) fn join(&mut self, a: usize, b: usize) {
        let (a, b) = (self.of(a), self.of(b));
        self.parent[a.max(b)] = a.min(b);
    }
}
