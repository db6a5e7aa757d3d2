//! RTE-003 way-incomplete.

use dw_core::{CableWayId, Place, rule};

rule! {
    /// ## What it checks
    /// Every cable way has two ends on storeys of the job.
    /// ## Why it matters
    /// A way without ends is left out, and cables run as if it were not there.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Cable way W-3 without `x2_m`.
    /// ## What to do
    /// Fill in the storey and the coordinates of both ends.
    pub struct WayIncomplete: "RTE-003" "way-incomplete" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
    }
    place(it) { Place::of(&it.way) }
    headline(it) {
        format!("Cable way {}: lacks an end on a known storey and is left out", it.way)
    }
    help(_it) {
        vec!["Fill in storey, x1, y1, x2 and y2".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    #[test]
    fn a_way_without_its_second_end_is_left_out_and_told_of() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        assert!(scene.reach().1.is_empty());
        scene.job.cable_ways[0].x2 = None;
        assert_eq!(scene.reach().1, ["RTE-003"]);
    }
}
