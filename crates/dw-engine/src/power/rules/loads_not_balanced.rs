//! POW-901 loads-not-balanced.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The loads of every enclosure add up to what it states, its supply carries them, and every device that draws current is counted exactly once. A finding here is an error in the program or in a plan edited by hand, not in the survey.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built.
    /// ## Basis
    /// Worked out by code of its own that shares nothing with the pass.
    /// ## Example
    /// Loads of 1.2 A in an enclosure that states 1.0 A.
    /// ## What to do
    /// Undo edits of the plan; if there were none, report the job as an error of the program.
    pub struct LoadsNotBalanced: "POW-901" "loads-not-balanced" Stop since "0.1" {
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
    fn a_plan_whose_sums_were_edited_is_caught_and_an_honest_one_is_not() {
        let mut site = site();
        assert_eq!(codes(&site.judge(|_| ())), [""; 0]);
        assert_eq!(codes(&site.judge(|plan| plan.enclosures[0].standby_a = dw_core::Amps::new(0.01))), ["POW-901"]);
        assert_eq!(codes(&site.judge(|plan| plan.enclosures[0].loads.truncate(1))), ["POW-901"]);
        assert_eq!(codes(&site.judge(|plan| plan.enclosures[0].loads[1].active_a = dw_core::Amps::ZERO)), ["POW-901"]);
        assert_eq!(codes(&site.judge(|plan| plan.locks.clear())), ["POW-901"]);
        site.device("battery-7").life_years = Some(4.0);
        assert_eq!(codes(&site.judge(|_| ())), [""; 0]);
        assert_eq!(codes(&site.judge(|plan| plan.enclosures[0].charger_a = dw_core::Amps::new(9.0))), ["POW-901"]);
        assert_eq!(codes(&site.judge(|plan| plan.enclosures[0].battery_years = Some(4.0))), ["POW-901"]);
    }
}
