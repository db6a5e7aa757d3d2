//! What becomes of the plan when every route turns out longer than measured.
//!
//! Lengths from plans are estimates; the placement is solved once more with all routes longer by the policy's share, from
//! the present plan and with little effort. Every way to arrange an opening stays open, so that one at the end of its reach may
//! be arranged otherwise; power is not planned anew, because it judges every lock over a longer run by itself.

use std::collections::BTreeSet;

use dw_core::{FigureId, Id, Input, Metres, Money, OpeningId, RoomId, Working};
use dw_job::Job;
use dw_solve::location::{Choice, Level};
use schemars::JsonSchema;
use serde::Serialize;

use super::estimate::Estimate;
use super::keep::Kept;
use super::rules::ReachTooThin;
use super::solve::{Work, best};
use super::statement::Statement;
use super::{Placement, seated};
use crate::equip::Arrangements;
use crate::route::{Reach, longer};
use crate::survey::Survey;
use crate::{Cx, Step, Watch};

/// Divisor of the cost by which a new plan must be cheaper than the present one to count: two searches differ by as
/// much (*common practice*).
const WORTH_MOVING: i64 = 200;

/// The plan when every route is longer.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Growth {
    /// How much longer, as a share; drops and slack are not.
    pub share: f64,
    /// Cost of the plan as it is.
    pub now: Money,
    /// Cost of the same plan with longer cable; `None` when a run would pass its limit.
    pub unchanged: Option<Money>,
    /// Cost of the plan then, without what is unserved: the same one, unless another is cheaper by more than half a percent.
    pub then: Money,
    /// No plan that serves the same openings would cost less then.
    pub bound: Money,
    /// Openings served from another room then.
    pub moved: Vec<Moved>,
    /// Openings served from the same room then, and arranged otherwise.
    pub rearranged: Vec<OpeningId>,
    /// Rooms that open.
    pub opened: Vec<RoomId>,
    /// Rooms that close.
    pub closed: Vec<RoomId>,
    /// Runs to the present room that would pass their limit.
    pub beyond: Vec<Beyond>,
    /// Openings served now and by no room then.
    pub unserved: Vec<OpeningId>,
}

/// An opening that changes its room.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Moved {
    /// Mark.
    pub mark: OpeningId,
    /// Room now.
    pub from: RoomId,
    /// Room then.
    pub to: RoomId,
}

/// A run that passes its limit.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Beyond {
    /// Mark.
    pub mark: OpeningId,
    /// Room it is served from now.
    pub room: RoomId,
    /// Length now.
    pub length_m: Metres,
    /// Longest cable.
    pub limit_m: Metres,
    /// What sets the limit.
    pub because: String,
    /// The edit by which the run may be longer, or need not.
    pub way_out: String,
    /// Room that would serve it then; `None` when none is within its limit or has a place.
    pub then: Option<RoomId>,
    /// Rooms within the limit of some way to arrange it then.
    pub rooms_within: usize,
}

/// Plans once more with every route longer by the policy's share.
///
/// `length = (length - ends) · (1 + share) + ends`, with drops and slack in `ends`. The present plan is kept where it is still
/// possible and within half a percent of the new one. Raises `PLC-013` (out of reach of every room then).
#[expect(clippy::too_many_arguments, reason = "the inputs of placement, and the plan it gave")]
pub fn growth(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    arrangements: &Arrangements,
    placement: &Placement,
    reach: &Reach,
    fresh: bool,
    watch: &mut Watch<'_>,
) -> Growth {
    let share = survey.settings.length_growth_share;
    let grown = longer(cx, job, survey, arrangements, reach, share);
    let unchanged = unchanged(survey, placement, reach, &grown);
    let (replanned, bound) = replan(cx, job, survey, arrangements, placement, &grown, fresh, watch);
    let worth = placement.cost.cents() / WORTH_MOVING;
    let stays = unchanged.filter(|cost| cost.cents() <= replanned.cost.cents().saturating_add(worth));
    let then = if stays.is_some() { placement } else { &replanned };
    let beyond = beyond(survey, placement, then, reach, &grown);
    let rooms = |placement: &Placement| -> BTreeSet<RoomId> {
        placement.served.iter().map(|served| served.room.clone()).collect()
    };
    let (before, after) = (rooms(placement), rooms(then));
    let growth = Growth {
        share,
        now: placement.cost,
        unchanged,
        then: stays.unwrap_or(replanned.cost),
        bound,
        moved: moved(placement, then),
        rearranged: rearranged(placement, then),
        opened: after.difference(&before).cloned().collect(),
        closed: before.difference(&after).cloned().collect(),
        beyond,
        unserved: then.unserved.iter().filter(|mark| placement.of(mark).is_some()).cloned().collect(),
    };
    for run in growth.beyond.iter().filter(|run| run.then.is_none()) {
        cx.sink.report(&ReachTooThin {
            opening: run.mark.clone(),
            room: run.room.clone(),
            length: run.length_m,
            limit: run.limit_m,
            because: run.because.clone(),
            way_out: run.way_out.clone(),
            rooms_within: run.rooms_within,
            percent: share * 100.0,
        });
    }
    show(cx, &growth);
    growth
}

/// The plan found with longer routes, and the bound on its cost.
#[expect(clippy::too_many_arguments, reason = "the inputs of placement, and the plan to begin from")]
fn replan(
    cx: &Cx<'_>,
    job: &Job,
    survey: &Survey,
    arrangements: &Arrangements,
    placement: &Placement,
    grown: &Reach,
    fresh: bool,
    watch: &mut Watch<'_>,
) -> (Placement, Money) {
    let estimate = Estimate::new(cx.catalogue, &arrangements.whole_life);
    let statement = Statement::new(cx, job, survey, arrangements, grown, &estimate);
    let mut kept = if fresh { Kept::default() } else { Kept::new(job, &statement) };
    let previous = placement.stood();
    let start: Vec<Option<Choice>> = (0..statement.marks.len()).map(|it| statement.choice_at(it, &previous)).collect();
    // Whoever watches hears that work goes on, and not of plans for lengths the site does not have.
    let mut hear = |step: Step| watch.tell(Step { plan: None, ..step });
    let mut quiet = Watch::new(&mut hear);
    let solution = best(&statement, &mut kept, Some(&start), &mut Work::new(Level::Quick, &mut quiet));
    let bound = Money::from_cents(solution.bound);
    (seated(job, survey, grown, &statement, &kept, &solution), bound)
}

/// Cost of the present plan with the cables of longer routes; `None` when one would pass its limit.
fn unchanged(survey: &Survey, placement: &Placement, now: &Reach, grown: &Reach) -> Option<Money> {
    let mut cost = placement.cost;
    for served in &placement.served {
        let opening = survey.openings.binary_search_by(|it| it.mark.cmp(&served.mark)).ok()?;
        let room = survey.rooms.binary_search_by(|it| it.id.cmp(&served.room)).ok()?;
        let way = served.way;
        cost = cost + cable_cost(grown, opening, way, room)? - cable_cost(now, opening, way, room)?;
    }
    Some(cost)
}

/// Cost of the cables of an opening, arranged one way, to a room, to the cent as placement counts it.
fn cable_cost(reach: &Reach, opening: usize, way: usize, room: usize) -> Option<Money> {
    let at = reach.lengths.get(opening)?.iter().position(|length| length.0 == room)?;
    reach.cable_costs.get(opening)?.get(way)?.get(at).copied().flatten().map(Money::to_cents)
}

fn moved(placement: &Placement, then: &Placement) -> Vec<Moved> {
    let pair = |served: &super::Served| {
        let to = &then.of(&served.mark)?.room;
        let (mark, from) = (served.mark.clone(), served.room.clone());
        (*to != from).then(|| Moved { mark, from, to: to.clone() })
    };
    placement.served.iter().filter_map(pair).collect()
}

fn rearranged(placement: &Placement, then: &Placement) -> Vec<OpeningId> {
    let is_other = |served: &&super::Served| {
        then.of(&served.mark).is_some_and(|now| now.room == served.room && now.arrangement != served.arrangement)
    };
    placement.served.iter().filter(is_other).map(|served| served.mark.clone()).collect()
}

/// Rooms that the cables of an opening reach in some arrangement.
fn rooms_within(reach: &Reach, opening: usize) -> usize {
    let ways = reach.cable_costs.get(opening).map_or(&[][..], Vec::as_slice);
    let n_rooms = ways.iter().map(Vec::len).max().unwrap_or(0);
    (0..n_rooms).filter(|&room| ways.iter().any(|costs| costs.get(room).is_some_and(Option::is_some))).count()
}

fn beyond(survey: &Survey, placement: &Placement, then: &Placement, now: &Reach, grown: &Reach) -> Vec<Beyond> {
    let run = |served: &super::Served| {
        let opening = survey.openings.binary_search_by(|it| it.mark.cmp(&served.mark)).ok()?;
        let room = survey.rooms.binary_search_by(|it| it.id.cmp(&served.room)).ok()?;
        let limit = now.way_limits.get(opening)?.get(served.way)?;
        cable_cost(grown, opening, served.way, room).is_none().then(|| Beyond {
            mark: served.mark.clone(),
            room: served.room.clone(),
            length_m: served.length_m,
            limit_m: limit.length_m,
            because: limit.because.clone(),
            way_out: limit.cause.way_out(served.mark.text()),
            rooms_within: rooms_within(grown, opening),
            then: then.of(&served.mark).map(|served| served.room.clone()),
        })
    };
    placement.served.iter().filter_map(run).collect()
}

fn show(cx: &mut Cx<'_>, growth: &Growth) {
    let count = |n: usize| u32::try_from(n).unwrap_or(u32::MAX);
    cx.sink.show(Working {
        figure: FigureId::new("job", "", "placement_growth"),
        title: "Cost of cable, rooms and controllers if every route were longer",
        value: growth.then.into(),
        unit: "",
        formula: "placement with length = (length - ends) * (1 + share) + ends, the present plan kept within half a percent",
        inputs: vec![
            Input::new("share", growth.share, ""),
            Input::new("now", growth.now, ""),
            Input::new("bound", growth.bound, ""),
            Input::new("openings_moved", count(growth.moved.len()), ""),
            Input::new("openings_arranged_otherwise", count(growth.rearranged.len()), ""),
            Input::new("rooms_opened", count(growth.opened.len()), ""),
            Input::new("rooms_closed", count(growth.closed.len()), ""),
            Input::new("runs_beyond_limit", count(growth.beyond.len()), ""),
        ],
        source: "lengths from plans are good to 10 to 15 % (common practice); the share is policy of the job",
    });
}

impl Growth {
    /// What changes, in a sentence or two for paper and screen.
    pub fn in_words(&self, money: &dyn Fn(Money) -> String) -> String {
        let percent = self.share * 100.0;
        let longer = format!("If every route were {percent:.0} % longer, placement");
        let (now, then, more) = (self.now, self.then, self.then - self.now);
        // Plans that serve different openings are not compared by their difference.
        let cost = if self.unserved.is_empty() {
            format!("{longer} would cost {} more", money(more))
        } else {
            let (then, now) = (money(then), money(now));
            format!("{longer} of what is still in reach would cost {then}, against {now} now for all")
        };
        let mut changes: Vec<String> = Vec::new();
        let mut add = |n: usize, one: &str, many: &str| {
            if n > 0 {
                changes.push(format!("{n} {}", if n == 1 { one } else { many }));
            }
        };
        add(self.moved.len(), "opening changes its room", "openings change their room");
        add(self.rearranged.len(), "opening is arranged otherwise", "openings are arranged otherwise");
        add(self.opened.len(), "room opens", "rooms open");
        add(self.closed.len(), "room closes", "rooms close");
        add(self.beyond.len(), "run passes its limit", "runs pass their limit");
        add(self.unserved.len(), "opening finds no place", "openings find no place");
        if changes.is_empty() {
            let stays = self.unchanged == Some(self.then);
            let what = if stays { "the plan stays as it is" } else { "openings would share controllers otherwise" };
            return format!("{cost}; {what}.");
        }
        format!("{cost}; {}.", changes.join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::route::testing::Scene;

    fn euros(amount: Money) -> String {
        format!("{amount} EUR")
    }

    fn growth_of(scene: &Scene) -> (Growth, Vec<&'static str>) {
        growth_among(scene, &scene.settled())
    }

    fn growth_among(scene: &Scene, all: &Arrangements) -> (Growth, Vec<&'static str>) {
        let reach = scene.run(|cx| crate::route::reach(cx, &scene.job, &scene.survey, all)).0;
        let placement = scene.place_among(all, false).0;
        let mut hear = crate::unwatched;
        scene.run(|cx| {
            let mut watch = Watch::new(&mut hear);
            growth(cx, &scene.job, &scene.survey, all, &placement, &reach, false, &mut watch)
        })
    }

    #[test]
    fn where_nothing_changes_only_cable_costs_more() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 40.0, 0.0);
        scene.survey.settings.slack_m = Metres::new(1.0);
        let (growth, raised) = growth_of(&scene);
        // 6 m more of cables at 1.00, 0.80 and 0.50 a metre; the two metres of slack stay.
        assert_eq!(growth.then - growth.now, Money::from_cents(1_380));
        assert_eq!((growth.unchanged, &growth.moved[..]), (Some(growth.then), &[][..]));
        assert!(raised.is_empty() && growth.bound <= growth.then);
        let words = "If every route were 15 % longer, placement would cost 13.80 EUR more; the plan stays as it is.";
        assert_eq!(growth.in_words(&euros), words);
    }

    #[test]
    fn an_opening_near_its_limit_is_told_of_when_no_other_room_reaches_it() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        for (mark, x) in [("D-1", 130.0), ("D-2", 131.0)] {
            scene.opening(mark, "S0", x, 0.0);
        }
        // 130 m become 149.5 m of the 150 m that two data lines carry, 131 m 150.65 m.
        let (growth, raised) = growth_of(&scene);
        assert_eq!(raised, ["PLC-013"]);
        assert_eq!(growth.beyond.iter().map(|run| run.mark.text()).collect::<Vec<_>>(), ["D-2"]);
        assert_eq!((growth.unserved.len(), growth.unchanged), (1, None));
        assert!(growth.in_words(&euros).contains("of what is still in reach would cost"));
    }

    #[test]
    fn an_opening_arranged_otherwise_in_its_room_is_no_plan_that_stays() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 80.0, 0.0);
        // A unit at 80 m of network cable; at 92 m it is beyond the 90 m of a link, and ports on a controller are left.
        let (mut growth, raised) = growth_among(&scene, &scene.with_units(Money::ZERO));
        assert_eq!(raised, Vec::<&str>::new());
        assert_eq!(growth.rearranged.iter().map(Id::text).collect::<Vec<_>>(), ["D-1"]);
        assert!(growth.moved.is_empty() && growth.unchanged.is_none());
        assert!(growth.in_words(&euros).contains("1 opening is arranged otherwise"), "{}", growth.in_words(&euros));
        (growth.rearranged, growth.beyond) = (Vec::new(), Vec::new());
        assert!(!growth.in_words(&euros).contains("stays"), "the cost is that of another plan");
    }

    #[test]
    fn a_room_within_reach_that_has_no_place_is_not_called_out_of_reach() {
        let headline = |places: Option<u32>| {
            let mut scene = Scene::new();
            scene.room("TR-1", "S0", 0.0, 0.0);
            scene.room("TR-2", "S0", 145.0, 0.0).max_controllers = places;
            scene.opening("D-1", "S0", 1.0, 0.0);
            scene.opening("D-2", "S0", 131.0, 0.0);
            if places.is_none() {
                scene.survey.rooms.remove(1);
            }
            let (reach, placement) = (scene.reach().0, scene.place(false).0);
            let profile = dw_job::Profile::default();
            let mut cx = Cx::new(&scene.catalogue, &profile);
            let mut hear = crate::unwatched;
            let (job, survey, all) = (&scene.job, &scene.survey, scene.settled());
            growth(&mut cx, job, survey, &all, &placement, &reach, false, &mut Watch::new(&mut hear));
            cx.sink.findings.iter().map(|finding| finding.headline.clone()).collect::<Vec<_>>()
        };
        let far = "D-2: 131.0 m to TR-1; 15 % longer no room is within the 150.0 m possible";
        assert_eq!(headline(None), [far]);
        let full =
            "D-2: 131.0 m to TR-1; 15 % longer it is beyond the 150.0 m possible, and no room within reach has a place";
        assert_eq!(headline(Some(0)), [full]);
    }

    #[test]
    fn a_room_opens_when_cables_grow_beyond_the_limit_of_the_other() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 150.0, 0.0);
        scene.opening("D-1", "S0", 1.0, 0.0);
        scene.opening("D-2", "S0", 132.0, 0.0);
        let pinned_now = scene.place(false).0;
        // Two controllers and two rooms cost more than one of each and 132 m of cable do.
        let rooms: Vec<&str> = pinned_now.served.iter().map(|served| served.room.text()).collect();
        assert_eq!(rooms, ["TR-1", "TR-1"]);
        let (growth, raised) = growth_of(&scene);
        assert!(raised.is_empty());
        let moved: Vec<(&str, &str)> = growth.moved.iter().map(|it| (it.mark.text(), it.to.text())).collect();
        assert!(moved.contains(&("D-2", "TR-2")), "{moved:?}");
        assert_eq!(growth.opened.iter().map(Id::text).collect::<Vec<_>>(), ["TR-2"]);
        assert_eq!(growth.beyond[0].then.as_ref().map(Id::text), Some("TR-2"));
        assert!(growth.bound <= growth.then && growth.then > growth.now);
    }
}
