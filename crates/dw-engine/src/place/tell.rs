//! Findings of placement.

use std::collections::BTreeSet;

use dw_core::{Id, Money};
use dw_job::model::Issued;
use dw_solve::location::Variant;

use super::clash::limit_words;
use super::keep::Kept;
use super::limits::PriceOfLimits;
use super::rules::{
    DemandsClash, FigureMissing, MovedSinceIssue, PinOutOfReach, PortsTooFew, RoomFull, RoomLimitCosts, SearchStopped,
    StayingPutCosts, SwitchBought,
};
use super::seat::Unit;
use super::solve::{Solution, taken};
use super::statement::{NETWORK, RESOURCES, Statement, Why};
use super::{Clash, Demanded, Placement, label};
use crate::Cx;
use crate::route::{Reach, links};
use crate::survey::Survey;

/// Openings the solver was not asked about; gives a clash for each that a length or a pin keeps out.
pub(super) fn of_lost(cx: &mut Cx<'_>, survey: &Survey, reach: &Reach, statement: &Statement) -> Vec<Clash> {
    let mut clashes = Vec::new();
    for lost in &statement.lost {
        let mark = &survey.openings[lost.opening].mark;
        let limit = &reach.limits[lost.opening];
        let one = |text, way_out| Demanded { text, openings: vec![mark.clone()], way_out };
        let mut demands = Vec::new();
        match &lost.why {
            Why::OutOfReach => {}
            Why::PinOutOfReach(site) => {
                let room = statement.rooms[*site].clone();
                demands
                    .push(one(format!("{mark} is pinned to {room}"), format!("Take back the pin to {room} of {mark}")));
                let nearest = reach.lengths[lost.opening].iter().min_by_key(|length| length.1);
                cx.sink.report(&PinOutOfReach {
                    opening: mark.clone(),
                    room,
                    limit: limit.length_m,
                    way_out: limit.cause.way_out(mark.text()),
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
        demands.push(one(
            format!("cables of {mark} are at most {:.1} long ({})", limit.length_m, limit.because),
            limit.cause.way_out(mark.text()),
        ));
        let headline = demands.iter().map(|demand| demand.text.clone()).collect::<Vec<_>>().join(", ");
        demands.push(one(format!("{mark} must be served"), format!("Leave {mark} without access control")));
        let marks = vec![mark.clone()];
        let is_irreducible = true;
        clashes.push(Clash { unserved: marks.clone(), headline, demands, openings: marks, is_irreducible });
    }
    clashes
}

/// Demands that clash.
pub(super) fn of_clashes(cx: &mut Cx<'_>, clashes: &[Clash]) {
    for clash in clashes {
        cx.sink.report(&DemandsClash { clash: clash.clone() });
    }
}

/// Openings no place was found for, without a proof that there is none: how full the rooms within reach are.
pub(super) fn of_unserved(
    cx: &mut Cx<'_>,
    survey: &Survey,
    statement: &Statement,
    solution: &Solution,
    unexplained: &[usize],
) {
    let models = solution.units.iter().map(|unit| ((unit.site, unit.family, unit.model), 1));
    let taken = taken(statement, &solution.assignment, models);
    for &customer in unexplained {
        let all = statement.problem.customers[customer].sites();
        let sites: BTreeSet<usize> = all.map(|site| statement.room_of(site)).collect();
        let words = sites.iter().map(|&site| full(survey, statement, solution, &taken[site], (customer, site)));
        let rooms = sites.iter().map(|&site| statement.rooms[site].clone());
        let rooms = rooms.zip(words).collect();
        cx.sink.report(&RoomFull { opening: statement.marks[customer].clone(), rooms });
    }
}

/// Which limits of a room leave no place for one more controller or unit that would serve a customer, in words.
fn full(
    survey: &Survey,
    statement: &Statement,
    solution: &Solution,
    taken: &[i64],
    (customer, site): (usize, usize),
) -> String {
    let variants = &statement.problem.customers[customer].variants;
    let needs = |resource: usize| {
        let of_models = |it: &Variant| {
            let models = statement.problem.families[it.family].models.iter().filter(|model| model.ports >= it.ports);
            models.map(|model| model.uses.get(resource).copied().unwrap_or(0)).min().unwrap_or(0)
        };
        let of_variant =
            |it: &Variant| it.uses.get(resource).copied().unwrap_or(0) + if it.ports == 0 { 0 } else { of_models(it) };
        variants.iter().map(of_variant).min().unwrap_or(0)
    };
    let limits = &statement.problem.sites[site].limits;
    let binding = RESOURCES.iter().enumerate().filter(|&(at, _)| taken[at].saturating_add(needs(at)) > limits[at]);
    let mut words: Vec<String> = binding.map(|(_, resource)| limit_words(survey, site, *resource)).collect();
    let here = || solution.units.iter().filter(|unit| unit.site == site);
    let ports = here().map(|unit| unit.ports.len()).sum::<usize>();
    let used = here().map(|unit| unit.ports.iter().flatten().count()).sum::<usize>();
    words.push(format!("{used} of {ports} ports there taken"));
    words.join(", ")
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
        let now = solution.assignment[customer].map(|choice| stand_now(statement, solution, customer, choice.site));
        let before = kept.issued.get(&customer).map(stood).unwrap_or_default();
        let opening = statement.marks[customer].clone();
        cx.sink.report(&MovedSinceIssue { opening, before, now, because: why.clone() });
    }
    if let Some(more) = staying_put.filter(|more| more.cents() > solution.cost / WORTH_A_NOTE) {
        cx.sink.report(&StayingPutCosts {
            more,
            currency: survey.settings.money.currency.clone(),
            openings: kept.choices.len(),
        });
    }
}

/// Where an opening stood as issued: label, model and port of its controller, or its room.
fn stood(issued: &Issued) -> String {
    let room = issued.room.as_ref().map_or_else(String::new, ToString::to_string);
    let (Some(number), Some(port)) = (issued.number, issued.port) else { return room };
    let model = issued.controller.as_ref().map_or_else(String::new, |model| format!(" ({model})"));
    format!("{room}/C{number}{model} port {port}")
}

/// The same for where it stands now.
fn stand_now(statement: &Statement, solution: &Solution, customer: usize, site: usize) -> String {
    let sits = |unit: &&Unit| unit.ports.contains(&Some(customer));
    let Some(unit) = solution.units.iter().find(sits) else { return statement.rooms[site].to_string() };
    let port = unit.ports.iter().position(|port| *port == Some(customer)).unwrap_or(0) + 1;
    let model = &statement.models[unit.family][unit.model];
    format!("{} ({model}) port {port}", label(&statement.rooms[unit.site], unit.number))
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

/// Rooms for which a switch is bought because their free network ports are too few: counted as price counts them.
pub(super) fn of_network(
    cx: &mut Cx<'_>,
    survey: &Survey,
    statement: &Statement,
    solution: &Solution,
    placement: &Placement,
) {
    let uplinks = links::uplinks_to(survey, placement.served.iter().map(|served| &served.room));
    for (site, room) in survey.rooms.iter().enumerate() {
        let Some(free) = room.network_ports else { continue };
        let here = solution.assignment.iter().enumerate().filter_map(|(customer, choice)| Some((customer, (*choice)?)));
        let here = here.filter(|(_, choice)| statement.room_of(choice.site) == site);
        let ports = |(customer, choice)| statement.chosen(customer, choice).uses.get(NETWORK).copied().unwrap_or(0);
        let own = usize::try_from(here.map(ports).sum::<i64>()).unwrap_or(0);
        // A link between rooms takes a port at both of its ends.
        let ends = uplinks.iter().flat_map(|(to, uplink)| [*to, &uplink.from]).filter(|end| **end == room.id).count();
        let new = placement.controllers.iter().filter(|it| it.room == room.id && it.takes_port(cx.catalogue)).count();
        let needed = own + ends + new;
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
