//! RTE-002 ways-not-connected.

use dw_core::{CableWayId, Metres, Place, rule};

rule! {
    /// ## What it checks
    /// Cable ways of one storey hang together, and ways of two storeys of a building are joined by a riser.
    /// ## Why it matters
    /// A gap in the drawing is a slip of the pen or a hole somebody must still core. Lengths across it are an estimate.
    /// ## Basis
    /// *Common practice*: ends within 100 mm of each other, or of another way, count as joined.
    /// ## Example
    /// Cable way W-7: ends 0.80 m from W-2 and is not joined to it.
    /// ## What to do
    /// Correct the coordinates, or draw the missing piece.
    pub struct WaysNotConnected: "RTE-002" "ways-not-connected" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// The way nearest to it.
        pub other: CableWayId,
        /// Distance along two axes, or the height between the storeys.
        pub gap: Metres,
    }
    place(it) { Place::of(&it.way) }
    headline(it) {
        format!("Cable way {}: {:.2} from {}, and nothing drawn joins the two", it.way, it.gap, it.other)
    }
    notes(it) { vec!["The gap is counted as if a cable could cross it along two axes".to_owned()] }
    help(it) {
        vec![format!("Let {} end on {}, or draw the piece between them", it.way, it.other)]
    }
    related(it) { vec![Place::of(&it.other)] }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(gap_m: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 40.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        scene.way("W-2", "S0", (20.0 + gap_m, 0.0), (40.0, 0.0));
        let (reach, raised) = scene.reach();
        assert_eq!(raised, codes);
        assert_eq!(reach.lengths[0].len(), 1, "the rest of the design goes on");
    }

    #[test]
    fn ends_within_a_decimetre_are_joined() {
        check(0.0, &[]);
        check(0.1, &[]);
        check(0.101, &["RTE-002"]);
    }

    #[test]
    fn storeys_with_ways_and_no_riser_are_told_of() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S1", 10.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        scene.way("W-2", "S1", (0.0, 0.0), (20.0, 0.0));
        assert_eq!(scene.reach().1, ["RTE-002"]);
        scene.riser("W-3", (20.0, 0.0));
        assert!(scene.reach().1.is_empty());
    }
}
