//! A powered gate or barrier can trap people.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Whether a vehicle gate or barrier is driven.
    /// ## Why it matters
    /// A moving gate crushes; people walk where vehicles pass.
    /// ## Basis
    /// UL 325 and ASTM F2200; EN 12453: two independent means against trapping in each zone, and a way of their own for people on foot.
    /// ## Example
    /// VG-1 is driven by a sliding-gate drive.
    /// ## What to do
    /// Let a licensed firm assess the gate; give pedestrians their own way.
    pub struct VehicleEntrapment: "EQP-022" "vehicle-gate-entrapment" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {} moves a gate or arm that can trap people", it.opening, it.device) }
    help(_it) { vec!["Two independent means against trapping in each zone, and a way of their own for people on foot".to_owned(), "A licensed firm measures the forces and signs".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn every_driven_gate_is_told_and_a_door_is_not() {
        let outcome = door(&[("kind", "\"vehicle-barrier\""), ("proof.place", "\"post\""), ("escape", "\"none\"")]);
        assert_eq!(outcome.device(Role::Lock), "BARRIER");
        assert!(outcome.has("EQP-022") && !door(&[]).has("EQP-022"), "{:?}", outcome.findings);
    }
}
