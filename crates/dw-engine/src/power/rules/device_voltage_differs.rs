//! POW-905 device-voltage-differs.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The voltages at the devices, put back into Kirchhoff's laws, agree with the plan, and each margin is the least of its cases. A finding here is an error in the program or in a plan edited by hand, not in the survey.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built.
    /// ## Basis
    /// Kirchhoff's laws, by code of its own that solves nothing and shares nothing with the pass.
    /// ## Example
    /// 10.9 V planned, 10.6 V with the current drawn at that voltage.
    /// ## What to do
    /// Undo edits of the plan; if there were none, report the job as an error of the program.
    pub struct DeviceVoltageDiffers: "POW-905" "device-voltage-differs" Stop since "0.1" {
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
    use dw_core::{Ohms, Volts};

    use crate::power::testing::*;

    #[test]
    fn a_voltage_a_loop_or_a_margin_that_was_edited_is_caught() {
        let mut site = site();
        site.wire_reader("D-1");
        let lift = |volts: Volts| volts + Volts::new(0.01);
        assert_eq!(codes(&site.judge(|_| ())), [""; 0]);
        assert_eq!(
            codes(&site.judge(|plan| plan.devices[0].at_mains_v = lift(plan.devices[0].at_mains_v))),
            ["POW-905"]
        );
        assert_eq!(
            codes(&site.judge(|plan| plan.devices[1].at_float_v = lift(plan.devices[1].at_float_v))),
            ["POW-905"]
        );
        assert_eq!(
            codes(&site.judge(|plan| plan.devices[0].at_end_v = plan.devices[0].at_end_v.map(lift))),
            ["POW-905"]
        );
        assert_eq!(codes(&site.judge(|plan| plan.devices[0].margin_v = Some(Volts::new(5.0)))), ["POW-905"]);
        assert_eq!(codes(&site.judge(|plan| plan.devices[0].loop_ohm = Ohms::new(9.0))), ["POW-905"]);
        assert_eq!(codes(&site.judge(|plan| plan.devices.truncate(1))), ["POW-905"], "the lock has no voltage");
        let zero = |plan: &mut crate::power::PowerPlan| plan.devices[0].at_mains_v = Volts::ZERO;
        assert_eq!(codes(&site.judge(zero)), ["POW-905"], "planned as collapsed");
    }
}
