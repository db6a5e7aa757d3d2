//! POW-902 lock-voltage-differs.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The voltage at every lock, worked out anew by another way, agrees with the plan. A finding here is an error in the program or in a plan edited by hand, not in the survey.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built.
    /// ## Basis
    /// Worked out by code of its own that shares nothing with the pass.
    /// ## Example
    /// 10.9 V planned, 10.6 V worked out anew.
    /// ## What to do
    /// Undo edits of the plan; if there were none, report the job as an error of the program.
    pub struct LockVoltageDiffers: "POW-902" "lock-voltage-differs" Stop since "0.1" {
        /// The object.
        pub place: Place,
        /// What was found, both figures.
        pub what: String,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("{}: {}", it.place.id, it.what) }
    help(_it) { vec!["Undo edits of the plan; if there were none, report the job as an error of the program".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_voltage_that_was_edited_is_caught() {
        let mut site = site();
        let lift = |volts: dw_core::Volts| volts + dw_core::Volts::new(0.5);
        assert_eq!(codes(&site.judge(|plan| plan.locks[0].at_end_v = lift(plan.locks[0].at_end_v))), ["POW-902"]);
        assert_eq!(codes(&site.judge(|plan| plan.locks[0].at_mains_v = lift(plan.locks[0].at_mains_v))), ["POW-902"]);
        assert_eq!(codes(&site.judge(|plan| plan.locks[0].length_m = dw_core::Metres::new(90.0))), ["POW-902"]);
    }
}
