//! PLC-008 room-limit-costs.

use dw_core::{Money, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// What the limits of telecom rooms cost: the plan beside the best plan found without them.
    /// ## Why it matters
    /// A network port that the customer could add, or a wall that could take one more enclosure, may save a long way round.
    /// ## Basis
    /// The limits in the job; told of above half a percent of the plan's cost, on sites of up to 300 openings.
    /// ## Example
    /// TR-G holds at most 1 controller (and other limits), which makes the plan EUR 4812.00 dearer.
    /// ## What to do
    /// Ask the customer for ports or places, and raise the limit in the job.
    pub struct RoomLimitCosts: "PLC-008" "room-limit-costs" Note since "0.1" {
        /// The rooms whose limits the cheaper plan would break.
        pub rooms: Vec<RoomId>,
        /// Their limits in words.
        pub limits: Vec<String>,
        /// What the plan costs more.
        pub more: Money,
        /// Its currency.
        pub currency: dw_core::Currency,
    }
    place(it) { it.rooms.first().map_or_else(Place::job, Place::of) }
    headline(it) {
        let first = it.limits.first().map_or("", String::as_str);
        let others = if it.limits.len() > 1 { " (and other limits)" } else { "" };
        format!("{first}{others}, which makes the plan {} {} dearer", it.currency.code(), it.more)
    }
    notes(it) { it.limits.clone() }
    help(_it) { vec!["Ask the customer for ports or places, then raise the limit in the job".to_owned()] }
    related(it) { it.rooms.iter().skip(1).map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// Five doors, for which two controllers are enough, at a room that holds so many; another room is far off.
    fn check(max_controllers: u32, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(max_controllers);
        scene.room("TR-2", "S0", 120.0, 0.0);
        for mark in ["D-1", "D-2", "D-3", "D-4", "D-5"] {
            scene.opening(mark, "S0", 5.0, 0.0);
        }
        assert_eq!(scene.place(false).1, codes);
    }

    #[test]
    fn a_limit_is_told_of_when_it_costs_something() {
        check(2, &[]);
        check(1, &["PLC-008"]);
    }
}
