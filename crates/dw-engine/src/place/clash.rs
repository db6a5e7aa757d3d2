//! Why openings are unserved: demands that clash, in the user's words.

use std::collections::{BTreeMap, BTreeSet};

use dw_solve::clash::irreducible;
use dw_solve::location::{Arc, Customer, Feasibility, Problem, Spare, feasible};

use super::Clash;
use super::keep::Kept;
use super::rules::MUST_BE_SERVED;
use super::solve::Solution;
use super::statement::{RESOURCES, Resource, Statement};
use crate::route::Reach;
use crate::survey::Survey;

/// Openings looked at around an unserved one: beyond this a proof takes too long.
const MAX_AROUND: usize = 150;

/// Unserved openings for which a proof is sought.
const MAX_PROOFS: usize = 30;

/// A demand that may be part of a clash. Their order is that of blame.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Demand {
    /// An opening is pinned to a room.
    Pin(usize, usize),
    /// An opening is not served from a room.
    Forbidden(usize, usize),
    /// An opening stays in the room it was issued from.
    Stay(usize, usize),
    /// The cables of an opening are no longer than they may be.
    Length(usize),
    /// A room has only so much of something.
    Limit(usize, Resource),
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
}

impl Clashes<'_> {
    /// A clash for each unserved opening for which one can be proven, by customer.
    pub(super) fn prove(&self) -> BTreeMap<usize, Clash> {
        let unserved = self.solution.unserved.iter().take(MAX_PROOFS);
        unserved.filter_map(|&customer| Some((customer, self.around(customer)?))).collect()
    }

    /// The clash around one opening: first among those that share its rooms, then among all.
    fn around(&self, lost: usize) -> Option<Clash> {
        let sites: BTreeSet<usize> = self.free(lost).sites().collect();
        let is_near = |customer: &usize| match self.solution.assignment[*customer] {
            Some(choice) => sites.contains(&choice.site),
            None => self.free(*customer).sites().any(|site| sites.contains(&site)),
        };
        let everybody: Vec<usize> = (0..self.statement.openings.len()).filter(|&it| it != lost).collect();
        let near: Vec<usize> = everybody.iter().copied().filter(is_near).collect();
        let groups = [&near, &everybody];
        let sizes_fit = groups.into_iter().filter(|group| group.len() < MAX_AROUND);
        sizes_fit.into_iter().find_map(|group| self.among(lost, group))
    }

    /// An irreducible clash of the demands of an opening and some others, if there is one.
    fn among(&self, lost: usize, others: &[usize]) -> Option<Clash> {
        let mut demands = vec![Demand::Length(lost), Demand::Spare];
        let sites: BTreeSet<usize> = others.iter().chain([&lost]).flat_map(|&it| self.free(it).sites()).collect();
        for &site in &sites {
            let limited = RESOURCES.iter().zip(&self.statement.problem.sites[site].limits);
            demands.extend(limited.filter(|it| *it.1 < i64::MAX).map(|it| Demand::Limit(site, *it.0)));
        }
        for customer in others.iter().copied().chain([lost]) {
            demands.extend(self.statement.pins.get(&customer).map(|&site| Demand::Pin(customer, site)));
            demands.extend(self.kept.choices.get(&customer).map(|choice| Demand::Stay(customer, choice.site)));
            let forbidden = self.statement.forbidden.get(&customer).into_iter().flatten();
            demands.extend(forbidden.map(|&site| Demand::Forbidden(customer, site)));
        }
        demands.sort_unstable();
        demands.push(Demand::Serve(lost));
        demands.extend(others.iter().map(|&customer| Demand::Serve(customer)));
        let is_possible = |kept: &[bool]| {
            let problem = self.problem(lost, demands.iter().zip(kept).filter(|it| *it.1).map(|it| *it.0));
            feasible(&problem, &vec![true; problem.customers.len()]) != Feasibility::No
        };
        let members = irreducible(&demands, is_possible);
        if members.is_empty() {
            return None;
        }
        let members: Vec<Demand> = members.into_iter().map(|idx| demands[idx]).collect();
        let mut openings: Vec<_> = members.iter().filter_map(|demand| self.mark(*demand)).cloned().collect();
        openings.sort();
        openings.dedup();
        Some(Clash { demands: members.iter().map(|&demand| self.word(demand)).collect(), openings })
    }

    /// The problem with only these demands.
    fn problem(&self, lost: usize, demands: impl Iterator<Item = Demand>) -> Problem {
        let stated = &self.statement.problem;
        let kept: BTreeSet<Demand> = demands.collect();
        let mut problem =
            Problem { sites: stated.sites.clone(), families: stated.families.clone(), customers: Vec::new() };
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
        for customer in served {
            let mut free = self.free(customer).clone();
            if customer == lost && !kept.contains(&Demand::Length(lost)) {
                let everywhere = (0..problem.sites.len()).map(|site| Arc { site, cost: 0 });
                free.variants.iter_mut().for_each(|variant| variant.arcs = everywhere.clone().collect());
            }
            let pin = self.statement.pins.get(&customer).map(|&site| Demand::Pin(customer, site));
            let stay = self.kept.choices.get(&customer).map(|choice| Demand::Stay(customer, choice.site));
            for demand in [pin, stay].into_iter().flatten().filter(|demand| kept.contains(demand)) {
                if let Demand::Pin(_, site) | Demand::Stay(_, site) = demand {
                    free.variants.iter_mut().for_each(|variant| variant.arcs.retain(|arc| arc.site == site));
                }
            }
            let forbidden = |arc: &Arc| kept.contains(&Demand::Forbidden(customer, arc.site));
            free.variants.iter_mut().for_each(|variant| variant.arcs.retain(|arc| !forbidden(arc)));
            problem.customers.push(free);
        }
        problem
    }

    /// A customer with every room within its limit, its pin left aside.
    fn free(&self, customer: usize) -> &Customer {
        let stated = &self.statement.problem.customers[customer];
        self.statement.unpinned.get(&customer).unwrap_or(stated)
    }

    fn mark(&self, demand: Demand) -> Option<&dw_core::OpeningId> {
        match demand {
            Demand::Pin(it, _)
            | Demand::Forbidden(it, _)
            | Demand::Stay(it, _)
            | Demand::Length(it)
            | Demand::Serve(it) => Some(&self.statement.marks[it]),
            Demand::Limit(..) | Demand::Spare => None,
        }
    }

    /// A demand in the user's words.
    fn word(&self, demand: Demand) -> String {
        let mark = |customer: usize| &self.statement.marks[customer];
        let room = |site: usize| &self.statement.rooms[site];
        match demand {
            Demand::Pin(customer, site) => format!("{} is pinned to {}", mark(customer), room(site)),
            Demand::Forbidden(customer, site) => format!("{} is kept out of {} by a pin", mark(customer), room(site)),
            Demand::Stay(customer, site) => format!("{} stays in {} as issued", mark(customer), room(site)),
            Demand::Length(customer) => {
                let limit = &self.reach.limits[self.statement.openings[customer]];
                format!("cables of {} are at most {:.1} long ({})", mark(customer), limit.length_m, limit.because)
            }
            Demand::Limit(site, resource) => limit_words(self.survey, site, resource),
            Demand::Spare => {
                format!("{} % of the ports stay free, room by room", self.survey.settings.spare_percent)
            }
            Demand::Serve(customer) => format!("{} {MUST_BE_SERVED}", mark(customer)),
        }
    }
}

/// A limit of a room in words.
pub(super) fn limit_words(survey: &Survey, site: usize, resource: Resource) -> String {
    let room = &survey.rooms[site];
    let (has, limit, what) = match resource {
        Resource::Controllers => ("holds at most", room.max_controllers, "controller"),
        Resource::EnclosureUnits => ("has room for", room.enclosure_places, "enclosure"),
        Resource::NetworkPorts => ("has", room.network_ports, "free network port"),
    };
    let number = limit.unwrap_or(0);
    format!("{} {has} {number} {what}{}", room.id, if number == 1 { "" } else { "s" })
}
