//! RTE-009 copper-between-buildings.

use dw_core::{Metres, OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether copper cables of an opening run to a room in another building.
    /// ## Why it matters
    /// Lightning near by lifts the earth of one building against the other; the cable carries the difference into both ends,
    /// unless a surge protector at each end leads it away.
    /// ## Basis
    /// IEC 62305-4 on lines that enter a structure (*from memory*). The local code and a licensed person decide.
    /// ## Example
    /// D-40: 4 copper cables, each of 61.0 m to TR-1 in another building.
    /// ## What to do
    /// See that both ends of each cable get a surge protector, bonded to the earth of its building by a short way, or use a
    /// controller in the same building with a link of fibre or radio.
    pub struct CopperBetweenBuildings: "RTE-009" "copper-between-buildings" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The room in the other building.
        pub room: RoomId,
        /// Copper cables.
        pub cables: usize,
        /// Their length.
        pub length: Metres,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        let cables = if it.cables == 1 { "1 copper cable of" } else { "copper cables, each of" };
        let count = if it.cables == 1 { String::new() } else { format!("{} ", it.cables) };
        format!("{}: {count}{cables} {:.1} to {} in another building", it.opening, it.length, it.room)
    }
    notes(it) { vec![format!("{} cable ends want a surge protector; placement counts those the catalogue offers", it.cables * 2)] }
    help(_it) {
        vec![
            "Put a surge protector at both ends of every cable and bond both to the earth of their building by a short way; the local code and a licensed person decide".to_owned(),
            "Or put a controller into the same building, linked by radio or fibre".to_owned(),
        ]
    }
    related(it) { vec![Place::of(&it.room)] }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(storey: &str, codes: &[&str]) {
        let mut scene = Scene::new();
        // Between buildings cables lie outdoors.
        scene.catalogue.devices.values_mut().for_each(|device| device.cable.outdoor = Some(true));
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", storey, 10.0, 0.0);
        scene.serve("D-1", "TR-1", 10.0);
        assert_eq!(scene.schedule().1, codes);
    }

    #[test]
    fn only_cables_from_another_building_are_told_of() {
        check("S0", &[]);
        check("OUT", &[]);
        check("A0", &["RTE-009"]);
    }
}
