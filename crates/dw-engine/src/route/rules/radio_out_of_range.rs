//! RTE-004 radio-out-of-range.

use dw_core::{Metres, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// A radio bridge of the catalogue reaches as far as the room it must bring the network to.
    /// ## Why it matters
    /// Without the bridge the controllers in that room are cut off from the head-end.
    /// ## Basis
    /// The range stated in the catalogue, in clear sight.
    /// ## Example
    /// TR-P: its radio bridge must reach 2,400 m, the longest in the catalogue reaches 2,000 m.
    /// ## What to do
    /// Put a relay between, bring a cable, or add a bridge with the range to the catalogue.
    pub struct RadioOutOfRange: "RTE-004" "radio-out-of-range" Stop since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Distance of the bridge.
        pub distance: Metres,
        /// Longest range in the catalogue.
        pub longest: Option<Metres>,
    }
    place(it) { Place::of(&it.room).field("bridge_length") }
    headline(it) {
        match it.longest {
            Some(longest) => format!(
                "{}: its radio bridge must reach {:.0}, the longest in the catalogue reaches {longest:.0}",
                it.room, it.distance
            ),
            None => format!("{}: its radio bridge must reach {:.0}, the catalogue has none", it.room, it.distance),
        }
    }
    help(_it) {
        vec!["Put a relay between, or bring a cable".to_owned(), "Add a radio bridge with this range to the catalogue".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// The bridges of a scene reach 100 m and 500 m.
    fn check(distance_m: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 500.0, 0.0);
        scene.bridge("TR-2", "TR-1", distance_m);
        scene.opening("D-1", "S0", 500.0, 0.0);
        scene.serve("D-1", "TR-2", 0.0);
        let (routes, raised) = scene.route();
        assert_eq!(raised, codes);
        assert_eq!(routes.links.len(), 1);
        assert_eq!(routes.links[0].device.is_some(), codes.is_empty());
    }

    #[test]
    fn the_distance_may_be_exactly_the_range() {
        check(499.0, &[]);
        check(500.0, &[]);
        check(500.5, &["RTE-004"]);
    }
}
