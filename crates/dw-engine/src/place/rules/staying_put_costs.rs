//! PLC-005 staying-put-costs.

use dw_core::{Money, Place, rule};

rule! {
    /// ## What it checks
    /// What holding to the issued revision costs more than a fresh plan for the job as it is now.
    /// ## Why it matters
    /// After many edits the issued plan may be dear; the engineer decides whether papers or money count more.
    /// ## Basis
    /// The difference of the two plans, as placement counts cost; told of above half a percent of the plan's cost, because two
    /// searches may differ by as much.
    /// ## Example
    /// Holding 48 openings to the issued revision costs EUR 1240.00 more than a fresh plan.
    /// ## What to do
    /// Nothing, or ask for a fresh plan.
    pub struct StayingPutCosts: "PLC-005" "staying-put-costs" Note since "0.1" {
        /// What it costs more.
        pub more: Money,
        /// Its currency.
        pub currency: dw_core::Currency,
        /// Openings held.
        pub openings: usize,
    }
    place(it) { Place::job() }
    headline(it) {
        format!("Holding {} openings to the issued revision costs {} {} more than a fresh plan", it.openings, it.currency.code(), it.more)
    }
    help(_it) {
        vec!["Ask for a fresh plan if the issued papers need not hold".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// Two doors issued from a room each; everything fits into one room.
    fn check(rooms: [&str; 2], codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 30.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.opening("D-2", "S0", 12.0, 0.0);
        scene.issued("D-1", rooms[0], "K2", 1, 1);
        scene.issued("D-2", rooms[1], "K2", 1, 2);
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, codes);
        assert_eq!(placement.staying_put.is_some_and(|more| more > dw_core::Money::ZERO), !codes.is_empty());
        assert!(scene.place(true).1.is_empty());
        assert_eq!(scene.place(true).0.staying_put, None);
    }

    #[test]
    fn the_price_of_staying_is_told_when_there_is_one() {
        check(["TR-1", "TR-1"], &[]);
        check(["TR-1", "TR-2"], &["PLC-005"]);
    }
}
