//! RTE-016 area-left-out.

use dw_core::{BlockedAreaId, Place, rule};

rule! {
    /// ## What it checks
    /// Every blocked area has two corners on a storey of the job, and no storey has more than 64 of them.
    /// ## Why it matters
    /// An area that is left out lets cables pass where the survey says none may.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Blocked area A-2: lacks a storey of the job or a corner, and is left out.
    /// ## What to do
    /// Fill in the storey and both corners; draw several small areas as one.
    pub struct AreaLeftOut: "RTE-016" "area-left-out" Fix since "0.1" {
        /// The area.
        pub area: BlockedAreaId,
        /// Why it is left out.
        pub because: &'static str,
    }
    place(it) { Place::of(&it.area) }
    headline(it) {
        format!("Blocked area {}: {}, and is left out", it.area, it.because)
    }
    help(_it) {
        vec!["Fill in storey, x1, y1, x2 and y2".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    #[test]
    fn an_area_without_its_second_corner_is_told_of() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.blocked("A-1", "S0", (4.0, -3.0), (6.0, 8.0));
        assert!(scene.reach().1.is_empty());
        scene.job.blocked_areas[0].y2 = None;
        assert_eq!(scene.reach().1, ["RTE-016"]);
    }
}
