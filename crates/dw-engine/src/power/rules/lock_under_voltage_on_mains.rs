//! POW-002 lock-under-voltage-on-mains.

use dw_core::{OpeningId, Place, Volts, rule};

use super::Shortage;

rule! {
    /// ## What it checks
    /// The voltage at every electric lock with the supply on mains, at the lock's inrush current, over the thickest conductor there is.
    /// ## Why it matters
    /// A lock below its least voltage may not release, or may not hold.
    /// ## Basis
    /// Ohm's law; least voltage as the maker states, else nominal less 10 % (*common practice*).
    /// ## Example
    /// A 12 V lock of 1 A at the end of 200 m.
    /// ## What to do
    /// Shorten the run, use 24 V or a thicker conductor, or put a supply near the door.
    pub struct LockUnderVoltageOnMains: "POW-002" "lock-under-voltage-on-mains" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Voltage at the lock.
        pub at_lock: Volts,
        /// Least voltage it works at.
        pub needs: Volts,
        /// How the run falls short.
        pub shortage: Shortage,
    }
    place(it) { Place::of(&it.opening).field("lock") }
    headline(it) { format!("{}: {:.1} at the lock on mains, it needs {:.1}", it.opening, it.at_lock, it.needs) }
    notes(it) { vec![format!(
            "{:.2} over {:.1} out and back {:.3} at {:.1}; {}",
            it.shortage.current, it.shortage.length, it.shortage.loop_ohm, it.at_lock, super::reach(&it.shortage)
        )] }
    help(_it) { vec![
            "Serve the opening from a nearer room, or put a supply near the door".to_owned(),
            "Use a 24 V lock: half the current and twice the room for loss".to_owned(),
            "Put a thicker cable into the catalogue".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_run_too_long_for_every_cable_is_stopped_and_says_how_far_it_would_reach() {
        let mut site = site();
        site.length("D-1", 900.0);
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-002"]);
        assert!(found[0].notes[0].contains("would reach"), "{:?}", found[0].notes);
        assert_eq!(plan.locks[0].cable, None);
    }

    #[test]
    fn exactly_at_its_least_voltage_a_lock_works_and_a_millivolt_above_it_does_not() {
        let mut site = site();
        site.job.policy.power.standby = Some(dw_core::Hours::ZERO);
        site.length("D-1", 200.0);
        let at = site.thickest_only().check().0.locks[0].at_mains_v;
        site.device("lock").electrical.min = Some(at);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("lock").electrical.min = Some(at + dw_core::Volts::new(0.001));
        assert_eq!(codes(&site.check().1), ["POW-002"]);
    }
}
