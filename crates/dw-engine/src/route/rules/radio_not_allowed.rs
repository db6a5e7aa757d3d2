//! RTE-005 radio-not-allowed.

use dw_core::{Metres, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// A room whose network comes by radio is used only where the policy allows radio.
    /// ## Why it matters
    /// The customer has ruled radio out; without it the room has no network.
    /// ## Basis
    /// The policy's `transport`.
    /// ## Example
    /// TR-P is fed by a radio bridge of 225 m, `transport = ["wire", "network"]`.
    /// ## What to do
    /// Allow radio, bring a cable to the room, or serve its openings from another room.
    pub struct RadioNotAllowed: "RTE-005" "radio-not-allowed" Stop since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Distance of the bridge.
        pub distance: Metres,
        /// Openings served from it.
        pub openings: usize,
    }
    place(it) { Place::of(&it.room).field("bridge_from") }
    headline(it) {
        format!(
            "{}: serves {} openings over a radio bridge of {:.0}, and the policy does not allow radio",
            it.room, it.openings, it.distance
        )
    }
    help(_it) {
        vec!["Add \"radio\" to the policy's transport".to_owned(), "Bring a network cable to the room".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    use dw_job::model::Transport;

    fn check(transport: &[Transport], codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 80.0, 0.0);
        scene.bridge("TR-2", "TR-1", 80.0);
        scene.opening("D-1", "S0", 80.0, 0.0);
        scene.serve("D-1", "TR-2", 0.0);
        scene.survey.settings.transport = transport.to_vec();
        assert_eq!(scene.route().1, codes);
    }

    #[test]
    fn radio_is_used_only_where_the_policy_allows_it() {
        check(&[], &[]);
        check(&[Transport::Wire, Transport::Radio], &[]);
        check(&[Transport::Wire, Transport::Network], &["RTE-005"]);
    }

    #[test]
    fn a_room_that_serves_nobody_needs_no_bridge() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 80.0, 0.0);
        scene.bridge("TR-2", "TR-1", 80.0);
        scene.survey.settings.transport = vec![Transport::Wire];
        assert!(scene.route().1.is_empty());
    }
}
