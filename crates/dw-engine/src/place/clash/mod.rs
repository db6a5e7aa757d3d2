//! Why openings are unserved: an irreducible set of demands that clash, in the user's words.
//!
//! Each demand is a constraint that may be left out of the problem. `dw_solve::clash` finds a set that is impossible
//! together and possible without any one of its members, pins first; [`Clashes::is_irreducible`] shows that member by
//! member. `words` says it, `ways_out` names the edit that removes each demand and what the plan then costs.

mod ways_out;
mod words;

use std::cell::Cell;
use std::collections::{BTreeMap, BTreeSet};

use dw_core::DeviceId;
use dw_solve::clash::irreducible;
use dw_solve::location::{Arc, Customer, Feasibility, Model, Problem, Spare, feasible};

use super::Clash;
use super::keep::Kept;
use super::solve::{Solution, Work};
use super::statement::{RESOURCES, Resource, Statement};
use crate::route::Reach;
use crate::survey::Survey;

pub(super) use words::limit_words;

/// Openings looked at around an unserved one: beyond this a proof takes too long.
const MAX_AROUND: usize = 600;

/// Times the circle of openings looked at is widened to those that share a room with it.
const MAX_CIRCLES: usize = 4;

/// Openings placed anew in all proofs together, before the rest stays unexplained: some seconds (*common practice*).
const MAX_WORK: usize = 3_000_000;

/// A demand that may be part of a clash. Their order is that of blame.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Demand {
    /// An opening is pinned to a room.
    Pin(usize, usize),
    /// An opening is kept out of a room.
    Forbidden(usize, usize),
    /// Openings share no controller, by their group in the problem.
    Apart(usize),
    /// An opening stays in the room it was issued from.
    Stay(usize, usize),
    /// The cables of the unserved opening are no longer than they may be.
    Length(usize),
    /// Nor are those of the other openings.
    Lengths,
    /// A room has only so much of something.
    Limit(usize, Resource),
    /// A controller is not to be bought.
    Refused(DeviceId),
    /// Spare ports are kept.
    Spare,
    /// The opening is served.
    Serve(usize),
}

/// Looks for clashes.
pub(super) struct Clashes<'s> {
    pub(super) statement: &'s Statement,
    pub(super) survey: &'s Survey,
    pub(super) reach: &'s Reach,
    pub(super) kept: &'s Kept,
    pub(super) solution: &'s Solution,
    /// Refused controllers that would suit each customer, as the solver sees them.
    refused: BTreeMap<usize, Vec<(DeviceId, Model)>>,
    work: Cell<usize>,
}

/// A clash as customers and demands.
#[derive(Debug)]
pub(super) struct Proof {
    /// Customers left unserved because of it.
    pub(super) unserved: Vec<usize>,
    /// An irreducible set, in the order of blame.
    pub(super) members: Vec<Demand>,
    /// Whether a plan was found without each member; where it was not, the set may be longer than it must be.
    pub(super) is_irreducible: bool,
}

impl<'s> Clashes<'s> {
    pub(super) fn new(
        statement: &'s Statement,
        survey: &'s Survey,
        reach: &'s Reach,
        kept: &'s Kept,
        solution: &'s Solution,
    ) -> Self {
        Self { statement, survey, reach, kept, solution, refused: BTreeMap::new(), work: Cell::new(0) }
    }

    /// The same, knowing which refused controllers would suit each customer.
    pub(super) fn refusing(self, refused: BTreeMap<usize, Vec<(DeviceId, Model)>>) -> Self {
        Self { refused, ..self }
    }

    /// Clashes with their words, and which customers none was proven for.
    pub(super) fn tell(&self, work: &mut Work<'_, '_>) -> (Vec<Clash>, Vec<usize>) {
        let (proofs, unexplained) = self.prove(work);
        (proofs.iter().map(|proof| self.clash(proof, work)).collect(), unexplained)
    }

    /// A proof for every unserved customer for which there is one; equal customers share theirs, or share that none is found.
    pub(super) fn prove(&self, work: &mut Work<'_, '_>) -> (Vec<Proof>, Vec<usize>) {
        let mut proofs: Vec<Proof> = Vec::new();
        let mut unexplained = Vec::new();
        // The kinds looked at, each with the number of its proof.
        let mut kinds = Vec::new();
        for &lost in &self.solution.unserved {
            let kind = self.kind(lost);
            let alike = kinds.iter().find(|known: &&(_, Option<usize>)| known.0 == kind).map(|known| known.1);
            let member = || proofs.iter().position(|proof| proof.members.contains(&Demand::Serve(lost)));
            let number = match alike.unwrap_or_else(member) {
                None if alike.is_none() => {
                    let proof = self.around(lost, work);
                    let number = proof.is_some().then_some(proofs.len());
                    proofs.extend(proof);
                    kinds.push((kind, number));
                    number
                }
                Some(number) => {
                    proofs[number].unserved.push(lost);
                    Some(number)
                }
                None => None,
            };
            if number.is_none() {
                unexplained.push(lost);
            }
        }
        (proofs, unexplained)
    }

    /// What decides how a customer may be served: two that agree can stand for each other.
    fn kind(&self, customer: usize) -> impl PartialEq {
        let needs: Vec<_> =
            self.free(customer).variants.iter().map(|it| (it.family, it.ports, it.uses.clone())).collect();
        let rooms: BTreeSet<usize> = self.rooms(customer).collect();
        let (pin, out) = (self.statement.pins.get(&customer), self.statement.forbidden.get(&customer));
        let groups = &self.statement.problem.apart;
        let apart: Vec<usize> = (0..groups.len()).filter(|&group| groups[group].contains(&customer)).collect();
        (needs, rooms, apart, pin.copied(), out.cloned(), self.kept.choices.get(&customer).map(|choice| choice.site))
    }

    /// The clash around one customer: first among those that share its rooms, then in wider circles.
    fn around(&self, lost: usize, work: &mut Work<'_, '_>) -> Option<Proof> {
        let mut rooms: BTreeSet<usize> = self.rooms(lost).collect();
        let mut n_before = usize::MAX;
        for _ in 0..MAX_CIRCLES {
            let is_near = |customer: &usize| match self.solution.assignment[*customer] {
                Some(choice) => rooms.contains(&self.statement.room_of(choice.site)),
                None => self.rooms(*customer).any(|room| rooms.contains(&room)),
            };
            let near: Vec<usize> = (0..self.statement.openings.len()).filter(|it| *it != lost && is_near(it)).collect();
            if near.len() >= MAX_AROUND || near.len() == n_before {
                return None;
            }
            if let Some(proof) = self.among(lost, &near, work) {
                return Some(proof);
            }
            rooms.extend(near.iter().flat_map(|&it| self.rooms(it)));
            n_before = near.len();
        }
        None
    }

    /// An irreducible clash of the demands of a customer and some others, if there is one.
    fn among(&self, lost: usize, others: &[usize], work: &mut Work<'_, '_>) -> Option<Proof> {
        let demands = self.demands(lost, others);
        let found = irreducible(&demands, |kept| {
            let kept = demands.iter().zip(kept).filter(|it| *it.1).map(|it| it.0.clone()).collect();
            self.answer(lost, &kept, work)
        })?;
        let members = found.members.into_iter().map(|idx| demands[idx].clone()).collect();
        Some(Proof { unserved: vec![lost], members, is_irreducible: found.is_irreducible })
    }

    /// Every demand on a customer and some others, in the order of blame; whom to serve comes last.
    pub(super) fn demands(&self, lost: usize, others: &[usize]) -> Vec<Demand> {
        let n_rooms = self.survey.rooms.len();
        let mut demands = vec![Demand::Length(lost), Demand::Spare];
        let all = || others.iter().copied().chain([lost]);
        let sites: BTreeSet<usize> = all().flat_map(|it| self.rooms(it)).collect();
        if others.iter().any(|&it| self.rooms(it).collect::<BTreeSet<_>>().len() < n_rooms) {
            demands.push(Demand::Lengths);
        }
        for &site in &sites {
            let limited = RESOURCES.iter().zip(&self.statement.problem.sites[site].limits);
            demands.extend(limited.filter(|it| *it.1 < i64::MAX).map(|it| Demand::Limit(site, *it.0)));
        }
        for customer in all() {
            demands.extend(self.statement.pins.get(&customer).map(|&site| Demand::Pin(customer, site)));
            demands.extend(self.stay(customer));
            let forbidden = self.statement.forbidden.get(&customer).into_iter().flatten();
            demands.extend(forbidden.map(|&site| Demand::Forbidden(customer, site)));
            let refused = self.refused.get(&customer).into_iter().flatten();
            demands.extend(refused.map(|(device, _)| Demand::Refused(device.clone())));
        }
        let everybody: BTreeSet<usize> = all().collect();
        let are_two = |group: &Vec<usize>| group.iter().filter(|it| everybody.contains(it)).count() > 1;
        let groups = self.statement.problem.apart.iter().enumerate().filter(|it| are_two(it.1));
        demands.extend(groups.map(|(group, _)| Demand::Apart(group)));
        demands.sort_unstable();
        demands.dedup();
        demands.push(Demand::Serve(lost));
        demands.extend(others.iter().map(|&customer| Demand::Serve(customer)));
        demands
    }

    /// Whether the demands can be met together; unknown once the work is spent or somebody stopped it.
    fn answer(&self, lost: usize, kept: &BTreeSet<Demand>, work: &mut Work<'_, '_>) -> Feasibility {
        if self.work.get() > MAX_WORK { Feasibility::Unknown } else { self.ask(&self.problem(lost, kept), work) }
    }

    /// Whether all of a problem can be served; counts as work.
    fn ask(&self, problem: &Problem, work: &mut Work<'_, '_>) -> Feasibility {
        self.work.set(self.work.get().saturating_add(problem.customers.len() + 1));
        if self.work.get() > MAX_WORK || work.is_to_stop() {
            return Feasibility::Unknown;
        }
        feasible(problem, &vec![true; problem.customers.len()])
    }

    /// The problem with only these demands. Rooms nobody in it can use are left without limits, which changes nothing.
    pub(super) fn problem(&self, lost: usize, kept: &BTreeSet<Demand>) -> Problem {
        let stated = &self.statement.problem;
        let mut problem =
            Problem { sites: stated.sites.clone(), families: stated.families.clone(), ..Problem::default() };
        for (site, what) in problem.sites.iter_mut().enumerate() {
            for (resource, limit) in RESOURCES.iter().zip(&mut what.limits) {
                if !kept.contains(&Demand::Limit(site, *resource)) {
                    *limit = i64::MAX;
                }
            }
        }
        if !kept.contains(&Demand::Spare) {
            problem.families.iter_mut().for_each(|family| family.spare = Spare::NONE);
        }
        let served = kept.iter().filter_map(|demand| if let Demand::Serve(it) = demand { Some(*it) } else { None });
        let served: Vec<usize> = served.collect();
        let place = |customer: &usize| served.binary_search(customer).ok();
        for (_, members) in stated.apart.iter().enumerate().filter(|it| kept.contains(&Demand::Apart(it.0))) {
            problem.apart.push(members.iter().filter_map(place).collect());
        }
        for customer in served.iter().copied() {
            let length = if customer == lost { Demand::Length(lost) } else { Demand::Lengths };
            let mut what = self.free(customer).clone();
            if !kept.contains(&length) {
                let everywhere = (0..self.survey.rooms.len()).map(|site| Arc { site, cost: 0 });
                what.variants.iter_mut().for_each(|variant| variant.arcs = everywhere.clone().collect());
            }
            self.keep_to_rooms(customer, kept, &mut what);
            self.allow_refused(customer, kept, &mut what, &mut problem);
            problem.customers.push(what);
        }
        problem
    }

    /// Leaves a customer the rooms that its pins and the issued revision leave it.
    fn keep_to_rooms(&self, customer: usize, kept: &BTreeSet<Demand>, what: &mut Customer) {
        let pin = self.statement.pins.get(&customer).map(|&site| Demand::Pin(customer, site));
        let stay = self.stay(customer);
        for variant in &mut what.variants {
            for demand in [&pin, &stay].into_iter().flatten().filter(|demand| kept.contains(demand)) {
                if let Demand::Pin(_, only) | Demand::Stay(_, only) = demand {
                    variant.arcs.retain(|arc| self.statement.room_of(arc.site) == *only);
                }
            }
            let room = |arc: &Arc| self.statement.room_of(arc.site);
            variant.arcs.retain(|arc| !kept.contains(&Demand::Forbidden(customer, room(arc))));
        }
    }

    /// Gives a customer a family of its own kind with the refused controllers that are not refused any more.
    fn allow_refused(&self, customer: usize, kept: &BTreeSet<Demand>, what: &mut Customer, problem: &mut Problem) {
        let refused = self.refused.get(&customer).into_iter().flatten();
        let allowed: Vec<&Model> =
            refused.filter(|(device, _)| !kept.contains(&Demand::Refused(device.clone()))).map(|it| &it.1).collect();
        for variant in what.variants.iter_mut().filter(|variant| variant.ports > 0 && !allowed.is_empty()) {
            let mut family = problem.families[variant.family].clone();
            family.models.extend(allowed.iter().copied().cloned());
            let known = problem.families.iter().position(|it| *it == family);
            variant.family = known.unwrap_or(problem.families.len());
            if known.is_none() {
                problem.families.push(family);
            }
        }
    }

    /// That an opening stays in the room it was issued in.
    fn stay(&self, customer: usize) -> Option<Demand> {
        let choice = self.kept.choices.get(&customer)?;
        Some(Demand::Stay(customer, self.statement.room_of(choice.site)))
    }

    /// Every room within the limit of a customer, its pins left aside.
    fn rooms(&self, customer: usize) -> impl Iterator<Item = usize> + '_ {
        self.free(customer).sites().map(|site| self.statement.room_of(site))
    }

    /// A customer with every room within its limit, its pins left aside.
    fn free(&self, customer: usize) -> &Customer {
        let stated = &self.statement.problem.customers[customer];
        self.statement.unpinned.get(&customer).unwrap_or(stated)
    }
}

#[cfg(test)]
mod tests;
