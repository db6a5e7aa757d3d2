//! RTE-018 way-crosses-blocked-area.

use dw_core::{BlockedAreaId, CableWayId, Metres, Place, rule};

rule! {
    /// ## What it checks
    /// No drawn cable way lies in an area that no cable may cross.
    /// ## Why it matters
    /// The survey says two things; the part in the area is counted as blocked, so that cables go round.
    /// ## Basis
    /// The cable ways and blocked areas of the job.
    /// ## Example
    /// Cable way W-3: 12.0 m lie in blocked area A-2 and count as blocked.
    /// ## What to do
    /// Draw the area around the way, or the way around the area.
    pub struct WayCrossesBlockedArea: "RTE-018" "way-crosses-blocked-area" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// The area.
        pub area: BlockedAreaId,
        /// How much of the way lies in it.
        pub length: Metres,
    }
    place(it) { Place::of(&it.way) }
    related(it) { vec![Place::of(&it.area)] }
    headline(it) {
        format!("Cable way {}: {:.1} lie in blocked area {} and count as blocked", it.way, it.length, it.area)
    }
    help(_it) {
        vec!["Draw the area around the way, or the way around the area".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// A tray along y = 0 from a room to a door at 20 m, and an area from 8 m on, so thick and up to so high.
    fn check(thick: f64, top: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        scene.blocked("A-1", "S0", (8.0, -6.0), (8.0 + thick, top));
        assert_eq!(scene.reach().1, codes);
    }

    #[test]
    fn a_way_along_the_edge_is_open_and_one_through_is_not() {
        check(2.0, 0.0, &[]);
        check(2.0, 1.0, &["RTE-018", "RTE-001"]);
    }

    #[test]
    fn the_thinnest_wall_blocks_a_way() {
        for thick in [0.3, 0.1, 0.05, 0.001] {
            check(thick, 1.0, &["RTE-018", "RTE-001"]);
        }
    }
}
