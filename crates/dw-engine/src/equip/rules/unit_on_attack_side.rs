//! A unit that decides on the attack side of an inner zone.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// At openings of protection level 3 and 4 nothing that decides or switches the lock sits on the side one comes from.
    /// ## Why it matters
    /// Whoever takes the unit off the wall holds the wires of the lock.
    /// ## Basis
    /// *Common practice*.
    /// ## Example
    /// D-44 leads to level 4 and is pinned to a unit that decides by itself.
    /// ## What to do
    /// Let the unit act as a reader of a controller inside, or put its relay inside.
    pub struct UnitOnAttackSide: "EQP-029" "unit-on-attack-side" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Pin a controller and let the unit act as its reader".to_owned(), "Or fit a relay on the secure side and accept this with a reason".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_unit_pinned_to_decide_for_level_three_is_told() {
        let at = |level| {
            with(&format!("[[zone]]\nid = \"inner\"\nlevel = {level}\n[[space]]\nid = \"vault\"\nzone = \"inner\"\n[[right]]\ngroup = \"crew\"\nzone = \"inner\"\n[[pin]]\nopening = \"D-1\"\ncontroller = \"UNIT\""), &[("to", "\"vault\""), ("proof.factors_in", "1")]).has("EQP-029")
        };
        assert!(at(3) && !at(2), "exactly from level 3");
    }
}
