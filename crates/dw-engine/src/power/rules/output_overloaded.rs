//! POW-017 output-overloaded.

use dw_core::{Amps, DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The current of a lock at its worst moment against what the controller's lock output switches.
    /// ## Why it matters
    /// Contacts weld or burn off: the lock stays as it is.
    /// ## Basis
    /// The controller's maker.
    /// ## Example
    /// A latch retraction device of 12 A on an output of 3 A.
    /// ## What to do
    /// Switch the lock through a relay of its own, or choose a lock that draws less.
    pub struct OutputOverloaded: "POW-017" "output-overloaded" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The controller.
        pub device: Option<DeviceId>,
        /// Highest current.
        pub current: Amps,
        /// Current the output switches.
        pub limit: Amps,
    }
    place(it) { Place::of(&it.opening).field("lock") }
    headline(it) { format!(
            "{}: the lock takes {:.2}, the output of {} switches {:.2}",
            it.opening, it.current, it.device.as_ref().map_or("its controller", dw_core::Id::text), it.limit
        ) }
    help(_it) { vec!["Switch the lock through a relay of its own".to_owned(), "Choose a lock that draws less".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn an_output_exactly_at_its_limit_switches_the_lock() {
        let mut site = site();
        let current = site.check().0.locks[0].current_a;
        site.device("ctrl").control.output = Some(current);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("ctrl").control.output = Some(current * 0.99);
        assert_eq!(codes(&site.check().1), ["POW-017"]);
    }
}
