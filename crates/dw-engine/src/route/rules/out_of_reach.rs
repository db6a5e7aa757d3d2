//! RTE-001 out-of-reach.

use dw_core::{Metres, OpeningId, Place, RoomId, rule};

use crate::route::LimitCause;

rule! {
    /// ## What it checks
    /// Every opening under control has a telecom room within the longest cable it may have.
    /// ## Why it matters
    /// Reader data fails beyond the length its interface carries; the opening cannot be served as it stands.
    /// ## Basis
    /// Two data lines 150 m (*from memory*), multidrop bus 1200 m (TIA-485 practice, *from memory*), permanent network
    /// link 90 m (TIA-568); the longest run a cable of the catalogue states.
    /// ## Example
    /// G-7: the nearest room TR-2 is 212.0 m of cable away, at most 150.0 m are possible.
    /// ## What to do
    /// Where data lines set the limit, choose a reader with a bus interface; add a telecom room nearer to it, draw a shorter way, or a room on a radio bridge.
    pub struct OutOfReach: "RTE-001" "out-of-reach" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The nearest room and the cable to it; `None` when no way leads to any.
        pub nearest: Option<(RoomId, Metres)>,
        /// Longest cable.
        pub limit: Metres,
        /// What sets the limit.
        pub cause: LimitCause,
        /// The same in words.
        pub because: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        match &it.nearest {
            Some((room, length)) => {
                format!("{}: the nearest room {room} is {length:.1} of cable away, at most {:.1} are possible", it.opening, it.limit)
            }
            None => format!("{}: no way leads to any room, at most {:.1} of cable are possible", it.opening, it.limit),
        }
    }
    notes(it) { vec![it.because.clone()] }
    help(it) {
        let further = match it.cause {
            LimitCause::DataLines => Some("Pin a reader with a bus interface, which carries further than two data lines"),
            LimitCause::Network => Some("Pin the opening to ports of a controller, where its reader need not be on the network"),
            LimitCause::Cable => Some("Add a cable that bears a longer run to the catalogue"),
            LimitCause::Bus | LimitCause::Practice => None,
        };
        let ways = [
            Some("Add a telecom room nearer to it, on a radio bridge where no cable can go"),
            further,
            Some("Draw a shorter cable way, or free a blocked one"),
        ];
        ways.into_iter().flatten().map(str::to_owned).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// One opening straight east of the room; drops and slack are 0 in a scene.
    fn check(x_m: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", x_m, 0.0);
        assert_eq!(scene.reach().1, codes);
    }

    #[test]
    fn a_reader_on_data_lines_may_be_exactly_as_far_as_they_carry() {
        check(149.0, &[]);
        check(150.0, &[]);
        check(150.001, &["RTE-001"]);
    }

    #[test]
    fn what_only_a_blocked_way_would_join_is_out_of_reach() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 60.0, 1.0);
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0));
        scene.way("W-2", "S0", (20.0, 0.0), (40.0, 0.0));
        scene.way("W-3", "S0", (40.0, 0.0), (60.0, 0.0));
        assert!(scene.reach().1.is_empty());
        scene.job.cable_ways[1].blocked = Some(true);
        assert_eq!(scene.reach().1, ["RTE-001"]);
    }

    #[test]
    fn a_bus_is_advised_only_where_data_lines_set_the_limit() {
        let advised = |scene: &Scene| {
            let arrangements = scene.settled();
            let profile = dw_job::Profile::default();
            let mut cx = crate::Cx::new(&scene.catalogue, &profile);
            crate::route::reach(&mut cx, &scene.job, &scene.survey, &arrangements);
            let help = &cx.sink.findings[0].help;
            help.iter().any(|help| help.contains("bus"))
        };
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 200.0, 0.0);
        assert!(advised(&scene));
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.unit("D-1", "S0", 200.0, 0.0);
        assert!(!advised(&scene), "a network link is what is too long");
    }
}
