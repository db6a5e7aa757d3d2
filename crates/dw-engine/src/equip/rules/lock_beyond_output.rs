//! A lock that draws more than any controller output switches.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The lock's highest current is within what a controller output switches.
    /// ## Why it matters
    /// Contacts weld, or the output's fuse goes.
    /// ## Basis
    /// The catalogue's output current against the lock's inrush or working current.
    /// ## Example
    /// D-1: a solenoid exit device draws 13 A when it starts, outputs switch 3 A.
    /// ## What to do
    /// Use a motor-driven device, or switch the lock through a relay with its own supply.
    pub struct LockBeyondOutput: "EQP-031" "lock-beyond-output" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Highest current of the lock, mA.
        pub draws_ma: u32,
        /// Largest output, mA.
        pub output_ma: u32,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {} draws {:.2} A at most, outputs switch {:.2} A", it.opening, it.device, f64::from(it.draws_ma) / 1000.0, f64::from(it.output_ma) / 1000.0) }
    help(_it) { vec!["Use a lock with a motor instead of a solenoid".to_owned(), "Or switch it through a relay with a supply of its own".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_solenoid_exit_device_is_beyond_every_output() {
        assert!(pinned(&[("door.preparation", "\"exit-device\"")], "lock = \"BAR-SOLENOID\"").has("EQP-031"));
    }

    #[test]
    fn a_current_exactly_at_the_output_is_within() {
        assert!(!pinned(&[("door.preparation", "\"exit-device\"")], "lock = \"BAR\"").has("EQP-031"), "3.0 A of 3.0 A");
    }
}
