//! Distance of two straight lines in space, for judging whether ways touch.

use std::collections::BTreeMap;

use dw_core::{CableWayId, Metres, StoreyId};
use dw_job::Job;

/// Ways as straight lines; heights count from the survey's elevations, missing ones as unknown.
pub(super) struct Lines(BTreeMap<CableWayId, Line>);

/// A straight line between two points, in metres.
#[derive(Clone, Debug)]
pub(super) struct Line {
    /// The storey of a level line.
    pub(super) storey: Option<StoreyId>,
    from: [f64; 3],
    to: [f64; 3],
}

impl Lines {
    pub(super) fn new(job: &Job) -> Self {
        // A height that the survey does not give is taken as 0 at both ends, so that it judges nothing.
        let known = job.storeys.iter().all(|storey| storey.elevation.is_some());
        let heights: BTreeMap<&StoreyId, f64> = (job.storeys.iter())
            .map(|storey| (&storey.id, storey.elevation.filter(|_| known).map_or(0.0, Metres::get)))
            .collect();
        let line = |way: &dw_job::model::CableWay| {
            let (first, second) = (way.storey.as_ref()?, way.to_storey.as_ref().or(way.storey.as_ref())?);
            let from = [way.x1?.get(), way.y1?.get(), *heights.get(first)?];
            let to = [way.x2?.get(), way.y2?.get(), *heights.get(second)?];
            let storey = Some(first).filter(|_| first == second).cloned();
            Some((way.id.clone(), Line { storey, from, to }))
        };
        Self(job.cable_ways.iter().filter_map(line).collect())
    }

    pub(super) fn of(&self, way: &CableWayId) -> Option<&Line> {
        self.0.get(way)
    }
}

impl Line {
    pub(super) fn length(&self) -> f64 {
        norm(minus(self.to, self.from))
    }

    /// Shortest distance of two lines, by stepping to the nearest point of each in turn; between straight lines such
    /// steps end at the nearest pair of points (Cheney and Goldstein, 1959).
    pub(super) fn distance(&self, other: &Self) -> f64 {
        let mut point = other.from;
        let mut best = f64::INFINITY;
        loop {
            let near = self.nearest(point);
            point = other.nearest(near);
            let distance = norm(minus(near, point));
            if distance > best - 1e-9 {
                return best.min(distance);
            }
            best = distance;
        }
    }

    /// The point at a share of the line.
    pub(super) fn at(&self, share: f64) -> [f64; 3] {
        [0, 1, 2].map(|axis| self.from[axis] + share * (self.to[axis] - self.from[axis]))
    }

    /// The point of the line nearest to a point.
    fn nearest(&self, point: [f64; 3]) -> [f64; 3] {
        let along = minus(self.to, self.from);
        let length = dot(along, along);
        let share = if length > 0.0 { (dot(minus(point, self.from), along) / length).clamp(0.0, 1.0) } else { 0.0 };
        [0, 1, 2].map(|axis| self.from[axis] + share * along[axis])
    }
}

fn minus(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
    [0, 1, 2].map(|axis| a[axis] - b[axis])
}

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn norm(a: [f64; 3]) -> f64 {
    dot(a, a).sqrt()
}
