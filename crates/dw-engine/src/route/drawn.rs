//! Drawn cable ways as joints and pieces: ends that coincide are joined, and a way that ends on another one, or on a
//! riser that passes its storey, divides it.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{BlockedAreaId, CableWayId};
use dw_job::Job;
use dw_job::model::{CableWay, CableWayKind};

use super::areas::{Areas, Share};
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

    /// The point at a share of it, and the length up to there; `None` beyond its ends.
    pub(super) fn at(&self, num: i64, den: i64) -> Option<(u64, Spot)> {
        let is_on = den != 0 && (num >= 0) == (den > 0) && num.abs() <= den.abs();
        let on = |start: i64, end: i64| {
            start + i64::try_from(i128::from(end - start) * i128::from(num) / i128::from(den)).unwrap_or(0)
        };
        is_on.then(|| {
            let (from, to) = (self.from, self.to);
            let at = u128::from(self.length) * u128::from(num.unsigned_abs()) / u128::from(den.unsigned_abs());
            let spot = Spot { x: on(from.x, to.x), y: on(from.y, to.y), z: on(from.z, to.z), ..from };
            (u64::try_from(at).unwrap_or(self.length), spot)
        })
    }

    /// The points where it passes a column and a row.
    pub(super) fn passing(&self, x: i64, y: i64) -> impl Iterator<Item = (u64, Spot)> + use<> {
        let (from, to) = (self.from, self.to);
        [self.at(x - from.x, to.x - from.x), self.at(y - from.y, to.y - from.y)].into_iter().flatten()
    }

    /// No point of it is nearer along the axes than this.
    pub(super) fn at_least_from(&self, spot: Spot) -> u64 {
        let outside = |at: i64, a: i64, b: i64| (a.min(b) - at).max(at - a.max(b)).max(0).unsigned_abs();
        let (from, to) = (self.from, self.to);
        outside(spot.x, from.x, to.x) + outside(spot.y, from.y, to.y) + outside(spot.z, from.z, to.z)
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
        for (way, &(from, to, a, b)) in ends.iter().enumerate() {
            drawn.cut(way, [from, to], [a, b], &mut joints, ground, areas);
        }
        drawn.joints = joints.spots;
        drawn
    }

    /// Cuts a way at every joint on it, and where it enters and leaves a blocked area, so that the rest of it stays open.
    fn cut(
        &mut self,
        way: usize,
        ends: [Spot; 2],
        joined: [usize; 2],
        joints: &mut Joints,
        ground: &Ground,
        areas: &Areas,
    ) {
        let [from, to] = ends;
        let drawn = self.ways[way];
        let straight = from.straight(to);
        let stated = drawn.length.map_or(straight, length_mm);
        // No way is shorter than the straight line; a decimetre is rounding.
        if stated.saturating_add(SHORTER_MM) < straight {
            self.too_short.push((drawn.id.clone(), stated, straight));
        }
        let length = stated.max(straight);
        let along = |num: u128, den: u128| u64::try_from(u128::from(length) * num / den).unwrap_or(length);
        let mut cuts = vec![(0, joined[0], from)];
        for joint in joints.between(from, to, ground) {
            let part = if joined.contains(&joint) { None } else { share_along(joints.spots[joint], from, to) };
            cuts.extend(part.map(|(num, den)| (along(num, den), joint, joints.spots[joint])));
        }
        let closed = drawn.blocked == Some(true);
        let shut = if from.plane == to.plane && !closed { shut(areas, ends, length) } else { Vec::new() };
        let edges: BTreeSet<u64> = shut.iter().flat_map(|shut| [shut.from, shut.to]).collect();
        for at in edges.into_iter().filter(|&at| 0 < at && at < length) {
            let spot = between(from, to, at, length);
            cuts.push((at, joints.alone(spot), spot));
        }
        self.crossing.extend(shut.iter().map(|shut| (drawn.id.clone(), shut.area.clone(), shut.to - shut.from)));
        cuts.sort_by_key(|cut| (cut.0, cut.1));
        cuts.push((length, joined[1], to));
        for pair in cuts.windows(2) {
            let (start, end) = (pair[0].0, pair[1].0);
            self.pieces.push(Piece {
                way,
                a: pair[0].1,
                b: pair[1].1,
                from: pair[0].2,
                to: pair[1].2,
                length: end - start,
                start,
                outdoors: is_outdoors(drawn),
                blocked: closed || shut.iter().any(|shut| start < shut.to && shut.from < end),
            });
        }
    }
}

/// Part of a way in a blocked area, along the way.
struct Shut<'a> {
    area: &'a BlockedAreaId,
    from: u64,
    to: u64,
}

/// Parts of a level way in blocked areas, to the whole millimetre outwards, so that the thinnest area shuts something.
fn shut(areas: &Areas, [from, to]: [Spot; 2], length: u64) -> Vec<Shut<'_>> {
    let along = |(num, den): Share| (num.unsigned_abs() * u128::from(length), den.unsigned_abs());
    let parts = areas.passed(from, to).into_iter().map(|(area, enters, leaves)| {
        let ((first, first_of), (last, last_of)) = (along(enters), along(leaves));
        let (from, to) = (first / first_of, last.div_ceil(last_of));
        Shut { area, from: u64::try_from(from).unwrap_or(0), to: u64::try_from(to).unwrap_or(length) }
    });
    parts.collect()
}

/// The point so far along a straight way.
fn between(from: Spot, to: Spot, at: u64, length: u64) -> Spot {
    let on = |start: i64, end: i64| {
        start + i64::try_from(i128::from(end - start) * i128::from(at) / i128::from(length.max(1))).unwrap_or(0)
    };
    Spot { plane: from.plane, x: on(from.x, to.x), y: on(from.y, to.y), z: on(from.z, to.z) }
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

    /// A joint of one way only, which no other way joins.
    fn alone(&mut self, spot: Spot) -> usize {
        self.spots.push(spot);
        self.spots.len() - 1
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
