//! LNK-008 dead-reader-delays.

use dw_core::rule;

use super::{at, openings};
use crate::link::{Bus, Polling};

rule! {
    /// ## What it checks
    /// With one reader of a bus dead, the others still answer within one and a half times the time allowed.
    /// ## Why it matters
    /// A dead reader that is still asked costs 200 ms in every round: the whole bus grows slow until somebody takes it out.
    /// ## Basis
    /// OSDP v2.2 s5.7: a reply is awaited for 200 ms. One and a half times is *common practice*.
    /// ## Example
    /// TR-1/C1 bus 1: a card waits up to 353 ms with one of 4 readers dead, 177 ms with all alive.
    /// ## What to do
    /// Nothing, or a bus for each port. Let the controller ask a silent reader less often.
    pub struct DeadReaderDelays: "LNK-008" "dead-reader-delays" Note since "0.1" {
        /// The bus.
        pub bus: Bus,
        /// What polling takes.
        pub polling: Polling,
        /// Time allowed.
        pub target_ms: f64,
    }
    place(it) { at(&it.bus) }
    headline(it) {
        format!(
            "{}: a card waits up to {:.0} ms with one of {} readers dead, {:.0} ms with all alive",
            it.bus.label, it.polling.wait_one_dead_ms, it.bus.readers.len(), it.polling.wait_ms
        )
     }
    notes(it) { vec![format!("{:.0} ms are allowed for a round with all alive", it.target_ms)] }
    help(_it) { vec!["Let the controller ask a silent reader less often, where it can be set".to_owned(), "Set a higher bit rate, or divide the readers between two buses".to_owned()] }
    related(it) { openings(&it.bus) }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check, headlines};

    fn four(target: f64) -> Case {
        let lengths = vec![40.0, 0.0, 0.0, 0.0];
        Case { lengths, buses: Some(1), poll_target_ms: Some(target), ..Case::default() }
    }

    #[test]
    fn four_readers_wait_longer_for_a_dead_one_than_the_target_bears() {
        check(&four(200.0), &["LNK-008"]);
        assert!(headlines(&four(200.0))[0].contains("up to 353 ms with one of 4 readers dead, 177 ms with all alive"));
        check(&four(236.0), &[]);
    }
}
