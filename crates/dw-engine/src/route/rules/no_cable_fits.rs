//! RTE-006 no-cable-fits.

use dw_core::{Metres, OpeningId, Place, rule};
use dw_job::catalogue::CableUse;

rule! {
    /// ## What it checks
    /// The catalogue has a cable for every need of an opening: right use and family, cores enough, bearing the length, and
    /// fit for outdoors where it lies outdoors.
    /// ## Why it matters
    /// A cable nobody chose is neither priced nor ordered.
    /// ## Basis
    /// The catalogue and the policy's cable families.
    /// ## Example
    /// D-12: no reader cable with 8 cores fits over 61.0 m outdoors.
    /// ## What to do
    /// Allow another family, add a cable to the catalogue, or bring the room nearer.
    pub struct NoCableFits: "RTE-006" "no-cable-fits" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What the cable is for.
        pub purpose: CableUse,
        /// Cores needed.
        pub cores: usize,
        /// Length needed.
        pub length: Metres,
        /// Whether it lies outdoors.
        pub outdoors: bool,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        format!(
            "{}: no {} cable with {} cores fits over {:.1}{}",
            it.opening,
            it.purpose,
            it.cores,
            it.length,
            if it.outdoors { " outdoors" } else { "" }
        )
    }
    help(_it) {
        vec![
            "Allow another cable family in the policy".to_owned(),
            "Add a cable with these figures to the catalogue".to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    use dw_job::model::Exposure;

    /// The reader cable of a scene has 8 cores and may not lie outdoors.
    fn check(cores: usize, exposure: &[Exposure], codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.equipment.openings[0].cables.truncate(1);
        scene.equipment.openings[0].cables[0].cores = (0..cores).map(|core| format!("core {core}")).collect();
        scene.survey.openings[0].exposure = exposure.to_vec();
        scene.serve("D-1", "TR-1", 10.0);
        let (schedule, raised) = scene.schedule();
        assert_eq!(raised, codes);
        assert_eq!(schedule.runs[0].device.is_some(), codes.is_empty());
    }

    #[test]
    fn as_many_cores_as_the_largest_cable_has_are_possible() {
        check(7, &[], &[]);
        check(8, &[], &[]);
        check(9, &[], &["RTE-006"]);
    }

    #[test]
    fn an_indoor_cable_does_not_lie_outdoors() {
        check(8, &[Exposure::Dust], &[]);
        check(8, &[Exposure::Outdoors], &["RTE-006"]);
    }
}
