//! Openings that a person demands on controllers of their own: one failure must not take them together.
//!
//! The solver keeps them apart while it plans; here is told where they hang, and what that costs.

use std::collections::BTreeMap;

use dw_core::{FigureId, Input, Money, OpeningId, Working};
use dw_job::Job;
use dw_solve::location::Level;

use super::solve::{Solution, Work};
use super::statement::Statement;
use super::{Placement, SharesNone};
use crate::Cx;

/// Openings up to which a second plan is made to price the demands, as for the limits of rooms.
const MAX_OPENINGS: usize = 300;

/// The groups of the problem's customers that must not share a controller, one for each record of the job.
pub(super) fn groups(job: &Job, marks: &[OpeningId]) -> Vec<Vec<usize>> {
    let customers: BTreeMap<&OpeningId, usize> = marks.iter().enumerate().map(|(idx, mark)| (mark, idx)).collect();
    let group = |openings: &Vec<OpeningId>| openings.iter().filter_map(|mark| customers.get(mark).copied()).collect();
    job.apart.iter().map(|apart| group(&apart.openings)).collect()
}

/// What staying apart costs: the plan beside the best one found without these demands, not below 0. `None` where nobody must stay
/// apart, somebody is unserved, or the site is large.
pub(super) fn price(statement: &Statement, solution: &Solution, work: &mut Work<'_, '_>) -> Option<Money> {
    let is_asked = statement.problem.apart.iter().any(|group| group.len() > 1);
    if !is_asked || statement.openings.len() > MAX_OPENINGS || !solution.unserved.is_empty() {
        return None;
    }
    let mut free = statement.problem.clone();
    free.apart.clear();
    let outcome = work.run(&free, Level::Normal, Some(&solution.assignment));
    Some(Money::from_cents((solution.cost - outcome.cost).max(0)))
}

/// Which controllers the openings of each record hang on.
pub(super) fn told(job: &Job, placement: &Placement) -> Vec<SharesNone> {
    let hangs_on = |mark: &OpeningId| {
        let served = placement.of(mark)?;
        Some(placement.controllers[served.controller?].label.clone())
    };
    let told = job.apart.iter().filter(|apart| apart.openings.len() > 1).map(|apart| {
        let mut openings = apart.openings.clone();
        openings.sort();
        openings.dedup();
        let controllers = openings.iter().map(hangs_on).collect();
        SharesNone { openings, controllers, because: apart.because.clone() }
    });
    told.collect()
}

/// Shows what staying apart costs.
pub(super) fn show(cx: &mut Cx<'_>, placement: &Placement) {
    let Some(more) = placement.apart_costs else { return };
    let count = u32::try_from(placement.apart.len()).unwrap_or(u32::MAX);
    cx.sink.show(Working {
        figure: FigureId::new("job", "", "apart_costs"),
        title: "What the openings that share no controller cost more",
        value: more.into(),
        unit: "",
        formula: "cost of the plan - cost of the best plan found without these demands, not below 0",
        inputs: vec![Input::new("demands", count, ""), Input::new("cost", placement.cost, "")],
        source: "single-source capacitated facility location; docs/calculations/place.md",
    });
}
