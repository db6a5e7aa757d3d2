//! RTE-020 full-ways-left.

use dw_core::{CableWayId, Place, rule};

use super::counted;

rule! {
    /// ## What it checks
    /// Whether the search for routes round full cable ways came to its end before every full way was looked at.
    /// ## Why it matters
    /// Some of the cables in these ways could perhaps still be led elsewhere.
    /// ## Basis
    /// At most 3,000 routes are tried; a site with full ways everywhere needs ways, not search.
    /// ## Example
    /// 2 full cable ways are left as they are after 3,000 routes tried: W-3, W-7.
    /// ## What to do
    /// Draw larger ways, or serve some openings from another room.
    pub struct FullWaysLeft: "RTE-020" "full-ways-left" Note since "0.1" {
        /// The ways.
        pub ways: Vec<CableWayId>,
        /// Routes tried.
        pub routes: usize,
    }
    place(it) { Place::job() }
    headline(it) {
        let named: Vec<String> = it.ways.iter().take(5).map(ToString::to_string).collect();
        let others = if it.ways.len() > 5 { " and others" } else { "" };
        let left = counted(it.ways.len(), "full cable way is left as it is", "full cable ways are left as they are");
        format!("{left} after {} routes tried: {}{others}", it.routes, named.join(", "))
    }
    help(_it) {
        vec!["Draw larger ways, or serve some openings from another room with a pin".to_owned()]
    }
    related(it) { it.ways.iter().map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use dw_core::SquareMm;

    use crate::route::testing::Scene;

    /// So many doors at the end of a tray that holds one cable, and a large tray round it.
    fn check(doors: usize, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.way("W-1", "S0", (0.0, 0.0), (40.0, 0.0)).area = Some(SquareMm::new(60.0));
        for (id, from, to) in
            [("W-2", (0.0, 0.0), (0.0, 5.0)), ("W-3", (0.0, 5.0), (40.0, 5.0)), ("W-4", (40.0, 5.0), (40.0, 0.0))]
        {
            scene.way(id, "S0", from, to).area = Some(SquareMm::new(90_000.0));
        }
        for number in 1..=doors {
            let mark = format!("D-{number}");
            scene.opening(&mark, "S0", 40.0, -1.0).cables.truncate(1);
            scene.serve(&mark, "TR-1", 41.0);
        }
        assert_eq!(scene.route().1, codes);
    }

    #[test]
    fn a_search_that_ends_before_all_full_ways_are_empty_is_told_of() {
        // All doors in the tray are tried for each that leaves it: 76 + 75 + ... + 2 is 2,925 and 77 more than 3,000.
        check(1, &[]);
        check(76, &["RTE-019"]);
        check(78, &["RTE-019", "RTE-020"]);
    }
}
