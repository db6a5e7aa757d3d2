//! SUR-012 no-telecom-room.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// A job with openings has at least one telecom room that can be used.
    /// ## Why it matters
    /// Controllers, supplies and switches stand in a telecom room, and every cable ends there. Without one no opening
    /// can be served, and every figure on paper is too low.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// Openings with a storey and a point, and no `[[room]]`; or rooms of which none has a point on the plan.
    /// ## What to do
    /// Add the room with its storey, `x_m` and `y_m`.
    pub struct NoTelecomRoom: "SUR-012" "no-telecom-room" Stop since "0.1" {
        /// Openings that wait for a room.
        pub openings: usize,
        /// Rooms the survey names that had to be left out.
        pub left_out: usize,
    }
    place(_it) { Place::job() }
    headline(it) {
        let why = match it.left_out {
            0 => "no telecom room is given".to_owned(),
            rooms => format!("none of {rooms} telecom rooms can be used"),
        };
        format!("job: {why}, so none of {} openings can be served", it.openings)
    }
    help(_it) { vec!["Add a [[room]] with storey, x and y, or put rooms.csv beside the job document".to_owned()] }
}
