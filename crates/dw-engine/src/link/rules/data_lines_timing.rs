//! LNK-003 data-lines-timing.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// The pulses of a reader on two data lines keep the limits of the interface.
    /// ## Why it matters
    /// A controller may miss pulses that are too short or too close.
    /// ## Basis
    /// SIA AC-01-1996.10: pulses of 20 to 100 us, 200 us to 20 ms apart (seen in a secondary text).
    /// ## Example
    /// DW-R9: pulse of 15 us every 1,000 us: pulse below 20 us.
    /// ## What to do
    /// Ask the maker, correct the record in the catalogue, or take another reader.
    pub struct DataLinesTiming: "LNK-003" "data-lines-timing" Fix since "0.1" {
        /// The reader.
        pub device: DeviceId,
        /// Width of its pulses.
        pub pulse_us: f64,
        /// Time from pulse to pulse.
        pub interval_us: f64,
        /// What is wrong.
        pub fault: &'static str,
    }
    place(it) { Place::of(&it.device).field("link.pulse_us") }
    headline(it) { format!("{}: pulse of {} us every {} us: {}", it.device, it.pulse_us, it.interval_us, it.fault) }
    help(_it) { vec!["Ask the maker for the figures, or take another reader".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn a_pulse_too_short_is_told_once_for_its_model() {
        let case = Case { on_lines: true, lengths: vec![10.0, 10.0], ..Case::default() };
        check(&Case { pulse_us: Some(19.9), ..case }, &["LNK-003", "LNK-021"]);
    }

    #[test]
    fn a_pulse_at_the_limit_is_quiet() {
        check(&Case { on_lines: true, lengths: vec![10.0], pulse_us: Some(20.0), ..Case::default() }, &["LNK-021"]);
    }
}
