//! POW-006 transfer-cores-too-few.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Whether a hinge or door loop has the cores its lock, lock state and handle switch need.
    /// ## Why it matters
    /// A missing core is found on the last day, with the door hung.
    /// ## Basis
    /// Two cores for the lock, two for its state, two for a handle switch (*common practice*).
    /// ## Example
    /// A monitored lock with a handle switch behind a loop of four cores; it needs six.
    /// ## What to do
    /// Use a power transfer with more cores, or do without the lock's state.
    pub struct TransferCoresTooFew: "POW-006" "transfer-cores-too-few" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Cores there are.
        pub cores: u32,
        /// Cores needed.
        pub needs: u32,
    }
    place(it) { Place::of(&it.opening).field("door.transfer_cores") }
    headline(it) { format!("{}: the power transfer has {} cores, {} are needed", it.opening, it.cores, it.needs) }
    help(_it) { vec![
            "Use a power transfer with more cores".to_owned(),
            "Leave door.transfer_cores out when the old transfer gives way to a new one".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn cores_exactly_enough_are_enough_and_one_less_is_not() {
        let mut site = site();
        site.device("lock").lock.on_leaf = Some(true);
        site.device("lock").lock.monitored = Some(true);
        site.opening("D-1").door.transfer = Some(dw_core::Ohms::new(0.1));
        site.opening("D-1").door.transfer_cores = Some(4);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.opening("D-1").door.transfer_cores = Some(3);
        assert_eq!(codes(&site.check().1), ["POW-006"]);
    }
}
