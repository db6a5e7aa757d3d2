//! The architecture of the whole job, and the runner-up: what the cheapest plans of other arrangements cost and why.
//!
//! Each arrangement that some opening left open is tried for the whole job: wherever an opening admits it, nothing else is
//! allowed, and the rest is planned around it. A plan better than ours becomes ours.

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

/// Openings up to which another architecture gets normal effort; beyond, it is looked for quickly.
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
    /// Tries every arrangement that is left open and not already taken by everybody served who may.
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
                choice.is_some_and(|choice| statement.ways[*customer][choice.variant].kind != kind)
            };
            let limited: Vec<usize> = open.iter().filter(admits).copied().collect();
            if limited.iter().any(differs) {
                let (problem, start) = limit(statement, &nailed, solution, &limited, kind);
                others.push((kind, work.run(&problem, level, Some(&start))));
            }
        }
        Self { open, others }
    }

    /// The best plan that serves more openings, or as many for less.
    pub(super) fn better(&self, statement: &Statement, kept: &Kept, solution: &Solution) -> Option<&[Option<Choice>]> {
        let paid = kept.price(statement);
        let better = self.others.iter().map(|other| &other.1).filter(|outcome| is_better(outcome, paid, solution));
        better.min_by_key(|outcome| rank(outcome, paid)).map(|outcome| outcome.plan.assignment.as_slice())
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
        // A better plan that the rounds of planning did not come to is no runner-up.
        let paid = kept.price(statement);
        let worse = self.others.iter().filter(|(_, outcome)| !is_better(outcome, paid, solution));
        let mut others: Vec<OtherArchitecture> =
            worse.map(|(kind, outcome)| other(statement, kept, solution, *kind, outcome)).collect();
        others.sort_by_key(|other| (other.unserved, other.cost, other.arrangement));
        let arrangements = all.into_iter().filter(|it| it.openings > 0).collect();
        Some(Architecture { name, open_openings: self.open.len(), arrangements, others })
    }
}

/// Openings left out and cost: what plans are ranked by.
fn rank(outcome: &Outcome, paid: i64) -> (usize, i64) {
    (outcome.unserved.len(), outcome.cost.saturating_add(paid))
}

fn is_better(outcome: &Outcome, paid: i64, solution: &Solution) -> bool {
    rank(outcome, paid) < (solution.unserved.len(), solution.cost)
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
        unserved: outcome.unserved.iter().filter(|customer| !solution.unserved.contains(customer)).count(),
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

#[cfg(test)]
mod tests {
    use dw_job::model::ArrangementKind::{OwnUnit, Ports};
    use proptest::prelude::*;

    use super::*;
    use crate::equip::Arrangements;
    use crate::place::tests::with_statement;
    use crate::route::testing::Scene;

    fn cents(euros: i64) -> Money {
        Money::from_cents(euros * 100)
    }

    /// Three doors at one room, one door at another.
    fn scene() -> Scene {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 1_000.0, 0.0);
        for (mark, x) in [("D-1", 10.0), ("D-2", 20.0), ("D-3", 30.0), ("D-4", 1_010.0)] {
            scene.opening(mark, "S0", x, 0.0);
        }
        scene
    }

    fn only(arrangements: &Arrangements, kind: ArrangementKind) -> Arrangements {
        let mut limited = arrangements.clone();
        let least = |ways: &[crate::equip::Arrangement]| ways.iter().map(|way| way.at_opening).min();
        for ways in &mut limited.openings {
            let base = least(ways).unwrap_or(Money::ZERO);
            ways.retain(|way| way.kind == kind);
            for way in ways {
                way.at_opening = way.at_opening - base;
            }
        }
        limited
    }

    #[test]
    fn doors_together_share_a_controller_and_one_alone_gets_a_unit() {
        let scene = scene();
        let (placement, raised) = scene.place_among(&scene.with_units(cents(640)), false);
        assert!(raised.is_empty(), "{raised:?}");
        let kinds: Vec<_> = placement.served.iter().map(|served| served.arrangement).collect();
        assert_eq!(kinds, [Ports, Ports, Ports, OwnUnit]);
        // Cables of 2.30 and 0.60 a metre; a room 480.00, K4 940.00; the unit 640.00 and no room.
        assert_eq!(placement.cost, Money::from_cents(60 * 230 + 48_000 + 94_000 + 64_000 + 600));
        let architecture = placement.architecture.expect("four openings left a choice");
        assert_eq!(architecture.open_openings, 4);
        assert_eq!(
            architecture.name,
            "mixed: 3 with ports on controllers in telecom rooms, 1 with units at the opening"
        );
        let next = architecture.runner_up().expect("both others serve everybody");
        // All on ports: 1.70 more a metre of 10 m, a room and a K1, and no unit.
        assert_eq!((next.arrangement, next.openings_differ), (Ports, 1));
        assert_eq!(next.more, Money::from_cents(1_700 + 48_000 + 42_000 - 64_000));
        assert_eq!(
            next.because,
            "telecom rooms 480.00 more; controllers 420.00 more; cable 17.00 more; devices at openings 640.00 less"
        );
    }

    #[test]
    fn exactly_where_both_cost_the_same_neither_is_dearer() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        // 10 m of 2.30, room and K1 against 10 m of 0.60 and the unit.
        let same = Money::from_cents(2_300 + 48_000 + 42_000 - 600);
        let more = |more: Money| {
            let placement = scene.place_among(&scene.with_units(more), false).0;
            placement.architecture.and_then(|it| it.runner_up().map(|next| (next.arrangement, next.more)))
        };
        assert_eq!(more(same).map(|it| it.1), Some(Money::ZERO));
        let cent = Money::from_cents(1);
        assert_eq!(more(same + cent), Some((OwnUnit, cent)));
        assert_eq!(more(same - cent), Some((Ports, cent)));
    }

    #[test]
    fn an_unserved_opening_makes_no_other_architecture_of_the_plan() {
        // One free network port: one controller of four ports or one unit, and five doors that may have either.
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0).network_ports = Some(1);
        for door in 1..=5 {
            scene.opening(&format!("D-{door}"), "S0", 10.0, 0.0);
        }
        let placement = scene.place_among(&scene.with_units(cents(640)), false).0;
        assert_eq!((placement.served.len(), placement.unserved.len()), (4, 1));
        let architecture = placement.architecture.expect("five openings left a choice");
        let others: Vec<_> = architecture.others.iter().map(|other| (other.arrangement, other.unserved)).collect();
        assert_eq!(others, [(OwnUnit, 3)], "all on ports is the plan itself");
        assert_eq!(architecture.runner_up(), None);
    }

    #[test]
    fn a_plan_begins_from_the_arrangement_of_the_one_before_and_not_only_from_its_room() {
        let scene = scene();
        let all = scene.with_units(cents(640));
        let before = scene.place_among(&all, false).0;
        let begin_at = |previous: &crate::place::Previous| {
            with_statement(&scene, &all, |statement| {
                let kind = |it: usize| {
                    let choice = statement.choice_at(it, previous)?;
                    Some(statement.ways[it][choice.variant].kind)
                };
                (0..statement.marks.len()).map(kind).collect::<Vec<_>>()
            })
        };
        assert_eq!(begin_at(&before.stood()), [Some(Ports), Some(Ports), Some(Ports), Some(OwnUnit)]);
        let mut gone = before.stood();
        for before in gone.values_mut() {
            before.arrangement = ArrangementKind::MatchedInController;
        }
        assert_eq!(begin_at(&gone), [Some(Ports); 4], "an arrangement that is gone leaves the room");
    }

    #[test]
    fn a_plan_that_serves_more_is_better_whatever_it_costs_and_never_a_runner_up() {
        let scene = scene();
        let all = scene.with_units(cents(640));
        with_statement(&scene, &all, |statement| {
            let mut kept = Kept::default();
            let mut hear = crate::unwatched;
            let mut watch = crate::Watch::new(&mut hear);
            let mut work = Work::new(Level::Normal, &mut watch);
            let mut solution = crate::place::solve::best(statement, &mut kept, None, &mut work);
            let compared = Compared::new(statement, &kept, &solution, &mut work);
            assert!(compared.better(statement, &kept, &solution).is_none());
            let others = |solution: &Solution| compared.architecture(statement, &kept, solution).unwrap().others.len();
            assert_eq!(others(&solution), 2);
            // The same plan without its last opening costs less than any other and is worse all the same.
            (solution.assignment[3], solution.unserved, solution.cost) = (None, vec![3], solution.cost - 64_600);
            let better = compared.better(statement, &kept, &solution).expect("both others serve all four");
            assert!(better.iter().all(Option::is_some));
            assert_eq!(others(&solution), 0);
        });
    }

    #[test]
    fn an_opening_without_a_choice_is_no_architecture() {
        assert_eq!(scene().place(false).0.architecture, None);
    }

    #[test]
    fn after_issue_an_opening_keeps_its_arrangement_when_another_becomes_cheaper() {
        let mut scene = scene();
        let first = scene.place_among(&scene.with_units(cents(600)), false).0;
        scene.issue(&first);
        let kinds = |euros: i64, fresh| -> Vec<ArrangementKind> {
            let placement = scene.place_among(&scene.with_units(cents(euros)), fresh).0;
            placement.served.iter().map(|served| served.arrangement).collect()
        };
        assert_eq!(kinds(1, false), [Ports, Ports, Ports, OwnUnit], "units cost next to nothing now");
        assert_eq!(kinds(5_000, false), [Ports, Ports, Ports, OwnUnit], "units cost far too much now");
        assert_eq!(kinds(1, true), [OwnUnit; 4]);
        assert_eq!(kinds(5_000, true), [Ports; 4]);
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(40))]

        #[test]
        fn the_plan_costs_no_more_than_any_single_architecture(
            doors in prop::collection::vec(0.0f64..300.0, 1..12),
            euros in 0i64..1_500,
            spare in prop::sample::select(vec![0u32, 20]),
        ) {
            let mut scene = Scene::new();
            for room in 0..3 {
                scene.room(&format!("TR-{room}"), "S0", 120.0 * f64::from(room), 0.0);
            }
            for (idx, x) in doors.iter().enumerate() {
                scene.opening(&format!("D-{idx}"), "S0", *x, 5.0);
            }
            scene.survey.settings.spare_percent = spare;
            let all = scene.with_units(cents(euros));
            let placement = scene.place_among(&all, false).0;
            for kind in [Ports, OwnUnit] {
                let limited = only(&all, kind);
                let extra: Money = limited.openings.iter().flatten().map(|way| way.at_opening).sum();
                let single = scene.place_among(&limited, false).0;
                // One way alone is its own baseline: what it costs at openings beyond the cheapest comes on top.
                if single.unserved.is_empty() {
                    prop_assert!(placement.cost <= single.cost + extra, "{} and {} + {extra}", placement.cost, single.cost);
                }
            }
            for other in placement.architecture.iter().flat_map(|it| &it.others).filter(|other| other.unserved == 0) {
                prop_assert!(other.more >= Money::ZERO);
                let difference: Money = other.parts.iter().map(|part| part.there - part.here).sum();
                prop_assert_eq!(difference, other.more);
            }
        }
    }
}
