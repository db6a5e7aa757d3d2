//! The architecture of the whole job, and the runner-up: what the cheapest plans of other arrangements cost and why.
//!
//! Each arrangement that some opening left open is tried for the whole job: wherever an opening admits it, nothing else is
//! allowed, and the rest is planned around it. A plan cheaper than ours becomes ours.

use std::collections::BTreeSet;

use dw_core::Money;
use dw_job::model::ArrangementKind;
use dw_solve::location::{Choice, Level, Outcome, Problem};

use super::keep::Kept;
use super::solve::{Solution, Work};
use super::statement::Statement;
use super::ways::Cost;
use super::{Architecture, ArrangementCount, CostPart, OtherArchitecture};
use crate::equip::arrangement_words;

/// Openings up to which another architecture gets as much effort as the plan itself.
const MUCH_EFFORT: usize = 300;

/// Every arrangement, the usual first.
const KINDS: [ArrangementKind; 3] =
    [ArrangementKind::Ports, ArrangementKind::MatchedInController, ArrangementKind::OwnUnit];

/// Plans of other architectures beside a plan.
pub(super) struct Compared {
    open: Vec<usize>,
    others: Vec<(ArrangementKind, Outcome)>,
}

impl Compared {
    /// Tries every arrangement that is left open and not already taken by everybody who may.
    pub(super) fn new(statement: &Statement, kept: &Kept, solution: &Solution, work: &mut Work<'_, '_>) -> Self {
        let nailed = kept.nailed(statement);
        let kinds: Vec<BTreeSet<ArrangementKind>> =
            (0..nailed.customers.len()).map(|customer| kinds(statement, &nailed, customer)).collect();
        let open: Vec<usize> = (0..kinds.len()).filter(|&customer| kinds[customer].len() > 1).collect();
        let level = if kinds.len() <= MUCH_EFFORT { Level::Normal } else { Level::Quick };
        let mut others = Vec::new();
        for kind in KINDS {
            let admits = |customer: &&usize| kinds[**customer].contains(&kind);
            let differs = |customer: &usize| {
                let choice = solution.assignment[*customer];
                choice.is_none_or(|choice| statement.ways[*customer][choice.variant].kind != kind)
            };
            let limited: Vec<usize> = open.iter().filter(admits).copied().collect();
            if limited.iter().any(differs) {
                let (problem, start) = limit(statement, &nailed, solution, &limited, kind);
                others.push((kind, work.run(&problem, level, Some(&start))));
            }
        }
        Self { open, others }
    }

    /// A plan that serves no fewer openings for less.
    pub(super) fn better(&self, statement: &Statement, kept: &Kept, solution: &Solution) -> Option<&[Option<Choice>]> {
        let paid = kept.price(statement);
        let cheaper = self.others.iter().map(|other| &other.1).filter(|outcome| {
            outcome.unserved.len() <= solution.unserved.len() && outcome.cost.saturating_add(paid) < solution.cost
        });
        cheaper.min_by_key(|outcome| outcome.cost).map(|outcome| outcome.plan.assignment.as_slice())
    }

    /// The architecture of a plan beside the others; `None` where no opening left a choice.
    pub(super) fn architecture(&self, statement: &Statement, kept: &Kept, solution: &Solution) -> Option<Architecture> {
        if self.open.is_empty() {
            return None;
        }
        let kind = |customer: usize| Some(statement.ways[customer][solution.assignment[customer]?.variant].kind);
        let count = |kind_of: ArrangementKind, customers: &mut dyn Iterator<Item = usize>| {
            customers.filter(|&customer| kind(customer) == Some(kind_of)).count()
        };
        let all = KINDS.map(|arrangement| {
            let openings = count(arrangement, &mut (0..solution.assignment.len()));
            ArrangementCount { arrangement, openings }
        });
        let of_open = KINDS.map(|arrangement| (arrangement, count(arrangement, &mut self.open.iter().copied())));
        let of_open: Vec<_> = of_open.into_iter().filter(|it| it.1 > 0).collect();
        let name = match &of_open[..] {
            [(only, _)] => arrangement_words(*only).to_owned(),
            several => {
                let named = several.iter().map(|(kind, n)| format!("{n} with {}", arrangement_words(*kind)));
                format!("mixed: {}", named.collect::<Vec<_>>().join(", "))
            }
        };
        let mut others: Vec<OtherArchitecture> =
            self.others.iter().map(|(kind, outcome)| other(statement, kept, solution, *kind, outcome)).collect();
        others.sort_by_key(|other| (other.unserved, other.cost, other.arrangement));
        let arrangements = all.into_iter().filter(|it| it.openings > 0).collect();
        Some(Architecture { name, open_openings: self.open.len(), arrangements, others })
    }
}

/// The arrangements a customer can still be served in.
fn kinds(statement: &Statement, nailed: &Problem, customer: usize) -> BTreeSet<ArrangementKind> {
    let variants = nailed.customers[customer].variants.iter().zip(&statement.ways[customer]);
    variants.filter(|(variant, _)| !variant.arcs.is_empty()).map(|(_, way)| way.kind).collect()
}

/// The problem with some customers limited to one arrangement, and what of a plan holds there.
fn limit(
    statement: &Statement,
    nailed: &Problem,
    solution: &Solution,
    limited: &[usize],
    kind: ArrangementKind,
) -> (Problem, Vec<Option<Choice>>) {
    let (mut problem, mut start) = (nailed.clone(), solution.assignment.clone());
    for &customer in limited {
        let ways = &statement.ways[customer];
        for (variant, way) in problem.customers[customer].variants.iter_mut().zip(ways) {
            if way.kind != kind {
                variant.arcs.clear();
            }
        }
        start[customer] = start[customer].filter(|choice| ways[choice.variant].kind == kind);
    }
    (problem, start)
}

fn other(
    statement: &Statement,
    kept: &Kept,
    solution: &Solution,
    arrangement: ArrangementKind,
    outcome: &Outcome,
) -> OtherArchitecture {
    let kind = |customer: usize, choice: &Choice| statement.ways[customer][choice.variant].kind;
    let pairs = solution.assignment.iter().zip(&outcome.plan.assignment).enumerate();
    let differ = pairs.filter_map(|(customer, (here, there))| {
        Some(kind(customer, here.as_ref()?) != kind(customer, there.as_ref()?)).filter(|differ| *differ)
    });
    let openings_differ = differ.count();
    let cost = Money::from_cents(outcome.cost.saturating_add(kept.price(statement)));
    let here = Parts::of(statement, &solution.assignment, Money::from_cents(solution.cost));
    let there = Parts::of(statement, &outcome.plan.assignment, cost);
    let parts = here.beside(&there);
    OtherArchitecture {
        arrangement,
        cost,
        more: cost - Money::from_cents(solution.cost),
        openings_differ,
        unserved: outcome.unserved.len().saturating_sub(solution.unserved.len()),
        because: because(&parts),
        parts,
    }
}

/// What the cost of a plan is made of.
struct Parts {
    openings: Cost,
    rooms: Money,
    controllers: Money,
}

impl Parts {
    fn of(statement: &Statement, assignment: &[Option<Choice>], total: Money) -> Self {
        let legs = assignment.iter().enumerate().filter_map(|(customer, choice)| statement.leg(customer, (*choice)?));
        let mut openings = Cost::default();
        let mut used = BTreeSet::new();
        for leg in legs {
            openings.cable += leg.cost.cable;
            openings.at_opening += leg.cost.at_opening;
            openings.network += leg.cost.network;
            used.insert(leg.site);
        }
        let rooms = Money::from_cents(used.into_iter().map(|site| statement.problem.sites[site].fixed).sum());
        Self { controllers: total - openings.total() - rooms, openings, rooms }
    }

    fn beside(&self, other: &Self) -> Vec<CostPart> {
        let rows = [
            ("cable", self.openings.cable, other.openings.cable),
            ("devices at openings", self.openings.at_opening, other.openings.at_opening),
            ("network ports", self.openings.network, other.openings.network),
            ("controllers", self.controllers, other.controllers),
            ("telecom rooms", self.rooms, other.rooms),
        ];
        rows.into_iter().map(|(what, here, there)| CostPart { what, here, there }).collect()
    }
}

/// "devices at openings 900.00 more; controllers 450.00 less".
fn because(parts: &[CostPart]) -> String {
    let mut rows: Vec<(Money, String)> = Vec::new();
    for part in parts {
        let (more, less) = (part.there - part.here, part.here - part.there);
        if more > Money::ZERO {
            rows.push((more, format!("{} {more} more", part.what)));
        } else if less > Money::ZERO {
            rows.push((more, format!("{} {less} less", part.what)));
        }
    }
    rows.sort_by_key(|row| std::cmp::Reverse(row.0));
    rows.into_iter().map(|row| row.1).collect::<Vec<_>>().join("; ")
}
