//! Control, cables or release that do not match the devices.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Ports, unit, cores and releases match the devices at the opening.
    /// ## Why it matters
    /// Terminals would stay open, or a lock without its release.
    /// ## Basis
    /// An invariant of this tool.
    /// ## Example
    /// A lock that holds on a way of escape without an emergency release.
    /// ## What to do
    /// This is a fault of the tool: report it with the job.
    pub struct ControlDoesNotAddUp: "EQP-903" "control-does-not-add-up" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What does not match.
        pub text: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {}", it.opening, it.text) }
    help(_it) { vec!["This is a fault of the tool, not of the job: report it".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_cable_left_out_is_found() {
        assert_eq!(judged(|equipment| drop(equipment.openings[0].cables.remove(0))), ["EQP-903"]);
        assert_eq!(judged(|equipment| drop(equipment.openings[0].cables.remove(1))), ["EQP-903"]);
    }

    #[test]
    fn no_port_and_a_hold_without_release_are_found() {
        let no_port =
            judged(|equipment| equipment.openings[0].control = ControlNeed::Ports { ports: 0, models: Vec::new() });
        assert_eq!(no_port, ["EQP-903"]);
        assert_eq!(judged(|equipment| equipment.openings[0].holds_escape = true), ["EQP-903"]);
    }

    #[test]
    fn a_unit_that_is_not_there_cannot_decide() {
        let codes = judged(|equipment| {
            equipment.openings[0].control = ControlNeed::OwnUnit { unit: DeviceId::new("UNIT") };
        });
        assert_eq!(codes, ["EQP-903"]);
    }

    #[test]
    fn more_pairs_than_inputs_are_found() {
        let with_tampers = |count: usize| {
            judged(|equipment| {
                let cables = &mut equipment.openings[0].cables;
                let watched = cables.iter_mut().find(|cable| cable.cores.contains(&"contact a".to_owned()));
                let cores = &mut watched.expect("the contact is wired").cores;
                cores.extend((1..=count).map(|n| format!("tamper {n} a")));
            })
        };
        assert!(with_tampers(2).is_empty(), "contact, request and two tampers: exactly the four inputs");
        assert_eq!(with_tampers(3), ["EQP-903"]);
    }
}
