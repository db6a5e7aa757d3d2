//! RTE-019 way-full-detour.

use dw_core::{CableWayId, Metres, Place, rule};

rule! {
    /// ## What it checks
    /// Whether the shortest routes would fill a cable way beyond the policy's share, so that some cables are led elsewhere.
    /// ## Why it matters
    /// The way decides about cable lengths; a larger one may be cheaper than the longer cables.
    /// ## Basis
    /// The policy's `fill_percent` and the cable each need is likely to get; the openings with the least extra length are led
    /// round.
    /// ## Example
    /// Cable way W-3 is full: 2 openings are led round it, their routes 31.0 m longer together.
    /// ## What to do
    /// Nothing, or draw a larger way.
    pub struct WayFullDetour: "RTE-019" "way-full-detour" Note since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// Openings led round it.
        pub openings: usize,
        /// Extra length of their routes together.
        pub more: Metres,
    }
    place(it) { Place::of(&it.way).field("area") }
    headline(it) {
        format!(
            "Cable way {} is full: {}",
            it.way,
            match it.openings {
                1 => format!("1 opening is led round it, its route {:.1} longer", it.more),
                n => format!("{n} openings are led round it, their routes {:.1} longer together", it.more),
            }
        )
    }
    help(_it) {
        vec!["Draw a larger way if it costs less than the longer cables".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use dw_core::{Id, SquareMm};
    use dw_job::model::CableWayKind;

    use crate::route::testing::Scene;

    /// Two doors at the end of a tray, one cable of 19.635 mm² each; a second tray goes round, 10 m longer. Gives the
    /// lengths of the routes.
    fn check(area_mm2: f64, second: Option<CableWayKind>, expected: [f64; 2], codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (40.0, 0.0)).area = Some(SquareMm::new(area_mm2));
        if let Some(kind) = second {
            for (id, from, to) in
                [("W-2", (0.0, 0.0), (0.0, 5.0)), ("W-3", (0.0, 5.0), (40.0, 5.0)), ("W-4", (40.0, 5.0), (40.0, 0.0))]
            {
                let way = scene.way(id, "S0", from, to);
                (way.area, way.kind) = (Some(SquareMm::new(5000.0)), Some(kind));
            }
        }
        for (mark, y) in [("D-1", -1.0), ("D-2", -2.0)] {
            scene.opening(mark, "S0", 40.0, y).cables.truncate(1);
            scene.serve(mark, "TR-1", 40.0 - y);
        }
        let (routes, _) = scene.route();
        assert_eq!([0, 1].map(|idx| routes.openings[idx].length_m), expected.map(dw_core::Metres::new));
        let (schedule, mut raised) = scene.schedule();
        raised.extend(scene.route().1);
        assert_eq!(raised, codes);
        assert_eq!(schedule.fills[0].way.text(), "W-1");
    }

    /// Cross-section of a cable of 5 mm diameter.
    const CABLE_MM2: f64 = std::f64::consts::PI * 6.25;

    #[test]
    fn a_full_way_sends_the_cable_round_that_becomes_least_longer() {
        check(2.0 * CABLE_MM2 / 0.4 + 1e-3, Some(CableWayKind::Tray), [41.0, 42.0], &[]);
        check(2.0 * CABLE_MM2 / 0.4 - 1e-3, Some(CableWayKind::Tray), [51.0, 42.0], &["RTE-019"]);
    }

    #[test]
    fn cable_for_indoors_is_not_led_round_through_a_duct() {
        check(2.0 * CABLE_MM2 / 0.4 - 1e-3, Some(CableWayKind::Duct), [41.0, 42.0], &["RTE-007"]);
    }

    #[test]
    fn one_opening_led_round_is_one() {
        use dw_core::Rule;
        let told = |openings| {
            let (way, more) = (dw_core::CableWayId::new("W-3"), dw_core::Metres::new(31.0));
            super::WayFullDetour { way, openings, more }.headline()
        };
        assert_eq!(told(1), "Cable way W-3 is full: 1 opening is led round it, its route 31.0 m longer");
        assert_eq!(told(2), "Cable way W-3 is full: 2 openings are led round it, their routes 31.0 m longer together");
    }

    #[test]
    fn where_nothing_helps_the_way_is_told_to_be_over_its_fill() {
        check(2.0 * CABLE_MM2 / 0.4 - 1e-3, None, [41.0, 42.0], &["RTE-007"]);
    }
}
