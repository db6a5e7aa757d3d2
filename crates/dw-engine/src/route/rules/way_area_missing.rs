//! RTE-008 way-area-missing.

use dw_core::{CableWayId, Place, rule};

rule! {
    /// ## What it checks
    /// Ways that take cables of this design have a cross-section.
    /// ## Why it matters
    /// Without it nobody knows whether the cables fit.
    /// ## Basis
    /// The survey.
    /// ## Example
    /// 12 cable ways take cables and have no cross-section: W-1, W-2, W-5 and others.
    /// ## What to do
    /// Measure the ways and fill in `area_mm2`.
    pub struct WayAreaMissing: "RTE-008" "way-area-missing" Note since "0.1" {
        /// The ways.
        pub ways: Vec<CableWayId>,
    }
    place(it) { Place::job() }
    headline(it) {
        {
            let named: Vec<String> = it.ways.iter().take(5).map(ToString::to_string).collect();
            let others = if it.ways.len() > 5 { " and others" } else { "" };
            format!(
                "{} cable ways take cables and have no cross-section, so their fill is not checked: {}{others}",
                it.ways.len(),
                named.join(", ")
            )
        }
    }
    help(_it) {
        vec!["Measure them and fill in area".to_owned()]
    }
    related(it) { it.ways.iter().map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(area_mm2: Option<f64>, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0)).area = area_mm2.and_then(dw_core::SquareMm::try_new);
        scene.serve("D-1", "TR-1", 20.0);
        assert_eq!(scene.schedule().1, codes);
    }

    #[test]
    fn only_ways_without_a_cross_section_are_told_of() {
        check(Some(5000.0), &[]);
        check(None, &["RTE-008"]);
    }
}
