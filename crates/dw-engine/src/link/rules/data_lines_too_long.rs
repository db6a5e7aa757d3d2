//! LNK-001 data-lines-too-long.

use dw_core::{DeviceId, Metres, Money, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The cable of a reader on two data lines is no longer than any text allows for its conductor.
    /// ## Why it matters
    /// Pulses arrive too small or too late; cards are refused at random, and nobody is told.
    /// ## Basis
    /// 150 m (500 ft) on 18 to 22 AWG screened, credited to SIA AC-01-1996.10 (*from memory*, *common practice*).
    /// ## Example
    /// D-101: the data lines of DW-R1M are 163 m long, no text allows more than 150 m.
    /// ## What to do
    /// Serve the opening from a nearer room, or fit a reader on a bus.
    pub struct DataLinesTooLong: "LNK-001" "data-lines-too-long" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The reader.
        pub reader: DeviceId,
        /// Length of its cable.
        pub length: Metres,
        /// The longest any text allows.
        pub longest: Metres,
        /// The cheapest reader on a bus that would do, and what it costs more.
        pub bus_reader: Option<(DeviceId, Money)>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: the data lines of {} are {:.0} long, no text allows more than {:.0}", it.opening, it.reader, it.length, it.longest) }
    help(it) {
        let bus = it.bus_reader.as_ref().map(|(id, more)| format!("Fit {id}, a reader on a bus: {more} more before mark-up"));
        bus.into_iter().chain(["Serve it from a nearer room (a pin), or put a unit that decides at the opening".to_owned()]).collect()
     }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn a_metre_beyond_what_any_text_allows_is_told() {
        check(&Case { on_lines: true, lengths: vec![151.0], ..Case::default() }, &["LNK-001", "LNK-021"]);
    }

    #[test]
    fn exactly_as_long_as_a_text_allows_is_only_noted() {
        check(&Case { on_lines: true, lengths: vec![150.0], ..Case::default() }, &["LNK-002", "LNK-021"]);
    }
}
