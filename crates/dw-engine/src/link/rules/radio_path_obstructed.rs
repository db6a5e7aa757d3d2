//! LNK-017 radio-path-obstructed.

use dw_core::{Metres, Place, rule};

use crate::link::{BridgeSheet, Obstacle};

rule! {
    /// ## What it checks
    /// Sixty percent of the first Fresnel zone of a radio bridge stay clear of everything the survey drew, trees grown.
    /// ## Why it matters
    /// A mast or a crown in the zone weakens the link by many decibels, though both ends still see each other.
    /// ## Basis
    /// ITU-R P.526 and P.530: first Fresnel zone and earth bulge with a factor of 4/3; 60 % is *common practice*.
    /// ## Example
    /// TR-P: the path passes the mast of a moored ferry at 9.4 m, 10.6 m are needed.
    /// ## What to do
    /// Raise the antennas, move one end sideways, or have the trees cut. Masts and roofs are for a licensed person.
    pub struct RadioPathObstructed: "LNK-017" "radio-path-obstructed" Fix since "0.1" {
        /// The sheet of the bridge.
        pub sheet: BridgeSheet,
        /// The worst obstacle.
        pub obstacle: Obstacle,
        /// By how much both antennas would have to rise.
        pub both: Metres,
        /// By how much the nearer one alone.
        pub one: Metres,
    }
    place(it) { Place::of(&it.sheet.room).field("antenna") }
    headline(it) {
        format!(
            "{}: the path passes {} at {:.1}, {:.1} are needed",
            it.sheet.room, it.obstacle.what, it.obstacle.path_m, it.obstacle.needed_m
        )
     }
    notes(it) { vec![format!("It stands {:.0} from the room and reaches {:.1}, growth included", it.obstacle.distance_m, it.obstacle.top_m)] }
    help(it) {
        let near = if it.obstacle.distance_m * 2.0 <= it.sheet.length_m { &it.sheet.room } else { &it.sheet.from };
        vec![
            format!("Raise the antenna at {near} by {:.1}, or both by {:.1}", it.one, it.both),
            "Move one end sideways, so that the path passes beside it".to_owned(),
        ]
     }
    related(it) { vec![Place::of(&it.sheet.from)] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check};

    /// Antennas at 10 m, 300 m apart; in the middle 0.6 F1 is 1.21 m.
    fn tree(top: f64, growth: f64) -> Case {
        Case { obstacle: Some((150.0, top, growth)), ..bridge() }
    }

    #[test]
    fn a_tree_that_will_grow_into_the_zone_is_told() {
        check(&tree(8.7, 0.0), &[]);
        check(&tree(8.9, 0.0), &["LNK-017"]);
        check(&tree(8.7, 1.0), &["LNK-017"]);
    }
}
