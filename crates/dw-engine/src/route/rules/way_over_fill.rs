//! RTE-007 way-over-fill.

use dw_core::{CableWayId, Place, SquareMm, rule};

use super::counted;

rule! {
    /// ## What it checks
    /// Cables take no more of a way's cross-section than the policy allows, those that were there before included.
    /// ## Why it matters
    /// An overfull conduit cannot be pulled; in a tray, heat and later additions have no place.
    /// ## Basis
    /// The policy's `fill_percent`; 40 % for three or more cables is NEC chapter 9 table 1 (*from memory*). A cable counts with the
    /// circle of its outside diameter.
    /// ## Example
    /// Cable way W-4: 44.1 % of its 1,200 mm² taken, at most 40.0 % allowed.
    /// ## What to do
    /// Draw a second way beside it, a larger one, or serve some openings from another room.
    pub struct WayOverFill: "RTE-007" "way-over-fill" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// Share taken.
        pub share: f64,
        /// Share allowed.
        pub limit: f64,
        /// Cross-section of the way.
        pub area: SquareMm,
        /// Cables of this design in it.
        pub cables: u32,
    }
    place(it) { Place::of(&it.way).field("area") }
    headline(it) {
        format!(
            "Cable way {}: {:.1} % of its {:.0} taken by {} and what was there, at most {:.1} % allowed",
            it.way,
            it.share * 100.0,
            it.area,
            counted(it.cables as usize, "new cable", "new cables"),
            it.limit * 100.0
        )
    }
    help(_it) {
        vec![
            "Draw a second way beside it, or a larger one".to_owned(),
            "Serve some openings from another room with a pin".to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// One cable of 5 mm diameter takes 19.635 mm².
    fn check(area_mm2: f64, filled_percent: Option<f64>, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.equipment.openings[0].cables.truncate(1);
        let way = scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        way.area = dw_core::SquareMm::try_new(area_mm2);
        way.filled_percent = filled_percent;
        scene.serve("D-1", "TR-1", 20.0);
        assert_eq!(scene.schedule().1, codes);
    }

    #[test]
    fn a_way_may_be_exactly_as_full_as_allowed() {
        let just_enough = std::f64::consts::PI * 6.25 / 0.4;
        check(just_enough + 1e-9, None, &[]);
        check(just_enough - 0.01, None, &["RTE-007"]);
    }

    #[test]
    fn what_was_there_before_counts() {
        check(1000.0, Some(38.0), &[]);
        check(1000.0, Some(38.1), &["RTE-007"]);
    }
}
