//! CAP-005.

use dw_core::{DeviceId, Place, rule};

use super::counted;

rule! {
    /// ## What it checks
    /// One head-end of the kind wanted serves all openings under control.
    /// ## Why it matters
    /// Two head-ends are two sets of people and rights to keep in step; the customer should know and agree.
    /// ## Basis
    /// Opening limits of the catalogue.
    /// ## Example
    /// 70 openings and an appliance for 32: three appliances are in the price.
    /// ## What to do
    /// Agree on several head-ends, or choose a kind with a larger limit.
    pub struct HeadEndOpeningsExceeded: "CAP-005" "head-end-openings-exceeded" Fix since "0.1" {
        /// The head-end chosen.
        pub device: DeviceId,
        /// Openings under control.
        pub openings: u32,
        /// Openings one serves.
        pub limit: u32,
        /// How many are planned.
        pub number: u32,
    }
    place(_it) { Place::named("policy", "").field("head_end") }
    headline(it) {
        format!("head-end {}: {} exceed the {} of one; {} are planned", it.device, counted(it.openings), it.limit, it.number)
    }
    help(_it) {
        vec![
            "Agree with the customer that several head-ends are kept in step".to_owned(),
            "Choose a kind of head-end with a larger limit in the policy".to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    #[test]
    fn one_opening_more_than_a_head_end_serves_is_told() {
        check(&Case { openings: 5, head_end: Some((4, 10_000)), ..Case::default() }, &["CAP-005"]);
    }

    #[test]
    fn exactly_its_limit_is_quiet() {
        check(&Case { openings: 4, head_end: Some((4, 10_000)), ..Case::default() }, &[]);
    }
}
