//! CAP-007.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// The catalogue states every limit that matters: what a device stores of the people it must know, the events it
    /// keeps, the openings a head-end serves.
    /// ## Why it matters
    /// A limit nobody stated is not no limit.
    /// ## Basis
    /// The catalogue's own figures; a missing figure is never taken as zero or as endless.
    /// ## Example
    /// A finger reader matches by itself and the maker's sheet gives no number of templates.
    /// ## What to do
    /// Ask the maker and write the figure into the catalogue.
    pub struct LimitNotStated: "CAP-007" "limit-not-stated" Fix since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// The field of the catalogue.
        pub key: &'static str,
        /// What is limited.
        pub what: &'static str,
        /// Most that is needed anywhere.
        pub needed: u32,
    }
    place(it) { Place::of(&it.device).field(it.key) }
    headline(it) { format!("{}: the catalogue states no limit of {}, {} needed", it.device, it.what, it.needed) }
    help(it) { vec![format!("Ask the maker and write {} into the catalogue", it.key)] }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn missing_limits_are_told_once_a_device_and_field() {
        check(&Case { openings: 5, cards: None, events: None, ..Case::default() }, &["CAP-007", "CAP-007"]);
    }

    #[test]
    fn stated_limits_are_quiet() {
        check(&Case::default(), &[]);
    }

    #[test]
    fn nobody_to_store_needs_no_limit() {
        check(&Case { people: 0, cards: None, events: None, ..Case::default() }, &[]);
    }
}
