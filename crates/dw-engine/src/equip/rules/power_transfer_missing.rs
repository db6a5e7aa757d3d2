//! A lock on the leaf to which no power leads.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Where lock or handle switch sit on the leaf, the survey says how power reaches it.
    /// ## Why it matters
    /// A leaf cannot be drilled after it is hung without taking it down, and a fire door not at all.
    /// ## Basis
    /// *Common practice*; field work on labelled fire doors: NFPA 80 (from memory).
    /// ## Example
    /// D-6 gets a mortise lock and the survey names no power transfer.
    /// ## What to do
    /// Survey hinges and leaf and fill in `door.power_transfer`.
    pub struct PowerTransferMissing: "EQP-011" "power-transfer-missing" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Whether the survey says that nothing is prepared, rather than nothing at all.
        pub prepared: bool,
    }
    place(it) { Place::of(&it.opening).field("door.power_transfer") }
    headline(it) {
        let says = if it.prepared { "is prepared" } else { "is surveyed" };
        format!("{}: {} sits on the leaf, and no way for its wires {says}", it.opening, it.device)
     }
    help(_it) { vec!["Fill in door.power_transfer: concealed, hinge or loop".to_owned(), "Or use a lock or exit request that sits on the frame".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_mortise_lock_without_a_power_transfer_is_told() {
        let outcome = door(&[("door.preparation", "\"mortise\""), ("door.power_transfer", "")]);
        assert_eq!(outcome.device(Role::Lock), "MORTISE");
        assert!(outcome.has("EQP-011"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::PowerTransfer), "LOOP");
    }

    #[test]
    fn a_prepared_hinge_is_used() {
        let outcome = door(&[("door.preparation", "\"mortise\""), ("door.power_transfer", "\"hinge\"")]);
        assert!(!outcome.has("EQP-011"), "{:?}", outcome.findings);
        assert_eq!(outcome.device(Role::PowerTransfer), "HINGE");
    }
}
