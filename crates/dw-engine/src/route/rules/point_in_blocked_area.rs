//! RTE-017 point-in-blocked-area.

use dw_core::{BlockedAreaId, Place, rule};

rule! {
    /// ## What it checks
    /// No opening and no telecom room stands inside an area that no cable may cross.
    /// ## Why it matters
    /// Cables end there; as drawn none can get there.
    /// ## Basis
    /// The blocked areas of the job.
    /// ## Example
    /// D-12 stands inside blocked area A-2, where no cable may go.
    /// ## What to do
    /// Draw the area smaller, or move the point.
    pub struct PointInBlockedArea: "RTE-017" "point-in-blocked-area" Fix since "0.1" {
        /// What stands there.
        pub place: Place,
        /// The area.
        pub area: BlockedAreaId,
    }
    place(it) { it.place.clone().field("x") }
    headline(it) {
        format!("{} stands inside blocked area {}, where no cable may go", it.place.id, it.area)
    }
    help(_it) {
        vec!["Draw the area smaller, or move the point".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(x: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", x, 0.0);
        scene.blocked("A-1", "S0", (4.0, -3.0), (6.0, 8.0));
        assert_eq!(scene.reach().1, codes);
    }

    #[test]
    fn an_opening_on_the_edge_can_be_reached_and_one_inside_cannot() {
        check(4.0, &[]);
        check(5.0, &["RTE-017", "RTE-001"]);
    }
}
