//! RTE-009 copper-between-buildings.

use dw_core::{OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Copper cables between two buildings have a surge protector at each end.
    /// ## Why it matters
    /// Lightning near by lifts the earth of one building against the other; the cable carries the difference into both ends.
    /// ## Basis
    /// IEC 62305-4 on lines that enter a structure (*from memory*). The local code and a licensed person decide.
    /// ## Example
    /// D-40: 4 copper cables run from another building to TR-1, 0 of 8 surge protectors are planned.
    /// ## What to do
    /// Add surge protectors to the extras, use a controller in the same building, or a link without copper.
    pub struct CopperBetweenBuildings: "RTE-009" "copper-between-buildings" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The room in the other building.
        pub room: RoomId,
        /// Copper cables.
        pub cables: usize,
        /// Surge protectors left for them.
        pub planned: u32,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        format!(
            "{}: {} copper cables run to {} in another building, {} of {} surge protectors are planned",
            it.opening,
            it.cables,
            it.room,
            it.planned,
            it.cables * 2
        )
    }
    help(_it) {
        vec![
            "Put a controller into the same building, joined by radio or by fibre".to_owned(),
            "Add a surge protector for each end of each cable to the extras; the local code and a licensed person decide"
                .to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// Three cables of one opening run to another building: six ends.
    fn check(storey: &str, protectors: u32, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", storey, 10.0, 0.0);
        scene.extra("SP", protectors);
        scene.serve("D-1", "TR-1", 10.0);
        assert_eq!(scene.schedule().1, codes);
    }

    #[test]
    fn every_end_of_a_copper_cable_between_buildings_wants_a_protector() {
        check("S0", 0, &[]);
        check("A0", 5, &["RTE-009"]);
        check("A0", 6, &[]);
    }
}
