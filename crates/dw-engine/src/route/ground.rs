//! Where things stand: storeys as planes with heights, buildings with the point their cables leave at, all in whole
//! millimetres so that a length is the same on every machine.
//!
//! Plans share one grid (as in the job format). Storeys of no building are one plane, the outdoors.

use std::collections::BTreeMap;

use dw_core::{BuildingId, Metres, StoreyId};
use dw_job::Job;

use crate::survey::Survey;

/// Floor to floor height where the survey gives neither height nor elevation (*common practice* for offices).
const USUAL_HEIGHT_M: f64 = 4.0;

/// Coordinates beyond this are taken as this: a thousand kilometres.
const FARTHEST_MM: f64 = 1e9;

/// The planes of a site and the buildings they belong to.
#[derive(Debug, Default)]
pub(super) struct Ground {
    /// Planes; the first one is the outdoors.
    pub(super) planes: Vec<Plane>,
    /// Buildings that have storeys, by id.
    pub(super) buildings: Vec<Stack>,
    storeys: BTreeMap<StoreyId, (usize, i64)>,
    /// Elevations nobody gave, with the value taken.
    pub(super) assumed_elevations: Vec<(StoreyId, Metres)>,
    /// Entry points nobody gave, of buildings that need one.
    pub(super) assumed_entries: Vec<(BuildingId, Spot)>,
}

/// A storey, or the outdoors.
#[derive(Debug, Clone)]
pub(super) struct Plane {
    /// Index of the building; `None` outdoors.
    pub(super) building: Option<usize>,
}

/// A building: where its cables leave, and its storeys from below.
#[derive(Debug, Clone)]
pub(super) struct Stack {
    /// Point where cables to other storeys and buildings pass.
    pub(super) entry: (i64, i64),
    /// Planes with their heights, the lowest first.
    pub(super) storeys: Vec<(usize, i64)>,
    /// Plane and height of the storey cables to other buildings leave from.
    pub(super) ground: (usize, i64),
}

/// A point on a plane with its height.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Spot {
    pub(super) plane: usize,
    pub(super) x: i64,
    pub(super) y: i64,
    pub(super) z: i64,
}

impl Spot {
    /// Distance along two axes and up or down, as cables run in buildings.
    pub(super) fn manhattan(self, other: Self) -> u64 {
        self.x.abs_diff(other.x) + self.y.abs_diff(other.y) + self.z.abs_diff(other.z)
    }

    /// Straight distance, rounded up.
    pub(super) fn straight(self, other: Self) -> u64 {
        let square = |a: i64, b: i64| u128::from(a.abs_diff(b)).pow(2);
        let sum = square(self.x, other.x) + square(self.y, other.y) + square(self.z, other.z);
        let root = sum.isqrt();
        u64::try_from(if root * root < sum { root + 1 } else { root }).unwrap_or(u64::MAX)
    }
}

/// Whole millimetres.
pub(super) fn mm(metres: Metres) -> i64 {
    libm::round(metres.get() * 1000.0).clamp(-FARTHEST_MM, FARTHEST_MM) as i64
}

/// Whole millimetres of a length; a negative one counts as nothing.
pub(super) fn length_mm(metres: Metres) -> u64 {
    mm(metres).unsigned_abs() * u64::from(metres.get() > 0.0)
}

/// Metres of whole millimetres.
pub(super) fn metres(mm: u64) -> Metres {
    Metres::new(mm as f64 / 1000.0)
}

impl Ground {
    pub(super) fn new(job: &Job, survey: &Survey) -> Self {
        let mut ground = Self { planes: vec![Plane { building: None }], ..Self::default() };
        let mut buildings: BTreeMap<BuildingId, Vec<(usize, i64)>> = BTreeMap::new();
        let mut tops: BTreeMap<Option<BuildingId>, f64> = BTreeMap::new();
        for storey in &job.storeys {
            let below = tops.get(&storey.building).copied();
            let elevation_m = storey.elevation.map_or(below.unwrap_or(0.0), Metres::get);
            tops.insert(storey.building.clone(), elevation_m + storey.height.map_or(USUAL_HEIGHT_M, Metres::get));
            let elevation = Metres::try_new(elevation_m).unwrap_or_default();
            if storey.elevation.is_none() {
                ground.assumed_elevations.push((storey.id.clone(), elevation));
            }
            let mut plane = 0;
            if let Some(building) = &storey.building {
                plane = ground.planes.len();
                ground.planes.push(Plane { building: None });
                buildings.entry(building.clone()).or_default().push((plane, mm(elevation)));
            }
            ground.storeys.insert(storey.id.clone(), (plane, mm(elevation)));
        }
        for (id, mut storeys) in buildings {
            storeys.sort_by_key(|&(plane, z)| (z, plane));
            for &(plane, _) in &storeys {
                ground.planes[plane].building = Some(ground.buildings.len());
            }
            // Cables leave a building at the lowest storey that is not below the site's datum.
            let ground_storey = storeys.iter().find(|storey| storey.1 >= 0).or(storeys.last()).copied();
            let entry = ground.entry(job, survey, &id, &storeys);
            ground.buildings.push(Stack { entry, ground: ground_storey.unwrap_or((0, 0)), storeys });
        }
        ground
    }

    /// The point where a building's cables leave: as surveyed, or else the middle of its telecom rooms, or of its
    /// openings.
    fn entry(&mut self, job: &Job, survey: &Survey, id: &BuildingId, storeys: &[(usize, i64)]) -> (i64, i64) {
        let building = job.buildings.iter().find(|building| building.id == *id);
        if let Some((x, y)) = building.and_then(|building| building.entry_x.zip(building.entry_y)) {
            return (mm(x), mm(y));
        }
        let here = |spot: &Spot| storeys.iter().any(|storey| storey.0 == spot.plane);
        let rooms = survey.rooms.iter().filter_map(|room| self.spot(&room.storey, room.x_m, room.y_m)).filter(here);
        let openings = survey.openings.iter().filter_map(|it| self.spot(&it.storey, it.x_m, it.y_m)).filter(here);
        let entry = middle(rooms).or_else(|| middle(openings)).unwrap_or((0, 0));
        self.assumed_entries.push((id.clone(), Spot { plane: storeys[0].0, x: entry.0, y: entry.1, z: storeys[0].1 }));
        entry
    }

    /// The point of a plan; `None` when the storey is not in the job.
    pub(super) fn spot(&self, storey: &StoreyId, x: Metres, y: Metres) -> Option<Spot> {
        let &(plane, z) = self.storeys.get(storey)?;
        Some(Spot { plane, x: mm(x), y: mm(y), z })
    }

    /// Whether two storeys lie in two different buildings.
    pub(super) fn are_apart(&self, first: &StoreyId, second: &StoreyId) -> bool {
        let building = |storey| self.planes.get(self.storeys.get(storey)?.0)?.building;
        building(first).zip(building(second)).is_some_and(|(first, second)| first != second)
    }

    /// The entry point of a building on one of its storeys.
    pub(super) fn entry_on(&self, building: usize, storey: (usize, i64)) -> Spot {
        let (x, y) = self.buildings[building].entry;
        Spot { plane: storey.0, x, y, z: storey.1 }
    }
}

fn middle(spots: impl Iterator<Item = Spot>) -> Option<(i64, i64)> {
    let (mut n, mut x, mut y) = (0, 0, 0);
    for spot in spots {
        (n, x, y) = (n + 1, x + spot.x, y + spot.y);
    }
    (n > 0).then(|| (x / n, y / n))
}
