//! PLC-003 demands-clash.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// All demands on the placement can be met together: pins, length limits, room limits, spare ports, every opening served.
    /// ## Why it matters
    /// The demands named cannot all be met; giving up any one of them makes the others possible. The opening is left unserved
    /// until one is given up, the rest of the design goes on.
    /// ## Basis
    /// An irreducible set of clashing demands, proven by trying every placement of the openings in it (J. W. Chinneck,
    /// *Feasibility and Infeasibility in Optimization*, 2008).
    /// ## Example
    /// D-12: 4 demands clash, among them: TR-1 holds at most 1 controller.
    /// ## What to do
    /// Give up one of the demands listed.
    pub struct DemandsClash: "PLC-003" "demands-clash" Stop since "0.1" {
        /// The opening left unserved.
        pub opening: OpeningId,
        /// The demands in words, pins first.
        pub demands: Vec<String>,
        /// Other openings that take part.
        pub others: Vec<OpeningId>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        format!(
            "{}: cannot be served, {} demands clash, among them: {}",
            it.opening,
            it.demands.len(),
            it.demands.first().map_or("", String::as_str)
        )
    }
    notes(it) { shortened(&it.demands) }
    help(_it) {
        vec!["Give up any one of the demands listed; that makes the others possible".to_owned()]
    }
    related(it) { it.others.iter().map(Place::of).collect() }
}

/// Demands listed one by one; more than these are counted.
const MAX_LISTED: usize = 8;

/// The demands, with the openings to be served counted rather than listed where the list would be long.
fn shortened(demands: &[String]) -> Vec<String> {
    if demands.len() <= MAX_LISTED {
        return demands.to_vec();
    }
    let (served, mut listed): (Vec<&String>, Vec<&String>) =
        demands.iter().partition(|demand| demand.ends_with(MUST_BE_SERVED));
    let beyond = listed.len().saturating_sub(MAX_LISTED - 2);
    listed.truncate(MAX_LISTED - 2);
    let mut lines: Vec<String> = listed.into_iter().cloned().collect();
    if beyond > 0 {
        lines.push(format!("and {beyond} more pins and limits"));
    }
    lines.push(format!("and {} openings of the room {MUST_BE_SERVED}", served.len()));
    lines
}

/// How a demand to serve an opening ends.
pub(in crate::place) const MUST_BE_SERVED: &str = "must be served";

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    #[test]
    fn a_long_list_counts_its_openings() {
        let mut demands: Vec<String> = (1..=9).map(|door| format!("D-{door} must be served")).collect();
        demands.insert(0, "TR-1 holds at most 2 controllers".to_owned());
        assert_eq!(
            super::shortened(&demands),
            ["TR-1 holds at most 2 controllers", "and 9 openings of the room must be served"]
        );
        assert_eq!(super::shortened(&demands[..8]), demands[..8]);
    }

    /// One room for a single controller of four ports, and doors of two ports each.
    fn check(doors: u32, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(1);
        for door in 1..=doors {
            scene.wide(&format!("D-{door}"), "S0", 10.0, 0.0, 2);
        }
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, codes);
        assert_eq!(placement.served.len() + placement.unserved.len(), doors as usize);
        if let [clash] = &placement.clashes[..] {
            assert_eq!(
                clash.demands,
                ["TR-1 holds at most 1 controller", "D-1 must be served", "D-2 must be served", "D-3 must be served"]
                    .map(str::to_owned)
            );
        }
        assert_eq!(placement.clashes.len(), codes.len());
    }

    #[test]
    fn a_room_may_be_exactly_full() {
        check(1, &[]);
        check(2, &[]);
        check(3, &["PLC-003"]);
    }

    #[test]
    fn pins_are_blamed_first_and_the_rest_is_served() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0).max_controllers = Some(1);
        scene.room("TR-2", "S0", 5.0, 0.0);
        for door in 1..=5 {
            scene.opening(&format!("D-{door}"), "S0", 10.0, 0.0);
            scene.pin(&format!("D-{door}"), "TR-1");
        }
        scene.opening("D-6", "S0", 10.0, 0.0);
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, ["PLC-003"]);
        assert_eq!(placement.served.len(), 5);
        let demands = &placement.clashes[0].demands;
        assert_eq!(demands.iter().filter(|demand| demand.ends_with("is pinned to TR-1")).count(), 5);
        assert_eq!(demands[0], "D-1 is pinned to TR-1");
        assert_eq!(demands.len(), 11, "five pins, the limit, five openings");
    }
}
