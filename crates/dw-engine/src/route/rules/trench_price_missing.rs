//! RTE-021 trench-price-missing.

use dw_core::{Id, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The policy states what a metre of trench costs where a room in use has a trench beside its radio bridge, or instead of one.
    /// ## Why it matters
    /// Without a price the trench is not held against the bridge: only the bridge counts, and a room that has nothing but the
    /// trench counts as if it were dug for nothing.
    /// ## Basis
    /// The policy's `money.trench_price_per_metre`; prices of trenches differ too much from place to place for a usual one.
    /// ## Example
    /// TR-P: `trench_length_m = 240`, and no price.
    /// ## What to do
    /// State `money.trench_price_per_metre`, with duct and reinstatement.
    pub struct TrenchPriceMissing: "RTE-021" "trench-price-missing" Fix since "0.1" {
        /// The rooms.
        pub rooms: Vec<RoomId>,
    }
    place(_it) { Place::named("policy", "").field("money.trench_price_per_metre") }
    headline(it) {
        let rooms: Vec<&str> = it.rooms.iter().map(Id::text).collect();
        format!("{}: no price of a metre is stated, so the trench is not counted", rooms.join(", "))
    }
    help(_it) { vec!["State money.trench_price_per_metre, with duct and reinstatement".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(cents: Option<i64>, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 80.0, 0.0);
        scene.bridge("TR-2", "TR-1", 80.0);
        scene.trench("TR-2", 80.0, cents);
        scene.opening("D-1", "S0", 80.0, 0.0);
        scene.serve("D-1", "TR-2", 0.0);
        let (routes, raised) = scene.route();
        assert_eq!(raised, codes);
        assert_eq!(routes.links[0].device.is_none(), cents.is_some());
        assert_eq!(routes.links[0].trench_cost.is_some(), cents.is_some());
    }

    #[test]
    fn a_trench_without_a_price_asks_for_it_and_leaves_the_bridge() {
        check(Some(100), &[]);
        check(Some(0), &[]);
        check(None, &["RTE-021"]);
    }
}
