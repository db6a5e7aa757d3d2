//! RTE-013 way-too-short.

use dw_core::{CableWayId, Metres, Place, rule};

rule! {
    /// ## What it checks
    /// A cable way is stated no shorter than the straight line between its ends.
    /// ## Why it matters
    /// Cable would be bought too short. The straight line is counted instead.
    /// ## Basis
    /// Geometry; a decimetre is taken as rounding (*common practice*).
    /// ## Example
    /// Cable way W-3: 1.0 m stated, its ends are 13.4 m apart.
    /// ## What to do
    /// Correct the length or the coordinates.
    pub struct WayTooShort: "RTE-013" "way-too-short" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// Length stated.
        pub stated: Metres,
        /// Straight line between the ends.
        pub straight: Metres,
    }
    place(it) { Place::of(&it.way).field("length") }
    headline(it) {
        format!("Cable way {}: {:.1} stated, its ends are {:.1} apart", it.way, it.stated, it.straight)
    }
    help(_it) {
        vec!["Correct the length, or the coordinates of the ends".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use dw_core::Metres;

    use crate::route::testing::Scene;

    fn check(length_m: f64, counted_m: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        scene.job.cable_ways[0].length = Some(Metres::new(length_m));
        let (reach, raised) = scene.reach();
        assert_eq!(raised, codes);
        assert!((reach.lengths[0][0].1.get() - counted_m).abs() < 1e-9);
    }

    #[test]
    fn the_straight_line_is_the_least_a_way_can_measure() {
        check(20.0, 20.0, &[]);
        check(19.95, 20.0, &[]);
        check(1.0, 20.0, &["RTE-013"]);
    }
}
