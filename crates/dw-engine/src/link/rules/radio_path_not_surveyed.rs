//! LNK-020 radio-path-not-surveyed.

use dw_core::{Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The survey knows how high the antennas of a radio bridge stand, what stands between them, and what the country allows.
    /// ## Why it matters
    /// A path nobody looked along is a guess.
    /// ## Basis
    /// ITU-R P.530: clearance is judged over a profile of the path.
    /// ## Example
    /// TR-P: the path from TR-T1 was not surveyed: what stands in the path (path_obstacle).
    /// ## What to do
    /// Look along the path, best at high water and with leaves on the trees, and write down what is seen.
    pub struct RadioPathNotSurveyed: "LNK-020" "radio-path-not-surveyed" Note since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Room its network comes from.
        pub from: RoomId,
        /// What is not known.
        pub unknown: Vec<&'static str>,
    }
    place(it) { Place::of(&it.room).field("bridge_from") }
    headline(it) { format!("{}: the path from {} was not surveyed: {}", it.room, it.from, it.unknown.join("; ")) }
    help(_it) { vec!["Look along the path, with leaves on the trees, and write down what is seen".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check};

    #[test]
    fn each_thing_not_looked_at_is_told() {
        check(&Case { obstacle: None, ..bridge() }, &["LNK-020"]);
        check(&Case { antennas: false, ..bridge() }, &["LNK-020"]);
        check(&Case { max_eirp_dbm: None, ..bridge() }, &["LNK-020"]);
        check(&bridge(), &[]);
    }
}
