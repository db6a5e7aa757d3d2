//! POW-003 lock-under-voltage-at-end.

use dw_core::{OpeningId, Place, Volts, rule};

use super::Shortage;

rule! {
    /// ## What it checks
    /// The voltage at every electric lock when its battery is at the end of discharge, at the lock's inrush current.
    /// ## Why it matters
    /// Hours into a power cut the battery gives least, and just then a lock must still release.
    /// ## Basis
    /// Ohm's law; end of discharge as the battery's maker states (1.75 V a cell, 10.5 V, from memory).
    /// ## Example
    /// A lock that needs 10.2 V at the end of a battery at 10.5 V with 0.5 V lost on the way.
    /// ## What to do
    /// Shorten the run, use 24 V or a thicker conductor, put a supply near the door, or choose a lock that works at less.
    pub struct LockUnderVoltageAtEnd: "POW-003" "lock-under-voltage-at-end" Stop since "0.1" {
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
    headline(it) { format!("{}: {:.1} at the lock with the battery at its end, it needs {:.1}", it.opening, it.at_lock, it.needs) }
    notes(it) { vec![format!(
            "{:.2} over {:.1} out and back {:.3} at {:.1}; {}",
            it.shortage.current, it.shortage.length, it.shortage.loop_ohm, it.at_lock, super::reach(&it.shortage)
        )] }
    help(_it) { vec![
            "Serve the opening from a nearer room, or put a supply near the door".to_owned(),
            "Use a 24 V lock: half the current and twice the room for loss".to_owned(),
            "Choose a lock that works at a lower voltage".to_owned(),
            "Put a thicker cable into the catalogue".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn exactly_at_its_least_voltage_a_lock_works_and_a_millivolt_above_it_does_not() {
        let mut site = site();
        site.length("D-1", 60.0);
        let at = site.thickest_only().check().0.locks[0].at_end_v;
        site.device("lock").electrical.min = Some(at);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("lock").electrical.min = Some(at + dw_core::Volts::new(0.001));
        let (_, found) = site.check();
        assert_eq!(codes(&found), ["POW-003"]);
    }
}
