//! Blocked areas: rectangles of a storey that no cable may cross, and the shortest way around them along two axes.
//!
//! Source: R. C. Larson, V. O. K. Li, "Finding minimum rectilinear distance paths in the presence of barriers",
//! Networks 11 (1981) 285-304: a shortest path bends at corners of barriers only, so that it is found among the corners
//! that see one another. A straight line between two points costs what it costs along two axes.

use std::collections::BTreeMap;

use dw_core::BlockedAreaId;
use dw_job::Job;
use dw_solve::ways::Graph;

use super::ground::{Ground, Spot};

/// Areas of one storey that count; further ones are left out and told of (*common practice*: a storey has a few).
const MAX_AREAS: usize = 64;

/// Half the width of the seam that closes the line between two areas side by side.
const SEAM_MM: i64 = 1;

/// The blocked areas of a site.
#[derive(Debug, Default)]
pub(super) struct Areas {
    fields: BTreeMap<usize, Field>,
    /// Areas that could not be counted, and why.
    pub(super) left_out: Vec<(BlockedAreaId, Lack)>,
}

/// Why an area is not counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lack {
    /// It lacks a storey of the job or a corner.
    Corner,
    /// Its corners lie on one line.
    Width,
    /// Its storey has as many as are counted already.
    Place,
}

/// The blocked areas of one plane.
#[derive(Debug, Default)]
struct Field {
    areas: Vec<(BlockedAreaId, Rectangle)>,
    /// The areas, and the seams between those that touch.
    barriers: Vec<Rectangle>,
    corners: Vec<(i64, i64)>,
    /// Length of the shortest way from corner to corner.
    between: Vec<Vec<Option<u64>>>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Rectangle {
    x: (i64, i64),
    y: (i64, i64),
}

/// A point, and how far the corners of its plane are from it.
#[derive(Debug, Clone)]
pub(super) struct View {
    spot: Spot,
    plane: usize,
    to_corners: Vec<Option<u64>>,
}

impl View {
    /// The point looked from.
    pub(super) fn spot(&self) -> Spot {
        self.spot
    }
}

impl Areas {
    pub(super) fn new(job: &Job, ground: &Ground) -> Self {
        let mut areas = Self::default();
        let mut drawn: Vec<_> = job.blocked_areas.iter().collect();
        drawn.sort_by(|a, b| a.id.cmp(&b.id));
        for area in drawn {
            let corner = |x: Option<_>, y: Option<_>| ground.spot(area.storey.as_ref()?, x?, y?);
            let Some((from, to)) = corner(area.x1, area.y1).zip(corner(area.x2, area.y2)) else {
                areas.left_out.push((area.id.clone(), Lack::Corner));
                continue;
            };
            let x = (from.x.min(to.x), from.x.max(to.x));
            let y = (from.y.min(to.y), from.y.max(to.y));
            if x.0 == x.1 || y.0 == y.1 {
                areas.left_out.push((area.id.clone(), Lack::Width));
                continue;
            }
            let field = areas.fields.entry(from.plane).or_default();
            if field.areas.len() < MAX_AREAS {
                field.areas.push((area.id.clone(), Rectangle { x, y }));
            } else {
                areas.left_out.push((area.id.clone(), Lack::Place));
            }
        }
        areas.fields.values_mut().for_each(Field::prepare);
        areas
    }

    /// The plane as seen from a point.
    pub(super) fn view(&self, spot: Spot, plane: usize) -> View {
        let to_corners = self.fields.get(&plane).map_or_else(Vec::new, |field| field.to_corners((spot.x, spot.y)));
        View { spot, plane, to_corners }
    }

    /// Length along two axes, and up or down, from the viewer to a point around what is blocked; `None` when every way is.
    pub(super) fn distance(&self, view: &View, to: Spot) -> Option<u64> {
        let Some(field) = self.fields.get(&view.plane) else { return Some(view.spot.manhattan(to)) };
        let there = (to.x, to.y);
        if field.sees((view.spot.x, view.spot.y), there) {
            return Some(view.spot.manhattan(to));
        }
        let mut best: Option<u64> = None;
        for (&corner, length) in field.corners.iter().zip(&view.to_corners) {
            let Some(length) = length.map(|length| length + axes(corner, there)) else { continue };
            if best.is_none_or(|best| length < best) && field.sees(corner, there) {
                best = Some(length);
            }
        }
        best.map(|length| length + view.spot.z.abs_diff(to.z))
    }

    /// Whether the straight line from the viewer to a point crosses no area.
    pub(super) fn sees(&self, view: &View, to: Spot) -> bool {
        self.fields.get(&view.plane).is_none_or(|field| field.sees((view.spot.x, view.spot.y), (to.x, to.y)))
    }

    /// Columns and rows of the corners of a plane: where the way around changes.
    pub(super) fn corners(&self, plane: usize) -> &[(i64, i64)] {
        self.fields.get(&plane).map_or(&[], |field| &field.corners)
    }

    /// The area a point lies in; its edge is free.
    pub(super) fn around(&self, spot: Spot, plane: usize) -> Option<&BlockedAreaId> {
        let mut areas = self.fields.get(&plane)?.areas.iter();
        areas.find(|(_, area)| area.crosses((spot.x, spot.y), (spot.x, spot.y))).map(|(id, _)| id)
    }

    /// Areas that the straight line between two points of a plane passes, with the shares of the line where it enters and
    /// leaves them.
    pub(super) fn passed(&self, from: Spot, to: Spot) -> Vec<(&BlockedAreaId, Share, Share)> {
        let areas = self.fields.get(&from.plane).into_iter().flat_map(|field| &field.areas);
        let passed = areas.filter_map(|(id, area)| Some((id, area.span((from.x, from.y), (to.x, to.y))?)));
        passed.map(|(id, (enters, leaves))| (id, enters, leaves)).collect()
    }
}

impl Field {
    /// Closes the lines between areas that touch, and finds the way from corner to corner.
    fn prepare(&mut self) {
        let areas: Vec<Rectangle> = self.areas.iter().map(|area| area.1).collect();
        self.barriers.clone_from(&areas);
        for (idx, first) in areas.iter().enumerate() {
            self.barriers.extend(areas[idx + 1..].iter().filter_map(|second| first.seam(*second)));
        }
        let all = areas.iter().flat_map(|area| [area.x.0, area.x.1].map(|x| [area.y.0, area.y.1].map(|y| (x, y))));
        self.corners = all.flatten().collect();
        let mut graph = Graph::new(self.corners.len());
        for a in 0..self.corners.len() {
            for b in a + 1..self.corners.len() {
                if self.sees(self.corners[a], self.corners[b]) {
                    graph.add_edge(a, b, axes(self.corners[a], self.corners[b]));
                }
            }
        }
        let from = |corner: usize| {
            let ways = graph.from(corner);
            (0..self.corners.len()).map(|other| ways.distance(other)).collect()
        };
        self.between = (0..self.corners.len()).map(from).collect();
    }

    /// Whether a straight line crosses no area.
    fn sees(&self, a: (i64, i64), b: (i64, i64)) -> bool {
        !self.barriers.iter().any(|barrier| barrier.crosses(a, b))
    }

    /// How far every corner is from a point.
    fn to_corners(&self, point: (i64, i64)) -> Vec<Option<u64>> {
        let seen: Vec<(usize, u64)> = (self.corners.iter().enumerate())
            .filter(|(_, corner)| self.sees(point, **corner))
            .map(|(idx, corner)| (idx, axes(point, *corner)))
            .collect();
        let to =
            |corner: usize| seen.iter().filter_map(|&(via, length)| Some(length + self.between[via][corner]?)).min();
        (0..self.corners.len()).map(to).collect()
    }
}

/// A share of a line as numerator and denominator, the latter above zero.
pub(super) type Share = (i128, i128);

impl Rectangle {
    /// Where a straight line enters the inside of the rectangle and leaves it; `None` when it stays outside or runs along
    /// an edge.
    fn span(self, a: (i64, i64), b: (i64, i64)) -> Option<(Share, Share)> {
        let (mut enters, mut leaves): (Share, Share) = ((0, 1), (1, 1));
        for (from, to, (low, high)) in [(a.0, b.0, self.x), (a.1, b.1, self.y)] {
            let delta = i128::from(to) - i128::from(from);
            let (low, high) = (i128::from(low) - i128::from(from), i128::from(high) - i128::from(from));
            if delta == 0 {
                if low >= 0 || high <= 0 {
                    return None;
                }
                continue;
            }
            let (first, last) =
                if delta > 0 { ((low, delta), (high, delta)) } else { ((-high, -delta), (-low, -delta)) };
            if is_less(enters, first) {
                enters = first;
            }
            if is_less(last, leaves) {
                leaves = last;
            }
        }
        is_less(enters, leaves).then_some((enters, leaves))
    }

    fn crosses(self, a: (i64, i64), b: (i64, i64)) -> bool {
        // Most lines pass by on one side, which is seen at once.
        let beside = |a: i64, b: i64, (low, high): (i64, i64)| a.max(b) <= low || a.min(b) >= high;
        !beside(a.0, b.0, self.x) && !beside(a.1, b.1, self.y) && self.span(a, b).is_some()
    }

    /// The thin rectangle over the line that two areas side by side share.
    fn seam(self, other: Self) -> Option<Self> {
        let shared = |a: (i64, i64), b: (i64, i64)| (a.0.max(b.0), a.1.min(b.1));
        let (x, y) = (shared(self.x, other.x), shared(self.y, other.y));
        if x.0 == x.1 && y.0 < y.1 {
            return Some(Self { x: (x.0 - SEAM_MM, x.1 + SEAM_MM), y });
        }
        (y.0 == y.1 && x.0 < x.1).then_some(Self { x, y: (y.0 - SEAM_MM, y.1 + SEAM_MM) })
    }
}

fn is_less(a: Share, b: Share) -> bool {
    a.0 * b.1 < b.0 * a.1
}

fn axes(a: (i64, i64), b: (i64, i64)) -> u64 {
    a.0.abs_diff(b.0) + a.1.abs_diff(b.1)
}

#[cfg(test)]
mod tests {
    use dw_core::{Metres, StoreyId};
    use dw_job::model::{BlockedArea, Storey};
    use proptest::prelude::*;

    use super::*;
    use crate::testing;

    const SIDE: i64 = 12;

    /// Areas on a square of twelve metres.
    fn areas(drawn: &[(i64, i64, i64, i64)]) -> (Areas, Ground) {
        let mut job = Job::default();
        job.storeys.push(Storey { elevation: Some(Metres::ZERO), ..Storey::new("S") });
        for (idx, &(x1, y1, x2, y2)) in drawn.iter().enumerate() {
            let [x1, y1, x2, y2] = [x1, y1, x2, y2].map(|at| Some(Metres::new(at as f64)));
            job.blocked_areas.push(BlockedArea {
                storey: Some(StoreyId::new("S")),
                x1,
                y1,
                x2,
                y2,
                ..BlockedArea::new(&format!("A{idx}"))
            });
        }
        let ground = Ground::new(&job, &testing::survey());
        (Areas::new(&job, &ground), ground)
    }

    fn spot(x: i64, y: i64) -> Spot {
        Spot { plane: 0, x: x * 1000, y: y * 1000, z: 0 }
    }

    fn metres_between(drawn: &[(i64, i64, i64, i64)], a: (i64, i64), b: (i64, i64)) -> Option<u64> {
        let (areas, _) = areas(drawn);
        areas.distance(&areas.view(spot(a.0, a.1), 0), spot(b.0, b.1)).map(|mm| mm / 1000)
    }

    /// The shortest way from point to point of the grid of whole metres, step by step; a step is blocked when its middle
    /// lies inside an area, or on the line between two that touch along it.
    fn by_steps(drawn: &[(i64, i64, i64, i64)], a: (i64, i64), b: (i64, i64)) -> Option<u64> {
        let is_in = |x: f64, y: f64| {
            drawn.iter().any(|&(x1, y1, x2, y2)| {
                let (x1, x2, y1, y2) = (x1.min(x2) as f64, x1.max(x2) as f64, y1.min(y2) as f64, y1.max(y2) as f64);
                x1 < x && x < x2 && y1 < y && y < y2
            })
        };
        let is_free = |from: (i64, i64), to: (i64, i64)| {
            let (x, y) = ((from.0 + to.0) as f64 / 2.0, (from.1 + to.1) as f64 / 2.0);
            let (dx, dy) = if from.0 == to.0 { (0.01, 0.0) } else { (0.0, 0.01) };
            let on_a_seam = is_in(x - dx, y - dy) && is_in(x + dx, y + dy);
            !(is_in(x, y) || on_a_seam)
        };
        let mut seen = vec![vec![None; SIDE as usize + 9]; SIDE as usize + 9];
        let mut queue = std::collections::VecDeque::from([(a, 0)]);
        seen[(a.0 + 4) as usize][(a.1 + 4) as usize] = Some(0);
        while let Some((at, steps)) = queue.pop_front() {
            for (dx, dy) in [(1, 0), (-1, 0), (0, 1), (0, -1)] {
                let to = (at.0 + dx, at.1 + dy);
                if (-4..SIDE + 5).contains(&to.0) && (-4..SIDE + 5).contains(&to.1) && is_free(at, to) {
                    let cell = &mut seen[(to.0 + 4) as usize][(to.1 + 4) as usize];
                    if cell.is_none() {
                        *cell = Some(steps + 1);
                        queue.push_back((to, steps + 1));
                    }
                }
            }
        }
        seen[(b.0 + 4) as usize][(b.1 + 4) as usize]
    }

    fn point() -> impl Strategy<Value = (i64, i64)> {
        (0..=SIDE, 0..=SIDE)
    }

    proptest! {
        #[test]
        fn the_way_around_is_as_long_as_the_shortest_one_step_by_step(
            drawn in prop::collection::vec((0i64..10, 0i64..10, 1i64..5, 1i64..5), 0..4),
            a in point(),
            b in point(),
        ) {
            let drawn: Vec<_> = drawn.into_iter().map(|(x, y, w, h)| (x, y, x + w, y + h)).collect();
            let is_corner_passage = |one: &(i64, i64, i64, i64), two: &(i64, i64, i64, i64)| {
                (one.2 == two.0 || two.2 == one.0) && (one.3 == two.1 || two.3 == one.1)
            };
            let inside = |p: (i64, i64)| drawn.iter().any(|it| it.0 < p.0 && p.0 < it.2 && it.1 < p.1 && p.1 < it.3);
            // Areas that meet at a corner only leave a passage there, which steps of a metre cannot tell.
            prop_assume!(!drawn.iter().any(|one| drawn.iter().any(|two| is_corner_passage(one, two))));
            prop_assume!(!inside(a) && !inside(b));
            prop_assert_eq!(metres_between(&drawn, a, b), by_steps(&drawn, a, b));
        }
    }

    #[test]
    fn a_wall_is_gone_around_at_its_nearer_end() {
        assert_eq!(metres_between(&[(4, -2, 5, 10)], (0, 0), (9, 0)), Some(13));
        assert_eq!(metres_between(&[(4, 0, 5, 10)], (0, 0), (9, 0)), Some(9), "along the edge is free");
        assert_eq!(metres_between(&[], (0, 0), (9, 3)), Some(12));
    }

    #[test]
    fn two_areas_side_by_side_leave_no_gap() {
        assert_eq!(metres_between(&[(4, -2, 6, 0), (4, 0, 6, 10)], (0, 0), (9, 0)), Some(13));
    }

    #[test]
    fn a_point_shut_in_cannot_be_reached() {
        let walls = [(2, 2, 8, 3), (2, 7, 8, 8), (2, 2, 3, 8), (7, 2, 8, 8)];
        assert_eq!(metres_between(&walls, (0, 0), (5, 5)), None);
        assert_eq!(metres_between(&walls[..3], (0, 0), (5, 5)), by_steps(&walls[..3], (0, 0), (5, 5)));
    }

    #[test]
    fn an_area_without_a_corner_is_left_out() {
        let mut job = Job::default();
        job.blocked_areas.push(BlockedArea::new("A"));
        let ground = Ground::new(&job, &testing::survey());
        assert_eq!(Areas::new(&job, &ground).left_out, [(BlockedAreaId::new("A"), Lack::Corner)]);
    }

    #[test]
    fn an_area_drawn_as_a_line_is_left_out() {
        let (areas, _) = areas(&[(4, 2, 4, 8), (4, 2, 5, 8), (4, 2, 8, 2)]);
        let lines = ["A0", "A2"].map(|id| (BlockedAreaId::new(id), Lack::Width));
        assert_eq!(areas.left_out, lines);
    }
}
