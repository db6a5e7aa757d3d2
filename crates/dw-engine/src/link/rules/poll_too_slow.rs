//! LNK-007 poll-too-slow.

use dw_core::rule;

use super::{at, openings};
use crate::link::Bus;

rule! {
    /// ## What it checks
    /// Every reader of a bus is asked once within the time the job allows.
    /// ## Why it matters
    /// Somebody holds a card up, nothing happens, and it is held up again.
    /// ## Basis
    /// Frame lengths of OSDP v2.2 (IEC 60839-11-5); 10 ms for a device to turn round and 200 ms for all readers are *common practice*.
    /// ## Example
    /// TR-1/C1 bus 1: 8 readers are asked once in 322 ms at 9600 bit/s, 200 ms are allowed.
    /// ## What to do
    /// Set a higher bit rate where every device has it, or divide the readers between two buses.
    pub struct PollTooSlow: "LNK-007" "poll-too-slow" Fix since "0.1" {
        /// The bus.
        pub bus: Bus,
        /// Time to ask every reader once.
        pub cycle_ms: f64,
        /// Time allowed.
        pub target_ms: f64,
        /// The lowest bit rate that would do, if a reader and its controller had it.
        pub faster: Option<u32>,
    }
    place(it) { at(&it.bus) }
    headline(it) {
        format!(
            "{}: {} readers are asked once in {:.0} ms at {} bit/s, {:.0} ms are allowed",
            it.bus.label, it.bus.readers.len(), it.cycle_ms, it.bus.bit_rate, it.target_ms
        )
     }
    help(it) {
        let faster = it.faster.map(|rate| format!("Set {rate} bit/s, where every device has it and the trunk bears it (link.highest_bit_per_s): nothing to buy"));
        faster.into_iter().chain(["Divide the readers between two buses or controllers".to_owned()]).collect()
     }
    related(it) { openings(&it.bus) }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check, headlines};

    /// Readers on one bus, with cables of no length but one.
    fn bus(readers: usize, highest: Option<f64>) -> Case {
        let mut lengths = vec![0.0; readers];
        lengths[0] = 40.0;
        Case { lengths, buses: Some(1), highest, unit_load: Some(0.125), ..Case::default() }
    }

    #[test]
    fn five_readers_at_the_slowest_rate_are_one_too_many() {
        check(&bus(4, None), &["LNK-008"]);
        check(&bus(5, None), &["LNK-007"]);
        assert!(headlines(&bus(8, None))[0].contains("8 readers are asked once in 322 ms at 9600 bit/s"));
    }

    #[test]
    fn where_every_device_is_fast_a_higher_rate_is_set() {
        check(&bus(5, Some(38_400.0)), &["LNK-008"]);
        check(&bus(2, Some(38_400.0)), &[]);
        check(&bus(16, Some(115_200.0)), &["LNK-007"]);
        check(&bus(15, Some(115_200.0)), &["LNK-008"]);
    }
}
