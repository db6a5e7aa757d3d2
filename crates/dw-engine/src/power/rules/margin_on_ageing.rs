//! POW-020 margin-on-ageing.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Whether a fire-style margin of 20 % or more and an end of life below 100 % are both counted.
    /// ## Why it matters
    /// A margin of that size already covers ageing; counting both makes batteries half as large again.
    /// ## Basis
    /// NFPA 72 margin (20 % in 2010 to 2019, 25 % in 2022) against IEEE Std 485 (design margin 10-15 % and ageing ÷ 0.8).
    /// ## Example
    /// Margin 25 % and end of life 80 %: together 1.56.
    /// ## What to do
    /// Keep one of them, unless the specification asks for both.
    pub struct MarginOnAgeing: "POW-020" "margin-on-ageing" Note since "0.1" {
        /// Margin as a factor.
        pub margin: f64,
        /// Share of capacity left at the end of life.
        pub end_of_life: f64,
    }
    place(_it) { Place::named("policy", "").field("power.battery_margin_percent") }
    headline(it) { format!(
            "policy: margin {:.0} % and end of life {:.0} % together make batteries {:.2} times as large",
            (it.margin - 1.0) * 100.0, it.end_of_life * 100.0, it.margin / it.end_of_life
        ) }
    help(_it) { vec!["Set battery_end_of_life_percent = 100 where the margin covers ageing, or a design margin of 10 %".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_fifth_on_top_of_ageing_is_told_and_less_is_a_design_margin() {
        let mut site = site();
        site.job.policy.power.battery_margin_percent = Some(20.0);
        assert_eq!(codes(&site.check().1), ["POW-020"]);
        site.job.policy.power.battery_margin_percent = Some(19.0);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.job.policy.power.battery_margin_percent = Some(25.0);
        site.job.policy.power.battery_end_of_life_percent = Some(100.0);
        assert_eq!(codes(&site.check().1), [""; 0]);
    }
}
