//! Findings of placement.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::Money;

use super::clash::limit_words;
use super::keep::Kept;
use super::limits::PriceOfLimits;
use super::rules::{
    DemandsClash, FigureMissing, MovedSinceIssue, PinOutOfReach, PortsTooFew, RoomFull, RoomLimitCosts, SearchStopped,
    StayingPutCosts, SwitchBought,
};
use super::solve::Solution;
use super::statement::{RESOURCES, Statement, Why};
use super::{Clash, Placement};
use crate::Cx;
use crate::route::Reach;
use crate::survey::Survey;

/// Openings the solver was not asked about; gives a clash for each that a length or a pin keeps out.
pub(super) fn of_lost(cx: &mut Cx<'_>, survey: &Survey, reach: &Reach, statement: &Statement) -> Vec<Clash> {
    let mut clashes = Vec::new();
    for lost in &statement.lost {
        let mark = &survey.openings[lost.opening].mark;
        let limit = &reach.limits[lost.opening];
        let mut demands = Vec::new();
        match &lost.why {
            Why::OutOfReach => {}
            Why::PinOutOfReach(site) => {
                let room = statement.rooms[*site].clone();
                demands.push(format!("{mark} is pinned to {room}"));
                let nearest = reach.lengths[lost.opening].iter().min_by_key(|length| length.1);
                cx.sink.report(&PinOutOfReach {
                    opening: mark.clone(),
                    room,
                    limit: limit.length_m,
                    nearest: nearest.map(|&(site, length)| (statement.rooms[site].clone(), length)),
                });
            }
            Why::Ports { wanted, largest } => {
                let (opening, wanted, largest) = (mark.clone(), *wanted, *largest);
                cx.sink.report(&PortsTooFew { opening, wanted, largest });
                continue;
            }
            Why::NoModel => continue,
        }
        demands.push(format!("cables of {mark} are at most {:.1} long ({})", limit.length_m, limit.because));
        demands.push(format!("{mark} must be served"));
        clashes.push(Clash { demands, openings: vec![mark.clone()] });
    }
    clashes
}

/// Openings no place was found for, with the proof where there is one.
pub(super) fn of_unserved(
    cx: &mut Cx<'_>,
    survey: &Survey,
    statement: &Statement,
    solution: &Solution,
    proofs: &BTreeMap<usize, Clash>,
) {
    for &customer in &solution.unserved {
        let opening = statement.marks[customer].clone();
        if let Some(clash) = proofs.get(&customer) {
            let others = clash.openings.iter().filter(|mark| **mark != opening).cloned().collect();
            cx.sink.report(&DemandsClash { opening, demands: clash.demands.clone(), others });
            continue;
        }
        let sites: BTreeSet<usize> = statement.problem.customers[customer].sites().collect();
        let mut limits = Vec::new();
        for &site in &sites {
            let limited = RESOURCES.iter().zip(&statement.problem.sites[site].limits).filter(|it| *it.1 < i64::MAX);
            limits.extend(limited.map(|it| limit_words(survey, site, *it.0)));
        }
        let rooms = sites.into_iter().map(|site| statement.rooms[site].clone()).collect();
        cx.sink.report(&RoomFull { opening, rooms, limits });
    }
}

/// Divisor of the cost below which staying put is not worth a note: two searches differ by as much (*common practice*).
const WORTH_A_NOTE: i64 = 200;

/// Openings that moved since the issued revision, and what staying costs.
pub(super) fn of_revision(
    cx: &mut Cx<'_>,
    survey: &Survey,
    statement: &Statement,
    solution: &Solution,
    kept: &Kept,
    staying_put: Option<Money>,
) {
    for (&customer, why) in &kept.moved {
        let now = solution.assignment[customer].map(|choice| statement.rooms[choice.site].clone());
        cx.sink.report(&MovedSinceIssue { opening: statement.marks[customer].clone(), now, because: why.clone() });
    }
    if let Some(more) = staying_put.filter(|more| more.cents() > solution.cost / WORTH_A_NOTE) {
        cx.sink.report(&StayingPutCosts {
            more,
            currency: survey.settings.money.currency.clone(),
            openings: kept.choices.len(),
        });
    }
}

/// Limits of rooms that make the plan dearer.
pub(super) fn of_limits(cx: &mut Cx<'_>, survey: &Survey, solution: &Solution, price: Option<PriceOfLimits>) {
    if let Some(price) = price.filter(|price| price.less.cents() > solution.cost / WORTH_A_NOTE) {
        let mut rooms: Vec<_> = price.broken.iter().map(|it| survey.rooms[it.0].id.clone()).collect();
        rooms.dedup();
        let limits = price.broken.iter().map(|it| limit_words(survey, it.0, it.1)).collect();
        cx.sink.report(&RoomLimitCosts {
            rooms,
            limits,
            more: price.less,
            currency: survey.settings.money.currency.clone(),
        });
    }
}

/// Rooms for which a switch is bought because their free network ports are too few.
pub(super) fn of_network(cx: &mut Cx<'_>, survey: &Survey, statement: &Statement, solution: &Solution) {
    for (site, room) in survey.rooms.iter().enumerate() {
        let Some(free) = room.network_ports else { continue };
        let here = solution.assignment.iter().enumerate().filter_map(|(customer, choice)| Some((customer, (*choice)?)));
        let here = here.filter(|(_, choice)| choice.site == site);
        let own = here.filter(|&(customer, choice)| statement.chosen(customer, choice).ports == 0).count();
        let needed = own + solution.units.iter().filter(|unit| unit.site == site).count();
        // Where no switch is offered the ports are a limit, which the solver keeps.
        if needed > free as usize {
            cx.sink.report(&SwitchBought { room: room.id.clone(), needed, free });
        }
    }
}

/// A search that was stopped.
pub(super) fn of_stop(cx: &mut Cx<'_>, survey: &Survey, placement: &Placement) {
    if placement.stopped {
        let currency = survey.settings.money.currency.clone();
        cx.sink.report(&SearchStopped { cost: placement.cost, bound: placement.bound, gap: placement.gap, currency });
    }
}

/// Figures the catalogue lacks.
pub(super) fn of_figures(cx: &mut Cx<'_>, statement: &Statement) {
    for (device, figure) in &statement.lacking {
        cx.sink.report(&FigureMissing { device: device.clone(), figure });
    }
}
