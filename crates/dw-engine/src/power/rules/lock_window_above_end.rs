//! POW-004 lock-window-above-end.

use dw_core::{DeviceId, OpeningId, Place, Volts, rule};

rule! {
    /// ## What it checks
    /// Whether the least voltage of a lock lies below the end voltage of its battery at all.
    /// ## Why it matters
    /// Where it lies above, no conductor helps: the lock falls out of its window before the battery is empty. A 24 V lock rated ±10 % needs 21.6 V; a 24 V battery ends at 21.0 V.
    /// ## Basis
    /// End of discharge of a lead-acid battery 1.75 V a cell (from memory); the lock's maker.
    /// ## Example
    /// A lock of 24 V -10 % on a supply with battery.
    /// ## What to do
    /// Choose a lock with a wider window, or a supply whose output is held up while it runs on battery, and say so in the catalogue's least voltage of the lock's feed.
    pub struct LockWindowAboveEnd: "POW-004" "lock-window-above-end" Stop since "0.1" {
        /// The lock.
        pub lock: DeviceId,
        /// Least voltage it works at.
        pub needs: Volts,
        /// Voltage of the battery at its end.
        pub end: Volts,
        /// Openings that use it.
        pub openings: Vec<OpeningId>,
    }
    place(it) { Place::of(&it.lock) }
    headline(it) { format!(
            "{}: needs {:.1}, the battery ends at {:.1}, before any cable ({} {})",
            it.lock, it.needs, it.end, it.openings.len(), if it.openings.len() == 1 { "opening" } else { "openings" }
        ) }
    help(_it) { vec![
            "Choose a lock that works at a lower voltage".to_owned(),
            "Feed these locks from a supply whose output is regulated on battery".to_owned(),
            "Accept it in writing where the locks fail to the position wanted; the authority having jurisdiction decides".to_owned(),
        ] }
    related(it) { it.openings.iter().map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_lock_rated_within_a_tenth_is_told_once_for_all_its_openings() {
        let mut site = site();
        site.add_opening("D-2");
        site.device("lock").electrical.min = Some(dw_core::Volts::new(10.8));
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-004"]);
        assert_eq!(found[0].related.len(), 2);
        assert!(plan.locks.iter().all(|feed| feed.cable.is_some()), "a cable good on mains is still chosen");
    }

    #[test]
    fn a_least_voltage_exactly_at_the_end_is_not_above_it() {
        let mut site = site();
        site.device("lock").electrical.min = Some(dw_core::Volts::new(10.5));
        assert_eq!(codes(&site.check().1), ["POW-003"]);
        site.device("lock").electrical.min = Some(dw_core::Volts::new(10.4));
        assert_eq!(codes(&site.check().1), [""; 0]);
    }
}
