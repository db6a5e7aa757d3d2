//! POW-016 power-limit-exceeded.

use dw_core::{Amps, OpeningId, Place, Volts, rule};

rule! {
    /// ## What it checks
    /// The highest current of a lock against the current of a class 2 source at the supply's highest voltage.
    /// ## Why it matters
    /// Above it the wiring of that output is not a power-limited circuit, and other wiring methods apply.
    /// ## Basis
    /// NFPA 70-2017 chapter 9 table 11(B): 5 A up to 20 V, 100 VA above.
    /// ## Example
    /// A latch retraction device that takes 12 A on switching, at 27.6 V: the limit is 3.62 A.
    /// ## What to do
    /// Wire that output as the local code asks of circuits that are not power-limited; a licensed person decides.
    pub struct PowerLimitExceeded: "POW-016" "power-limit-exceeded" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Highest current.
        pub current: Amps,
        /// Current of a class 2 source.
        pub limit: Amps,
        /// Highest voltage of the output.
        pub voltage: Volts,
    }
    place(it) { Place::of(&it.opening).field("lock") }
    headline(it) { format!("{}: the lock takes {:.2} at {:.1}, a class 2 source gives {:.2}", it.opening, it.current, it.voltage, it.limit) }
    help(_it) { vec!["Have a licensed person choose the wiring method of that output".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_lock_exactly_at_five_amperes_is_within_class_2() {
        let mut site = site();
        site.device("ctrl").control.output = None;
        site.device("lock").electrical.inrush = Some(dw_core::Amps::new(5.0));
        site.device("lock").electrical.min = Some(dw_core::Volts::new(1.0));
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("lock").electrical.inrush = Some(dw_core::Amps::new(5.01));
        assert_eq!(codes(&site.check().1), ["POW-016"]);
    }
}
