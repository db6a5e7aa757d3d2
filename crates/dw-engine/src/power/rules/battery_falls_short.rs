//! POW-903 battery-falls-short.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The fitted battery, discharged minute by minute at the end of its life, lasts through standby and alarm. A finding here is an error in the program or in a plan edited by hand, not in the survey.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built.
    /// ## Basis
    /// Worked out by code of its own that shares nothing with the pass.
    /// ## Example
    /// 3.2 h of the 4 h asked for.
    /// ## What to do
    /// Undo edits of the plan; if there were none, report the job as an error of the program.
    pub struct BatteryFallsShort: "POW-903" "battery-falls-short" Stop since "0.1" {
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
    fn a_battery_exchanged_for_a_smaller_one_is_caught() {
        let mut site = site();
        site.job.policy.power.standby = Some(dw_core::Hours::new(10.0));
        assert_eq!(codes(&site.judge(|_| ())), [""; 0]);
        let small = |plan: &mut crate::power::PowerPlan| {
            plan.enclosures[0].battery = Some(dw_core::DeviceId::new("battery-1"));
            plan.enclosures[0].fitted_ah = dw_core::AmpHours::new(1.0);
            plan.enclosures[0].charger_a = dw_core::Amps::new(0.3 + 1.15 / 48.0);
        };
        assert_eq!(codes(&site.judge(small)), ["POW-903"]);
    }
}
