//! The cable schedule: one cable or more for every need of a routed opening.

use dw_core::{DeviceId, Metres, OpeningId};
use dw_job::Job;
use dw_job::catalogue::{CableUse, Device};

use super::cables::{Cables, is_outdoors};
use super::existing::InWall;
use super::ground::length_mm;
use super::rules::{FigureMissing, NoCableFits, OldCableElsewhere};
use super::{CableRun, CableSchedule, RoutedOpening, Routes, fill, pull, purchase, spans, surge};
use crate::Cx;
use crate::equip::{CableNeed, Equipment};
use crate::power::{LockFeed, PowerPlan, is_power};
use crate::survey::Survey;

/// Chooses, labels, cuts and buys every cable, and finds how full drawn ways get.
///
/// The cable of a lock is the one power chose; conductors in parallel take further cores, or further cables. Every
/// other need gets the cheapest cable that suits it. Cores of a cable beyond the need are named spare.
///
/// Raises `RTE-006` to `RTE-012`, `RTE-014` and `RTE-015`.
pub fn schedule(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    equipment: &Equipment,
    routes: &Routes,
    power: &PowerPlan,
) -> CableSchedule {
    let mut cables = Cables::new(cx.catalogue, &survey.settings);
    let in_wall = InWall::new(job);
    let mut runs = Vec::new();
    for routed in &routes.openings {
        let (Some(equipped), Some(opening)) = (equipment.opening(&routed.mark), survey.opening(&routed.mark)) else {
            continue;
        };
        let outdoors = is_outdoors(opening) || routed.outdoors;
        let reuses = in_wall.ends_in(&routed.mark, &routed.room);
        let old_length = in_wall.of(&routed.mark).and_then(|cable| cable.length);
        let feed = feed(power, &routed.mark);
        let first = runs.len();
        for (number, need) in equipped.cables.iter().enumerate() {
            // What a unit at the opening drives lies within the drop there, as power counts it.
            let (length_m, outdoors) = if need.local {
                (survey.settings.drop_opening_m, is_outdoors(opening))
            } else {
                (routed.length_m, outdoors)
            };
            let mut at = At { cx, cables: &mut cables, routed, need, length_m, outdoors };
            if need.existing && reuses {
                runs.push(at.run(None, need.cores.clone(), old_length.unwrap_or(routed.length_m), true));
            } else {
                let of_lock = feed.filter(|_| need.purpose == CableUse::Lock);
                let chosen = match of_lock {
                    Some(feed) => feed.cable.as_ref().map(|cable| (cable, feed.parallel)),
                    None => chosen(power, &routed.mark, number),
                };
                runs.extend(at.runs(chosen));
            }
        }
        for (idx, run) in runs[first..].iter_mut().enumerate() {
            run.label = format!("{}/{}", routed.mark, idx + 1);
        }
        let ends_in = in_wall.of(&routed.mark).and_then(|cable| cable.room.clone());
        if let Some(ends_in) = ends_in.filter(|_| !reuses && equipped.cables.iter().any(|need| need.existing)) {
            let (opening, served_from) = (routed.mark.clone(), routed.room.clone());
            cx.sink.report(&OldCableElsewhere { opening, ends_in, served_from });
        }
    }
    for (device, figure) in cables.lacking {
        cx.sink.report(&FigureMissing { device, figure });
    }
    surge::check(cx, job, survey, routes, &runs);
    let fills = fill::fills(cx, job, survey, routes, &runs);
    spans::check(cx, job, survey, &fills);
    let pulls = pull::groups(cx, routes, &runs);
    let purchases = purchase::purchases(cx, survey, &runs);
    CableSchedule { runs, fills, pulls, purchases }
}

fn feed<'p>(power: &'p PowerPlan, mark: &OpeningId) -> Option<&'p LockFeed> {
    power.locks.binary_search_by(|feed| feed.mark.cmp(mark)).ok().map(|idx| &power.locks[idx])
}

/// The cable power chose for a need, and power cores in parallel.
fn chosen<'p>(power: &'p PowerPlan, mark: &OpeningId, need: usize) -> Option<(&'p DeviceId, u32)> {
    let first = power.devices.partition_point(|feed| feed.mark < *mark);
    let mut own = power.devices[first..].iter().take_while(|feed| feed.mark == *mark);
    let feed = own.find(|feed| feed.need == Some(need))?;
    Some((feed.cable.as_ref()?, feed.parallel))
}

/// A need of a routed opening.
struct At<'r, 'a, 'c> {
    cx: &'r mut Cx<'c>,
    cables: &'r mut Cables<'a>,
    routed: &'r RoutedOpening,
    need: &'r CableNeed,
    length_m: Metres,
    outdoors: bool,
}

impl<'a> At<'_, 'a, 'a> {
    /// The cables of a need.
    fn runs(&mut self, fed: Option<(&DeviceId, u32)>) -> Vec<CableRun> {
        let fed = fed.and_then(|(cable, parallel)| Some((self.cx.device(cable)?, parallel.max(1))));
        let chosen = match fed {
            Some((device, parallel)) => device.cable.cores.map(|cores| (device, cores as usize, parallel)),
            None => self.cheapest().map(|(device, cores)| (device, cores, 1)),
        };
        let Some((device, has, parallel)) = chosen.filter(|chosen| chosen.1 > 0) else {
            self.cx.sink.report(&NoCableFits {
                opening: self.routed.mark.clone(),
                purpose: self.need.purpose,
                cores: self.need.cores.len(),
                length: self.length_m,
                outdoors: self.outdoors,
            });
            return vec![self.run(None, self.need.cores.clone(), self.length_m, false)];
        };
        let id = device.id.clone();
        let allocated = allocate(&self.need.cores, parallel, has);
        allocated.into_iter().map(|cores| self.run(Some(id.clone()), cores, self.length_m, false)).collect()
    }

    fn cheapest(&mut self) -> Option<(&'a Device, usize)> {
        let found = self.cables.cheapest(self.need, self.outdoors, length_mm(self.length_m))?;
        Some((found.device, found.cores))
    }

    fn run(&self, device: Option<DeviceId>, cores: Vec<String>, length_m: Metres, existing: bool) -> CableRun {
        CableRun {
            label: String::new(),
            mark: self.routed.mark.clone(),
            room: self.routed.room.clone(),
            device,
            purpose: self.need.purpose,
            length_m,
            cores,
            existing,
            local: self.need.local,
        }
    }
}

/// Cores of each cable: the need, its power cores again for each conductor in parallel, over as many cables as it takes;
/// what is left of a cable is spare.
///
/// ```text
/// ["lock +", "lock -"] twice on cables of 2 cores: two cables
/// ["lock +", "lock -"] twice on cables of 4 cores: one cable
/// ```
fn allocate(need: &[String], parallel: u32, has: usize) -> Vec<Vec<String>> {
    let mut names: Vec<String> = need.to_vec();
    for further in 2..=parallel {
        names.extend(need.iter().filter(|name| is_power(name)).map(|name| format!("{name} ({further})")));
    }
    let mut cables: Vec<Vec<String>> = names.chunks(has.max(1)).map(<[String]>::to_vec).collect();
    for cable in &mut cables {
        cable.resize(has.max(cable.len()), "spare".to_owned());
    }
    cables
}

#[cfg(test)]
mod tests {
    use super::allocate;

    #[test]
    fn conductors_in_parallel_take_cores_of_one_cable_or_further_cables() {
        let need = ["lock +".to_owned(), "lock -".to_owned()];
        assert_eq!(allocate(&need, 2, 2), [["lock +", "lock -"], ["lock + (2)", "lock - (2)"]]);
        assert_eq!(allocate(&need, 2, 4), [["lock +", "lock -", "lock + (2)", "lock - (2)"]]);
        assert_eq!(allocate(&need, 1, 4), [["lock +", "lock -", "spare", "spare"]]);
        let reader = ["supply +", "supply -", "data A", "data B"].map(str::to_owned);
        let doubled = ["supply +", "supply -", "data A", "data B", "supply + (2)", "supply - (2)"];
        assert_eq!(allocate(&reader, 2, 6), [doubled], "data lines are not doubled");
    }
}
