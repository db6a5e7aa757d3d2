//! place: puts controllers in rooms and every opening on exactly one controller.
//!
//! The solver of `dw-solve` decides; here the site becomes its problem (`statement`), an issued revision is held to
//! (`keep`), seats get labels (`seat`) and what cannot be served is explained (`clash`). The page
//! `docs/calculations/place.md` shows the method.

mod apart;
mod architecture;
mod clash;
mod estimate;
mod growth;
mod keep;
mod limits;
mod plan;
pub mod rules;
mod seat;
mod show;
mod solve;
mod statement;
mod tell;
mod verify;
mod ways;

use std::collections::BTreeMap;

use dw_core::{Money, OpeningId, RoomId};
use dw_job::Job;
use dw_job::model::ArrangementKind;
use dw_solve::location::{Choice, Level};

pub use growth::{Beyond, Growth, Moved, growth};
pub use plan::*;
pub use verify::verify;

use self::architecture::Compared;
use self::clash::Clashes;
use self::estimate::Estimate;
use self::keep::Kept;
use self::solve::{Solution, Work, best};
use self::statement::Statement;
use crate::equip::Arrangements;
use crate::route::Reach;
use crate::survey::Survey;
use crate::{Cx, Watch};

/// Places controllers and gives every opening its room, controller and ports at the least cost found.
///
/// `cost = cable + rooms in use + controllers + what arrangements cost at openings beyond the cheapest + network ports where
/// short`, all in the money of the catalogue over the years counted; the bound is proven for this data. The arrangement of
/// each opening is chosen with its room.
/// Unless a fresh plan is asked for, an opening of the issued revision keeps arrangement, room, controller, number and port
/// while that is possible. `watch` hears of the best plan so far and may stop the search.
///
/// Raises `PLC-001` to `PLC-010`.
pub fn place(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    arrangements: &Arrangements,
    reach: &Reach,
    ask: Ask<'_>,
    watch: &mut Watch<'_>,
) -> Placement {
    let estimate = Estimate::new(cx.catalogue, &arrangements.whole_life);
    let statement = Statement::new(cx, job, survey, arrangements, reach, &estimate);
    let mut work = Work::new(ask.effort, watch);
    let mut kept = if ask.fresh { Kept::default() } else { Kept::new(job, &statement) };
    let (solution, architecture) = cheapest(&statement, &mut kept, &mut work);
    let staying_put = if kept.is_empty() { None } else { staying_put(&statement, &solution, &mut work) };
    let refused = if solution.unserved.is_empty() { BTreeMap::new() } else { statement.refused(cx, ask, &estimate) };
    let clashes = Clashes::new(&statement, survey, reach, &kept, &solution).refusing(refused);
    let (proven, unexplained) = clashes.tell(&mut work);
    let mut clashes = tell::of_lost(cx, survey, reach, &statement);
    tell::of_clashes(cx, &proven);
    tell::of_unserved(cx, survey, &statement, &solution, &unexplained);
    clashes.extend(proven);
    tell::of_revision(cx, survey, &statement, &solution, &kept, staying_put);
    let price_of_limits =
        if kept.is_empty() { limits::price_of_limits(&statement, &solution, &mut work) } else { None };
    tell::of_limits(cx, survey, &solution, price_of_limits);
    tell::of_figures(cx, &statement);
    let apart_costs = if kept.is_empty() { apart::price(&statement, &solution, &mut work) } else { None };
    verify::reprice(cx, &statement, &kept, &solution);
    let placement = Placement {
        clashes,
        staying_put,
        architecture,
        apart_costs,
        stopped: work.is_stopped(),
        ..seated(job, survey, reach, &statement, &kept, &solution)
    };
    tell::of_network(cx, survey, &statement, &solution, &placement);
    tell::of_stop(cx, survey, &placement);
    estimate.show(cx);
    show::show(cx, survey, &placement);
    apart::show(cx, &placement);
    show::show_arrangements(cx, survey, &statement, &solution);
    placement
}

/// The plan for a job after a small edit, found in little time from where openings stood before.
///
/// It keeps every limit and pin that [`place`] keeps, but explains nothing: no clash, no price of limits or of staying
/// put, no workings. Raises `PLC-001`, `PLC-002`, `PLC-004`, `PLC-006` and `PLC-007`.
pub fn preview(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    arrangements: &Arrangements,
    reach: &Reach,
    previous: &Previous,
) -> Placement {
    let estimate = Estimate::new(cx.catalogue, &arrangements.whole_life);
    let statement = Statement::new(cx, job, survey, arrangements, reach, &estimate);
    let mut kept = Kept::new(job, &statement);
    let mut hear = crate::unwatched;
    let mut watch = Watch::new(&mut hear);
    let start: Vec<Option<Choice>> = (0..statement.marks.len()).map(|it| statement.choice_at(it, previous)).collect();
    let solution = best(&statement, &mut kept, Some(&start), &mut Work::new(Level::Quick, &mut watch));
    tell::of_lost(cx, survey, reach, &statement);
    tell::of_unserved(cx, survey, &statement, &solution, &solution.unserved);
    tell::of_revision(cx, survey, &statement, &solution, &kept, None);
    tell::of_figures(cx, &statement);
    seated(job, survey, reach, &statement, &kept, &solution)
}

/// What is asked of placement beside the job.
#[derive(Clone, Copy)]
pub struct Ask<'a> {
    /// Plan anew even where an issued revision says where openings stand.
    pub fresh: bool,
    /// How hard to look for a cheaper plan.
    pub effort: Level,
    /// What the openings would be fitted with if no device were refused; asked only to explain a clash.
    pub unrefused: &'a dyn Fn() -> Arrangements,
}

/// How each opening was served in an earlier plan.
pub type Previous = BTreeMap<OpeningId, Stood>;

/// How an opening was served in an earlier plan.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stood {
    /// Room.
    pub room: RoomId,
    /// How it was arranged.
    pub arrangement: ArrangementKind,
}

/// The placement of a solution, without what is told about it.
fn seated(
    job: &Job,
    survey: &Survey,
    reach: &Reach,
    statement: &Statement,
    kept: &Kept,
    solution: &Solution,
) -> Placement {
    let mut placement = Placement {
        controllers: controllers(statement, solution),
        served: served(survey, reach, statement, kept, solution),
        unserved: unserved(survey, statement, solution),
        cost: Money::from_cents(solution.cost),
        bound: Money::from_cents(solution.bound),
        gap: gap(solution),
        clashes: Vec::new(),
        staying_put: None,
        architecture: None,
        apart: Vec::new(),
        apart_costs: None,
        stopped: false,
    };
    placement.apart = apart::told(job, &placement);
    placement
}

/// Times the plan of another architecture becomes the plan: each begins a new comparison, which may find another one.
const MAX_ROUNDS: usize = 3;

/// The best plan of any architecture found, beside the others.
fn cheapest(statement: &Statement, kept: &mut Kept, work: &mut Work<'_, '_>) -> (Solution, Option<Architecture>) {
    let mut solution = best(statement, kept, None, work);
    let mut compared = Compared::new(statement, kept, &solution, work);
    for _ in 0..MAX_ROUNDS {
        let Some(better) = compared.better(statement, kept, &solution) else { break };
        solution = best(statement, kept, Some(better), work);
        compared = Compared::new(statement, kept, &solution, work);
    }
    let architecture = compared.architecture(statement, kept, &solution);
    (solution, architecture)
}

/// (cost - bound) / cost; 0 for a plan that costs nothing.
fn gap(solution: &Solution) -> f64 {
    let gap = (solution.cost - solution.bound) as f64 / solution.cost as f64;
    if gap.is_finite() { gap } else { 0.0 }
}

/// What holding to the issued revision costs more than a fresh plan; `None` when the two serve different openings.
fn staying_put(statement: &Statement, solution: &Solution, work: &mut Work<'_, '_>) -> Option<Money> {
    let fresh = best(statement, &mut Kept::default(), Some(&solution.assignment), work);
    let comparable = fresh.unserved == solution.unserved;
    comparable.then(|| Money::from_cents((solution.cost - fresh.cost).max(0)))
}

/// Label of a controller.
fn label(room: &RoomId, number: u32) -> String {
    format!("{room}/C{number}")
}

fn controllers(statement: &Statement, solution: &Solution) -> Vec<PlacedController> {
    let mut there: BTreeMap<(usize, usize, usize), u32> = BTreeMap::new();
    let placed = solution.units.iter().map(|unit| {
        let key = (unit.site, unit.family, unit.model);
        let left = there.entry(key).or_insert_with(|| statement.already(unit.site, unit.family, unit.model));
        let kept = *left > 0;
        *left = left.saturating_sub(1);
        let room = statement.rooms[unit.site].clone();
        let mark = |customer: &Option<usize>| customer.map(|customer| statement.marks[customer].clone());
        PlacedController {
            label: label(&room, unit.number),
            room,
            device: statement.models[unit.family][unit.model].clone(),
            number: unit.number,
            ports: unit.ports.iter().map(mark).collect(),
            kept,
        }
    });
    placed.collect()
}

fn served(survey: &Survey, reach: &Reach, statement: &Statement, kept: &Kept, solution: &Solution) -> Vec<Served> {
    let mut seats = vec![None; statement.openings.len()];
    for (idx, unit) in solution.units.iter().enumerate() {
        for (port, customer) in unit.ports.iter().enumerate().rev() {
            if let Some(customer) = customer {
                seats[*customer] = Some((idx, port));
            }
        }
    }
    let serve = |(customer, choice): (usize, &Option<Choice>)| {
        let choice = (*choice)?;
        let opening = statement.openings[customer];
        let room = statement.room_of(choice.site);
        let length_m = reach.lengths[opening].iter().find(|length| length.0 == room)?.1;
        Some(Served {
            mark: survey.openings[opening].mark.clone(),
            room: statement.rooms[room].clone(),
            controller: seats[customer].map(|seat| seat.0),
            first_port: seats[customer].map_or(0, |seat| u32::try_from(seat.1 + 1).unwrap_or(0)),
            length_m,
            fixed: statement.pins.contains_key(&customer) || kept.choices.contains_key(&customer),
            arrangement: statement.ways[customer][choice.variant].kind,
            way: statement.leg(customer, choice).map_or(0, |leg| leg.arrangement),
        })
    };
    solution.assignment.iter().enumerate().filter_map(serve).collect()
}

fn unserved(survey: &Survey, statement: &Statement, solution: &Solution) -> Vec<OpeningId> {
    let lost = statement.lost.iter().map(|lost| survey.openings[lost.opening].mark.clone());
    let mut all: Vec<OpeningId> =
        lost.chain(solution.unserved.iter().map(|&customer| statement.marks[customer].clone())).collect();
    all.sort();
    all
}

#[cfg(test)]
mod tests;
