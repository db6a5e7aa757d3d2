//! CAP-006.

use dw_core::{Place, rule};

use super::counted;

rule! {
    /// ## What it checks
    /// The catalogue offers licences, with a price and an opening count, for the head-end wanted.
    /// ## Why it matters
    /// The price would miss the licences.
    /// ## Basis
    /// Licences of the catalogue; they count by openings under control.
    /// ## Example
    /// A licence without `limits.openings` cannot be counted.
    /// ## What to do
    /// State price and opening count of the licences; a head-end that needs none gets one of price 0.
    pub struct LicenceMissing: "CAP-006" "licence-missing" Fix since "0.1" {
        /// Openings under control.
        pub openings: u32,
        /// Licences the catalogue has for this kind of head-end.
        pub offered: usize,
    }
    place(_it) { Place::named("policy", "").field("head_end") }
    headline(it) { format!("licences: {} to license, none of {} licences states price and opening count", counted(it.openings), it.offered) }
    help(_it) { vec!["Add licences with price and limits.openings to the catalogue".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn no_licence_is_told() {
        check(&Case { licence: None, ..Case::default() }, &["CAP-006"]);
    }

    #[test]
    fn a_licence_is_quiet() {
        check(&Case { licence: Some(1), ..Case::default() }, &[]);
    }

    #[test]
    fn a_licence_for_no_opening_counts_as_none() {
        check(&Case { licence: Some(0), ..Case::default() }, &["CAP-006"]);
    }
}
