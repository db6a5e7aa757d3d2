//! PLC-004 moved-since-issue.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Openings of the issued revision keep their room, controller, number and port.
    /// ## Why it matters
    /// Cables may be pulled and labels printed already.
    /// ## Basis
    /// The issued revision in the job.
    /// ## Example
    /// D-12: stood at TR-1/C1 (DW-C4) port 2 as issued, stands at TR-2/C3 (DW-C2) port 1 now.
    /// ## What to do
    /// Tell those who work from the issued papers, or take back the edit that moved it.
    pub struct MovedSinceIssue: "PLC-004" "moved-since-issue" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Controller, model and port as issued, or the room.
        pub before: String,
        /// The same now; `None` when nothing serves it.
        pub now: Option<String>,
        /// Why it could not stay.
        pub because: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        match &it.now {
            Some(now) => format!("{}: stood at {} as issued, stands at {now} now", it.opening, it.before),
            None => format!("{}: stood at {} as issued and is not served now", it.opening, it.before),
        }
    }
    notes(it) { vec![format!("It could not stay, because {}", it.because)] }
    help(_it) {
        vec!["Tell those who work from the issued papers, or take back the edit that moved it".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(edit: impl FnOnce(&mut Scene), codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 30.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.opening("D-2", "S0", 12.0, 0.0);
        let first = scene.place(false).0;
        scene.issue(&first);
        edit(&mut scene);
        assert_eq!(scene.place(false).1, codes);
    }

    #[test]
    fn the_headline_names_controller_model_and_port_before_and_now() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.room("TR-2", "S0", 30.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        scene.issued("D-1", "TR-1", "K2", 3, 2);
        scene.pin("D-1", "TR-2");
        let findings = scene.findings();
        let moved = findings.iter().find(|finding| finding.code == "PLC-004").unwrap();
        assert_eq!(moved.headline, "D-1: stood at TR-1/C3 (K2) port 2 as issued, stands at TR-2/C1 (K1) port 1 now");
    }

    #[test]
    fn a_room_that_holds_less_than_was_issued_there_is_planned_anew() {
        let check = |max_controllers, moved: usize| {
            let mut scene = Scene::new();
            scene.room("TR-1", "S0", 0.0, 0.0);
            scene.room("TR-2", "S0", 30.0, 0.0);
            for (door, number) in [("D-1", 1), ("D-2", 2), ("D-3", 3)] {
                scene.opening(door, "S0", 5.0, 0.0);
                scene.issued(door, "TR-1", "K2", number, 1);
            }
            scene.survey.rooms[0].max_controllers = Some(max_controllers);
            let (placement, raised) = scene.place(false);
            assert_eq!(placement.served.len(), 3);
            assert_eq!(raised.iter().filter(|code| **code == "PLC-004").count(), moved, "{raised:?}");
            assert!(!raised.contains(&"PLC-901"));
            let here = |it: &&crate::place::PlacedController| it.room == dw_core::RoomId::new("TR-1");
            assert!(placement.controllers.iter().filter(here).count() <= max_controllers as usize);
        };
        check(3, 0);
        check(2, 3);
        check(0, 3);
    }

    #[test]
    fn only_what_cannot_stay_is_told_of() {
        check(|_| {}, &[]);
        check(|scene| scene.survey.openings[0].x_m = dw_core::Metres::new(11.0), &[]);
        check(|scene| scene.pin("D-1", "TR-2"), &["PLC-004", "PLC-005"]);
        check(|scene| scene.survey.openings[0].x_m = dw_core::Metres::new(155.0), &["PLC-004", "PLC-005"]);
    }
}
