//! Equipment that does not match the survey.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Every opening surveyed is equipped once, in the order of marks.
    /// ## Why it matters
    /// Later passes look openings up by mark.
    /// ## Basis
    /// An invariant of this tool.
    /// ## Example
    /// The survey has 50 openings, the equipment 49.
    /// ## What to do
    /// This is a fault of the tool: report it with the job.
    pub struct EquipmentOutOfStep: "EQP-901" "equipment-out-of-step" Stop since "0.1" {
        /// Openings surveyed.
        pub surveyed: usize,
        /// Openings equipped.
        pub equipped: usize,
    }
    place(_it) { Place::job() }
    headline(it) { format!("The survey has {} openings, {} are equipped in step with it", it.surveyed, it.equipped) }
    help(_it) { vec!["This is a fault of the tool, not of the job: report it".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn an_opening_that_was_forgotten_is_found() {
        assert_eq!(judged(|equipment| equipment.openings.clear()), ["EQP-901"]);
        assert!(judged(|_| {}).is_empty());
    }
}
