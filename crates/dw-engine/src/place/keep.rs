//! What stays as issued: openings keep their room, controller, number and port while that is possible.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::OpeningId;
use dw_job::Job;
use dw_job::model::Issued;
use dw_solve::location::{Choice, Problem, Stock, Variant};

use super::statement::Statement;
use crate::equip::arrangement_words;

/// Seats of an issued revision that stay.
#[derive(Debug, Default)]
pub(super) struct Kept {
    /// Variant and site of each customer that stays.
    pub(super) choices: BTreeMap<usize, Choice>,
    /// Controller and first port (from 0) of each customer that stays on one.
    pub(super) seats: BTreeMap<usize, ((usize, u32), u32)>,
    /// Controllers that stay, by site and running number: family and model.
    pub(super) controllers: BTreeMap<(usize, u32), (usize, usize)>,
    /// Highest number issued in each room.
    pub(super) numbers: BTreeMap<usize, u32>,
    /// Customers that were issued and cannot stay, with the reason.
    pub(super) moved: BTreeMap<usize, String>,
    /// Where each customer stood as issued.
    pub(super) issued: BTreeMap<usize, Issued>,
}

impl Kept {
    pub(super) fn new(job: &Job, statement: &Statement) -> Self {
        let customers: BTreeMap<&OpeningId, usize> =
            statement.marks.iter().enumerate().map(|(customer, mark)| (mark, customer)).collect();
        let mut kept = Self::default();
        let mut taken: BTreeSet<((usize, u32), u32)> = BTreeSet::new();
        for issued in &job.issued {
            if let (Some(room), Some(number)) = (&issued.room, issued.number)
                && let Some(site) = statement.site_of(room)
            {
                let highest = kept.numbers.entry(site).or_default();
                *highest = number.max(*highest);
            }
            let customer = issued.opening.as_ref().and_then(|mark| customers.get(mark)).copied();
            let Some(customer) = customer.filter(|customer| !kept.choices.contains_key(customer)) else { continue };
            kept.issued.entry(customer).or_insert_with(|| issued.clone());
            if let Err(why) = kept.keep(statement, customer, issued, &mut taken) {
                kept.moved.entry(customer).or_insert(why);
            }
        }
        kept
    }

    /// Whether nothing was issued.
    pub(super) fn is_empty(&self) -> bool {
        self.choices.is_empty() && self.moved.is_empty()
    }

    /// Keeps one opening where it was issued, or says why that is not possible.
    fn keep(
        &mut self,
        statement: &Statement,
        customer: usize,
        issued: &Issued,
        taken: &mut BTreeSet<((usize, u32), u32)>,
    ) -> Result<(), String> {
        let room = issued.room.as_ref().ok_or("the issued revision names no room")?;
        let site = statement.site_of(room).ok_or_else(|| format!("{room} is gone"))?;
        if let Some(&pin) = statement.pins.get(&customer).filter(|&&pin| pin != site) {
            return Err(format!("it is pinned to {}", statement.rooms[pin]));
        }
        if statement.forbidden.get(&customer).is_some_and(|sites| sites.contains(&site)) {
            return Err(format!("a pin keeps it out of {room}"));
        }
        // What keeps the arrangement issued from staying says more than that another one is possible.
        let (mut why, mut gone) = (None, None);
        for (number, variant) in statement.problem.customers[customer].variants.iter().enumerate() {
            let Some(arc) = variant.arcs.iter().find(|arc| statement.room_of(arc.site) == site) else { continue };
            let (kind, site) = (statement.ways[customer][number].kind, arc.site);
            if let Some(before) = issued.arrangement.filter(|before| *before != kind) {
                gone = Some(format!("it cannot be served from {room} any more by {}", arrangement_words(before)));
                continue;
            }
            match self.keep_in(statement, customer, variant, (site, issued), taken) {
                Ok(()) => {
                    self.choices.insert(customer, Choice { variant: number, site });
                    return Ok(());
                }
                Err(reason) => why = Some(reason),
            }
        }
        Err(why.or(gone).unwrap_or_else(|| format!("{room} is out of reach now")))
    }

    /// Keeps the controller and ports of an opening in one of its variants, or says why that is not possible.
    fn keep_in(
        &mut self,
        statement: &Statement,
        customer: usize,
        variant: &Variant,
        (site, issued): (usize, &Issued),
        taken: &mut BTreeSet<((usize, u32), u32)>,
    ) -> Result<(), String> {
        if variant.ports == 0 {
            return issued.port.map_or(Ok(()), |_| Err("it sat on a controller before".to_owned()));
        }
        let device = issued.controller.as_ref().ok_or("it had no controller before")?;
        let (number, port) = issued.number.zip(issued.port).ok_or("the issued revision names no port")?;
        let model = statement.models[variant.family].binary_search(device);
        let model = model.map_err(|_| format!("{device} does not suit it any more"))?;
        let ports = statement.problem.families[variant.family].models[model].ports;
        let first = port.checked_sub(1).ok_or("ports count from 1")?;
        if first.saturating_add(variant.ports) > ports {
            let wanted = variant.ports;
            return Err(format!("it needs {wanted} ports from port {port} of {device}, which has {ports}"));
        }
        let controller = (site, number);
        let there = *self.controllers.get(&controller).unwrap_or(&(variant.family, model));
        let wanted: Vec<_> = (first..first + variant.ports).map(|port| (controller, port)).collect();
        if there != (variant.family, model) || wanted.iter().any(|seat| taken.contains(seat)) {
            let room = &statement.rooms[site];
            return Err(format!("controller {number} in {room} serves another opening there"));
        }
        let shares = |other: &&usize| statement.are_apart(customer, **other);
        let beside = self.seats.iter().filter(|seat| seat.1.0 == controller).map(|seat| seat.0).find(shares);
        if let Some(&other) = beside {
            return Err(format!("it must not share a controller with {}", statement.marks[other]));
        }
        taken.extend(wanted);
        self.controllers.insert(controller, there);
        self.seats.insert(customer, (controller, first));
        Ok(())
    }

    /// Lets everything in a room move.
    pub(super) fn release(&mut self, site: usize, why: &str) {
        let here: Vec<usize> = self.choices.iter().filter(|it| it.1.site == site).map(|it| *it.0).collect();
        for customer in here {
            self.choices.remove(&customer);
            self.seats.remove(&customer);
            self.moved.insert(customer, why.to_owned());
        }
        self.controllers.retain(|controller, _| controller.0 != site);
    }

    /// The problem with everything that stays nailed down: its openings have one variant and room, its controllers are there.
    ///
    /// The controllers that stay are paid for by [`Kept::price`], so that the solver sees them as free.
    pub(super) fn nailed(&self, statement: &Statement) -> Problem {
        let mut problem = statement.problem.clone();
        for (&customer, choice) in &self.choices {
            for (number, variant) in problem.customers[customer].variants.iter_mut().enumerate() {
                variant.arcs.retain(|arc| number == choice.variant && arc.site == choice.site);
            }
        }
        for (&(site, family, model), &count) in &self.counts() {
            let more = count.saturating_sub(statement.already(site, family, model));
            if more > 0 {
                problem.families[family].already.push(Stock { site, model, count: more });
            }
        }
        problem
    }

    /// How many controllers stay, by site, family and model.
    pub(super) fn counts(&self) -> BTreeMap<(usize, usize, usize), u32> {
        let mut counts = BTreeMap::new();
        for (&(site, _), &(family, model)) in &self.controllers {
            *counts.entry((site, family, model)).or_default() += 1;
        }
        counts
    }

    /// Price of the controllers that stay, without those on site already.
    pub(super) fn price(&self, statement: &Statement) -> i64 {
        let price = |(&(site, family, model), &count): (&(usize, usize, usize), &u32)| {
            let bought = count.saturating_sub(statement.already(site, family, model));
            statement.problem.families[family].models[model].price.max(0) * i64::from(bought)
        };
        self.counts().iter().map(price).sum()
    }
}

#[cfg(test)]
mod tests {
    use dw_core::Money;
    use dw_job::model::ArrangementKind;

    use super::*;
    use crate::place::tests::with_statement;
    use crate::route::testing::Scene;

    #[test]
    fn the_reason_is_that_of_the_arrangement_issued_and_not_that_another_one_is_possible() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        for mark in ["D-1", "D-2"] {
            scene.opening(mark, "S0", 10.0, 0.0);
            scene.issued(mark, "TR-1", "K4", 1, 1);
        }
        for issued in &mut scene.job.issued {
            issued.arrangement = Some(ArrangementKind::Ports);
        }
        let all = scene.with_units(Money::ZERO);
        let why = |scene: &Scene| with_statement(scene, &all, |it| Kept::new(&scene.job, it).moved);
        assert_eq!(why(&scene)[&1], "controller 1 in TR-1 serves another opening there");
        scene.job.issued[1].arrangement = Some(ArrangementKind::MatchedInController);
        let gone = "it cannot be served from TR-1 any more by readers matched in the controller";
        assert_eq!(why(&scene)[&1], gone);
    }
}
