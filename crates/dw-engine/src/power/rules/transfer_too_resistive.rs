//! POW-005 transfer-too-resistive.

use dw_core::{Ohms, OpeningId, Place, Volts, rule};

rule! {
    /// ## What it checks
    /// Whether the hinge or door loop alone takes the voltage a lock on the leaf needs.
    /// ## Why it matters
    /// The thin cores of a hinge can lose more than the whole cable.
    /// ## Basis
    /// Ohm's law; resistance as stated for the door or the device.
    /// ## Example
    /// A latch retraction device of 1 A behind a hinge of 2 Ω a core.
    /// ## What to do
    /// Use a power transfer with heavier cores, or double them.
    pub struct TransferTooResistive: "POW-005" "transfer-too-resistive" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Resistance of one core.
        pub transfer: Ohms,
        /// Voltage at the lock.
        pub at_lock: Volts,
        /// Least voltage it works at.
        pub needs: Volts,
    }
    place(it) { Place::of(&it.opening).field("door.transfer") }
    headline(it) { format!(
            "{}: {:.1} at the lock behind a power transfer of {:.2} a core, it needs {:.1}",
            it.opening, it.at_lock, it.transfer, it.needs
        ) }
    help(_it) { vec![
            "Use a power transfer with heavier cores, or two cores each way".to_owned(),
            "Leave door.transfer_ohm out when the old transfer gives way to a new one".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn what_the_survey_states_counts_before_the_device_and_thickens_the_cable_while_that_helps() {
        let mut site = site();
        site.device("lock").lock.on_leaf = Some(true);
        site.fit_transfer("loop-1");
        let (plan, found) = site.check();
        assert_eq!(codes(&found), [""; 0]);
        assert_eq!(plan.locks[0].cable, Some(dw_core::DeviceId::new("cable-thin")));
        let thin = plan.locks[0].at_end_v;
        site.opening("D-1").door.transfer = Some(dw_core::Ohms::new(0.3));
        let (plan, found) = site.check();
        assert_eq!(codes(&found), [""; 0]);
        assert_eq!(plan.locks[0].cable, Some(dw_core::DeviceId::new("cable-thick")));
        site.opening("D-1").door.transfer = Some(dw_core::Ohms::new(5.0));
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-005"]);
        assert!(plan.locks[0].at_end_v < thin);
    }

    #[test]
    fn a_hinge_that_loses_too_much_is_named_instead_of_the_cable() {
        let mut site = site();
        site.device("lock").lock.on_leaf = Some(true);
        site.opening("D-1").door.transfer = Some(dw_core::Ohms::new(2.0));
        assert_eq!(codes(&site.check().1), ["POW-005"]);
        site.opening("D-1").door.transfer = Some(dw_core::Ohms::new(0.1));
        assert_eq!(codes(&site.check().1), [""; 0]);
    }
}
