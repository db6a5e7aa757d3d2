//! LNK-022 obstacle-astray.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Everything drawn in the path of a radio bridge stands in one, with its distance and height.
    /// ## Why it matters
    /// An obstacle in no path was meant for another one.
    /// ## Basis
    /// The survey.
    /// ## Example
    /// path_obstacle 2, poplars: 250 m from the room, the path ends at 225 m.
    /// ## What to do
    /// Correct room, distance or top.
    pub struct ObstacleAstray: "LNK-022" "obstacle-astray" Fix since "0.1" {
        /// Its row.
        pub row: usize,
        /// What it is.
        pub what: String,
        /// What is wrong.
        pub why: String,
    }
    place(it) { Place::named("path_obstacle", &it.row.to_string()) }
    headline(it) { format!("path_obstacle {}, {}: {}", it.row, it.what, it.why) }
    help(_it) { vec!["Correct room, distance or top".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check};

    #[test]
    fn an_obstacle_beyond_the_end_stands_in_no_path() {
        check(&Case { obstacle: Some((300.0, 2.0, 0.0)), ..bridge() }, &[]);
        check(&Case { obstacle: Some((300.5, 2.0, 0.0)), ..bridge() }, &["LNK-020", "LNK-022"]);
    }

    #[test]
    fn an_obstacle_of_a_room_without_a_bridge_is_told() {
        check(&Case { obstacle: Some((10.0, 2.0, 0.0)), ..Case::default() }, &["LNK-022"]);
    }
}
