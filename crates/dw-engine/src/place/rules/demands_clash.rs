//! PLC-003 demands-clash.

use dw_core::{Place, rule};

use crate::place::Clash;

rule! {
    /// ## What it checks
    /// All demands on the placement can be met together: pins, issued seats, length limits, room limits, refused controllers, spare
    /// ports, every opening served.
    /// ## Why it matters
    /// The demands named cannot all be met; giving up any one of them makes the others possible. The opening is left unserved
    /// until one is given up, the rest of the design goes on.
    /// ## Basis
    /// An irreducible set of clashing demands, proven by trying every placement of the openings in it, and each member by a plan
    /// without it (J. W. Chinneck, *Feasibility and Infeasibility in Optimization*, 2008). Pins are blamed first. Openings that
    /// can stand for each other are told of together.
    /// ## Example
    /// D-12: not served, TR-1 holds at most 1 controller: place for 4 of the 5 openings pinned or bound there.
    /// ## What to do
    /// Give up one of the demands listed; the price of each edit stands beside it where it is known.
    pub struct DemandsClash: "PLC-003" "demands-clash" Stop since "0.1" {
        /// The clash.
        pub clash: Clash,
    }
    place(it) { it.clash.unserved.first().map_or_else(Place::job, Place::of) }
    headline(it) {
        let more = match it.clash.unserved.len() {
            0 | 1 => String::new(),
            n => format!(" and {} more", n - 1),
        };
        let first = it.clash.unserved.first().map_or_else(String::new, ToString::to_string);
        format!("{first}{more}: not served, {}", it.clash.headline)
    }
    notes(it) {
        let mut notes: Vec<String> = it.clash.demands.iter().map(|demand| demand.text.clone()).collect();
        if !it.clash.is_irreducible {
            notes.push("It is not known whether fewer of these demands clash already: the proof would have taken too long".to_owned());
        }
        notes
    }
    help(it) { it.clash.demands.iter().map(|demand| demand.way_out.clone()).collect() }
    related(it) {
        let marks = it.clash.unserved.iter().skip(1).chain(&it.clash.openings);
        let others: std::collections::BTreeSet<_> = marks.filter(|mark| Some(*mark) != it.clash.unserved.first()).collect();
        others.into_iter().map(Place::of).collect()
    }
}

#[cfg(test)]
mod tests {
    use crate::place::Clash;
    use crate::route::testing::Scene;

    fn texts(clash: &Clash) -> Vec<&str> {
        clash.demands.iter().map(|demand| demand.text.as_str()).collect()
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
                texts(clash),
                ["TR-1 holds at most 1 controller", "D-1, D-2 and D-3 must be served (3 openings, 6 ports)"]
            );
            assert!(clash.is_irreducible);
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
        assert_eq!(
            texts(&placement.clashes[0]),
            [
                "D-1, D-2, D-3 and 2 more are pinned to TR-1",
                "TR-1 holds at most 1 controller",
                "D-1, D-2, D-3 and 2 more must be served (5 openings, 5 ports)"
            ]
        );
        let findings = scene.findings();
        let finding = findings.iter().find(|finding| finding.code == "PLC-003").unwrap();
        assert!(
            finding.headline.ends_with(
                ": not served, TR-1 holds at most 1 controller: place for 4 of the 5 openings pinned or bound there"
            ),
            "{}",
            finding.headline
        );
        // Now: 4 doors on a K4 in TR-1 and D-6 on a K1 in TR-2, 2 rooms at 480.00, 45 m of cable at 2.30, together 2423.50.
        // Then: 6 doors on a K4 and a K2 in TR-1, 60 m of cable, 2168.00.
        assert_eq!(
            finding.help[1],
            "Raise `max_controllers` of TR-1 from 1 to 2: serves 1 more opening, and the plan costs EUR 255.50 less"
        );
        assert!(
            finding.help[0].starts_with("Take back the pin to TR-1 of one of D-1, D-2, D-3 and 2 more: serves 1 more")
        );
    }
}
