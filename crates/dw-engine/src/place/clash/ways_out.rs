//! The edit that removes a demand, and what the plan costs with it.

use std::collections::BTreeSet;

use dw_core::{Id, Money};
use dw_solve::location::{Feasibility, Level, Problem, Spare};

use super::words::listed;
use super::{Clashes, Demand, Proof};
use crate::place::solve::Work;
use crate::place::statement::{RESOURCES, Resource};

/// Openings up to which a way out is priced by planning the whole job with it.
const MAX_PRICED: usize = 300;

/// Most of something a room is tried with beyond its limit.
const MAX_RAISE: u32 = 8;

/// Steps in which a lower spare share is looked for.
const SPARE_STEP: u32 = 5;

impl Clashes<'_> {
    /// How to remove one of some demands of a kind, with its price where it can be found.
    pub(super) fn way_out(&self, proof: &Proof, members: &[&Demand], work: &mut Work<'_, '_>) -> String {
        let lost = proof.unserved[0];
        let marks: Vec<_> = members.iter().filter_map(|it| super::words::customer(it)).collect();
        let who = |one: &str| match &marks[..] {
            [only] => format!("{one} {}", self.statement.marks[*only]),
            _ => format!(
                "{one} one of {}",
                listed(&marks.iter().map(|&it| self.statement.marks[it].clone()).collect::<Vec<_>>())
            ),
        };
        let room = |site: usize| &self.statement.rooms[site];
        let edit = match members[0] {
            Demand::Pin(_, site) => format!("Take back the pin to {} of{}", room(*site), who("")),
            Demand::Forbidden(_, site) => format!("Take {} out of `not_room` of{}", room(*site), who("")),
            Demand::Apart(_) => {
                let openings = listed(&self.marks(members.iter().copied()));
                format!("Take back that {openings} share no controller (`[[apart]]`)")
            }
            Demand::Stay(..) => format!("Let{} move: take its row out of the issued revision, or plan afresh", who("")),
            // What longer cables cost is known only once another reader, cable or room is there.
            Demand::Length(customer) => {
                let limit = &self.reach.limits[self.statement.openings[*customer]];
                return limit.cause.way_out(self.statement.marks[*customer].text());
            }
            Demand::Lengths => return "Add a room nearer to some of the others".to_owned(),
            Demand::Limit(site, resource) => return self.raise(proof, *site, *resource, work),
            Demand::Refused(device) => format!("Take {device} out of `refused_devices` of the policy"),
            Demand::Spare => return self.lower_spare(proof, work),
            Demand::Serve(_) => return format!("Leave{} without access control", who("")),
        };
        self.priced(edit, || self.whole(lost, Some(members[0])), work)
    }

    /// An edit with what it brings and costs.
    fn priced(&self, edit: String, relaxed: impl FnOnce() -> Problem, work: &mut Work<'_, '_>) -> String {
        // The whole job is stated anew only where it is small enough, and somebody still waits, for its cost to be found.
        let is_small = self.statement.openings.len() <= MAX_PRICED && self.kept.is_empty();
        let found = if is_small && !work.is_stopped() { self.cost(&relaxed(), work) } else { None };
        let Some((n_more, more)) = found else { return edit };
        let currency = self.survey.settings.money.currency.code();
        let openings = if n_more == 1 { "opening" } else { "openings" };
        let (change, than) = if more < Money::ZERO { (Money::ZERO - more, "less") } else { (more, "more") };
        format!("{edit}: serves {n_more} more {openings}, and the plan costs {currency} {change} {than}")
    }

    /// Raises a limit by the least that makes the members possible.
    fn raise(&self, proof: &Proof, site: usize, resource: Resource, work: &mut Work<'_, '_>) -> String {
        let surveyed = &self.survey.rooms[site];
        let (key, now) = match resource {
            Resource::Controllers => ("max_controllers", surveyed.max_controllers),
            Resource::EnclosureUnits => ("enclosure_places", surveyed.enclosure_places),
            Resource::NetworkPorts => ("network_ports", surveyed.network_ports),
        };
        let now = now.unwrap_or(0);
        let step = self.statement.problem.sites[site].limits[position(resource)] / i64::from(now.max(1));
        let raise = |problem: &mut Problem, more: u32| {
            let limit = &mut problem.sites[site].limits[position(resource)];
            *limit = limit.saturating_add(step.max(1).saturating_mul(i64::from(more)));
        };
        let enough = (1..=MAX_RAISE).find(|&more| self.is_possible(proof, |problem| raise(problem, more), work));
        let Some(more) = enough else { return format!("Raise `{key}` of {}, now {now}", surveyed.id) };
        let edit = format!("Raise `{key}` of {} from {now} to {}", surveyed.id, now.saturating_add(more));
        let relaxed = || {
            let mut problem = self.whole(proof.unserved[0], None);
            raise(&mut problem, more);
            problem
        };
        self.priced(edit, relaxed, work)
    }

    /// Lowers the spare share by the least that makes the members possible.
    fn lower_spare(&self, proof: &Proof, work: &mut Work<'_, '_>) -> String {
        let now = self.survey.settings.spare_percent;
        let lower = |problem: &mut Problem, percent: u32| {
            let spared = problem.families.iter_mut().filter(|family| family.spare != Spare::NONE);
            spared.for_each(|family| family.spare = Spare::percent_of_installed(percent));
        };
        let mut lesser = (0..now).rev().filter(|percent| percent.is_multiple_of(SPARE_STEP));
        let enough = lesser.find(|&percent| self.is_possible(proof, |problem| lower(problem, percent), work));
        let percent = enough.unwrap_or(0);
        let relaxed = || {
            let mut problem = self.whole(proof.unserved[0], None);
            lower(&mut problem, percent);
            problem
        };
        self.priced(format!("Lower `spare_percent` of the policy from {now} to {percent}"), relaxed, work)
    }

    /// Whether the members of a clash are possible after a change.
    fn is_possible(&self, proof: &Proof, change: impl Fn(&mut Problem), work: &mut Work<'_, '_>) -> bool {
        let members: BTreeSet<Demand> = proof.members.iter().cloned().collect();
        let mut problem = self.problem(proof.unserved[0], &members);
        change(&mut problem);
        self.ask(&problem, work) == Feasibility::Yes
    }

    /// The whole job, perhaps without one demand.
    fn whole(&self, lost: usize, left_out: Option<&Demand>) -> Problem {
        let n_customers = self.statement.openings.len();
        let others: Vec<usize> = (0..n_customers).filter(|&it| it != lost).collect();
        let mut kept: BTreeSet<Demand> = self.demands(lost, &others).into_iter().collect();
        // Among the demands only where it matters for who can be served; here it matters for the cost of cable.
        kept.insert(Demand::Lengths);
        if let Some(left_out) = left_out {
            kept.remove(left_out);
        }
        self.problem(lost, &kept)
    }

    /// Openings served in addition and what the plan then costs more; `None` where nothing is gained.
    fn cost(&self, problem: &Problem, work: &mut Work<'_, '_>) -> Option<(usize, Money)> {
        let now = &self.solution;
        let outcome = work.run(problem, Level::Quick, Some(&now.assignment));
        let n_more = now.unserved.len().checked_sub(outcome.unserved.len()).filter(|more| *more > 0)?;
        Some((n_more, Money::from_cents(outcome.cost.checked_sub(now.cost)?)))
    }
}

/// Place of a resource in the limits of a room.
fn position(resource: Resource) -> usize {
    RESOURCES.iter().position(|it| *it == resource).unwrap_or(0)
}
