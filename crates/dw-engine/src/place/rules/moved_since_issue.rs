//! PLC-004 moved-since-issue.

use dw_core::{OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Openings of the issued revision keep their room, controller, number and port.
    /// ## Why it matters
    /// Cables may be pulled and labels printed already.
    /// ## Basis
    /// The issued revision in the job.
    /// ## Example
    /// D-12: is served from TR-2 now, because it is pinned to TR-2.
    /// ## What to do
    /// Tell those who work from the issued papers, or take back the edit that moved it.
    pub struct MovedSinceIssue: "PLC-004" "moved-since-issue" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The room that serves it now.
        pub now: Option<RoomId>,
        /// Why it could not stay.
        pub because: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        match &it.now {
            Some(room) => format!("{}: moved since the issued revision, now served from {room}", it.opening),
            None => format!("{}: was served in the issued revision and is not now", it.opening),
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
    fn only_what_cannot_stay_is_told_of() {
        check(|_| {}, &[]);
        check(|scene| scene.survey.openings[0].x_m = dw_core::Metres::new(11.0), &[]);
        check(|scene| scene.pin("D-1", "TR-2"), &["PLC-004", "PLC-005"]);
        check(|scene| scene.survey.openings[0].x_m = dw_core::Metres::new(155.0), &["PLC-004", "PLC-005"]);
    }
}
