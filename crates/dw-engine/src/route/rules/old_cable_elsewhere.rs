//! RTE-011 old-cable-elsewhere.

use dw_core::{OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// A cable in the wall that is to be used again ends in the room that serves the opening.
    /// ## Why it matters
    /// It does not lead where the opening is served from, so a new one is bought.
    /// ## Basis
    /// The survey's `existing_cable.room`.
    /// ## Example
    /// D-502: its old cable ends in TR-K, it is served from TR-T0.
    /// ## What to do
    /// Nothing, or pin the opening to the room where the old cable ends.
    pub struct OldCableElsewhere: "RTE-011" "old-cable-elsewhere" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Where the old cable ends.
        pub ends_in: RoomId,
        /// Where it is served from.
        pub served_from: RoomId,
    }
    place(it) { Place::of(&it.opening).field("existing_cable.room") }
    headline(it) {
        format!("{}: its old cable ends in {}, it is served from {} with a new one", it.opening, it.ends_in, it.served_from)
    }
    help(it) {
        vec![format!("Pin {} to {} to use the old cable", it.opening, it.ends_in)]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    use dw_core::RoomId;

    fn check(ends_in: &str, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 30.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.equipment.openings[0].cables[0].existing = true;
        scene.job.openings[0].existing_cable.room = Some(RoomId::new(ends_in));
        scene.serve("D-1", "TR-1", 20.0);
        let (schedule, raised) = scene.schedule();
        assert_eq!(raised, codes);
        assert_eq!(schedule.runs[0].existing, codes.is_empty());
    }

    #[test]
    fn an_old_cable_serves_where_it_ends() {
        check("TR-1", &[]);
        check("TR-2", &["RTE-011"]);
    }
}
