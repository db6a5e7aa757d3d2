//! POW-023 lock-margin-thin.

use dw_core::{OpeningId, Place, RoomId, Volts, rule};

/// A lock that works over the length counted and would not over a longer one.
#[derive(Clone, Debug)]
pub struct ThinMargin {
    /// Opening.
    pub opening: OpeningId,
    /// Voltage at the lock over the length counted.
    pub at_lock: Volts,
    /// Voltage over the longer run.
    pub longer: Volts,
    /// Least voltage it works at.
    pub needs: Volts,
}

rule! {
    /// ## What it checks
    /// Whether a lock that works over the length counted would still work if its run were 15 % longer.
    /// ## Why it matters
    /// Lengths taken from a plan are good to 10 to 15 %; a lock that passes by hundredths of a volt may fail on site.
    /// ## Basis
    /// Ohm's law; 15 % on lengths taken from plans (*common practice*).
    /// ## Example
    /// A lock that gets 9.62 V over 60 m, needs 9.60 V and would get 9.48 V over 69 m.
    /// ## What to do
    /// Walk the run and measure it, or lay a thicker conductor.
    pub struct LockMarginThin: "POW-023" "lock-margin-thin" Note since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The locks, the one that would fall furthest short first.
        pub locks: Vec<ThinMargin>,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { match &it.locks[..] {
            [first] => format!("{}: {}", it.room, told(first)),
            [first, others @ ..] => format!("{}: {}; {} more likewise", it.room, told(first), others.len()),
            [] => format!("{}: no lock", it.room),
        } }
    notes(it) { it.locks.iter().skip(1).map(told).collect() }
    help(_it) { vec![
            "Walk the run and measure it before the cable is ordered".to_owned(),
            "Lay a thicker conductor, or serve the opening from a nearer room".to_owned(),
        ] }
    related(it) { it.locks.iter().map(|lock| Place::of(&lock.opening)).collect() }
}

fn told(lock: &ThinMargin) -> String {
    format!(
        "{} gets {:.2} and needs {:.2}; over a run 15 % longer it would get {:.2}",
        lock.opening, lock.at_lock, lock.needs, lock.longer
    )
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_lock_that_fails_on_a_run_a_sixth_longer_is_noted_and_one_exactly_enough_there_is_not() {
        let mut site = site();
        site.job.policy.power.standby = Some(dw_core::Hours::ZERO);
        site.catalogue.devices.remove(&dw_core::DeviceId::new("cable-thick"));
        site.length("D-1", 115.0);
        let longer = site.check().0.locks[0].at_mains_v;
        site.length("D-1", 100.0);
        site.device("lock").electrical.min = Some(longer - dw_core::Volts::new(1e-9));
        assert_eq!(codes(&site.check_all().1), [""; 0]);
        site.device("lock").electrical.min = Some(longer + dw_core::Volts::new(0.01));
        let (plan, found) = site.check_all();
        assert_eq!(codes(&found), ["POW-023"]);
        assert!(plan.locks[0].at_mains_v > plan.locks[0].needs_v);
    }
}
