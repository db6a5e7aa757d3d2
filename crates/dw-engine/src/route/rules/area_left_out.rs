//! RTE-016 area-left-out.

use dw_core::{BlockedAreaId, Place, rule};

use crate::route::Lack;

rule! {
    /// ## What it checks
    /// Every blocked area has two corners on a storey of the job and is more than a line, and no storey has more than 64
    /// of them.
    /// ## Why it matters
    /// An area that is left out lets cables pass where the survey says none may.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Blocked area A-2: lacks a storey of the job or a corner, and is left out.
    /// ## What to do
    /// Fill in the storey and both corners; draw a wall as thick as it is; draw several small areas as one.
    pub struct AreaLeftOut: "RTE-016" "area-left-out" Fix since "0.1" {
        /// The area.
        pub area: BlockedAreaId,
        /// Why it is left out.
        pub because: Lack,
    }
    place(it) { Place::of(&it.area) }
    headline(it) {
        let because = match it.because {
            Lack::Corner => "lacks a storey of the job or a corner",
            Lack::Width => "is a line without width",
            Lack::Place => "is one of more than 64 on its storey",
        };
        format!("Blocked area {}: {because}, and is left out", it.area)
    }
    help(it) {
        let help = match it.because {
            Lack::Corner => "Fill in storey, x1, y1, x2 and y2",
            Lack::Width => "Draw it as wide as it is: two corners that differ in x and in y",
            Lack::Place => "Draw several areas that lie together as one",
        };
        vec![help.to_owned()]
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

    #[test]
    fn a_wall_drawn_as_a_line_is_told_of() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.blocked("A-1", "S0", (4.0, -3.0), (4.0, 8.0));
        assert_eq!(scene.reach().1, ["RTE-016"]);
        scene.job.blocked_areas[0].x2 = Some(dw_core::Metres::new(4.1));
        assert!(scene.reach().1.is_empty());
    }

    #[test]
    fn the_advice_is_what_the_area_lacks() {
        use dw_core::{BlockedAreaId, Rule};
        let help = |because| super::AreaLeftOut { area: BlockedAreaId::new("A-1"), because }.help();
        assert_eq!(help(super::Lack::Corner), ["Fill in storey, x1, y1, x2 and y2"]);
        assert_eq!(help(super::Lack::Place), ["Draw several areas that lie together as one"]);
    }
}
