//! PLC-001 pin-out-of-reach.

use dw_core::{Metres, OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The room an opening is pinned to lies within the longest cable the opening may have.
    /// ## Why it matters
    /// The pin demands what the cable cannot carry, so the opening is left unserved.
    /// ## Basis
    /// The pin in the job; the limit of RTE-001.
    /// ## Example
    /// D-12: pinned to TR-2, where no way of at most 150.0 m of cable leads.
    /// ## What to do
    /// Remove the pin or pin a nearer room; what else helps depends on what sets the limit.
    pub struct PinOutOfReach: "PLC-001" "pin-out-of-reach" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The room it is pinned to.
        pub room: RoomId,
        /// Longest cable.
        pub limit: Metres,
        /// The edit by which cables may be longer, or need not.
        pub way_out: String,
        /// The nearest room within reach.
        pub nearest: Option<(RoomId, Metres)>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        format!("{}: pinned to {}, where no way of at most {:.1} of cable leads", it.opening, it.room, it.limit)
    }
    help(it) {
        match &it.nearest {
            Some((room, length)) => vec![
                format!("Pin it to {room}, {length:.1} away, or remove the pin"),
                it.way_out.clone(),
            ],
            None => vec!["Remove the pin; no other room is within reach either".to_owned()],
        }
    }
    related(it) { vec![Place::of(&it.room)] }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(x_m: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 160.0, 0.0);
        scene.opening("D-1", "S0", x_m, 0.0);
        scene.pin("D-1", "TR-1");
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, codes);
        assert_eq!(placement.served.len(), usize::from(codes.is_empty()));
        assert_eq!(placement.clashes.len(), codes.len());
    }

    #[test]
    fn a_pin_holds_up_to_the_longest_cable() {
        check(100.0, &[]);
        check(150.0, &[]);
        check(150.1, &["PLC-001"]);
    }
}
