//! POW-904 network-feed-differs.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The power of every network feed, worked out anew, is what its class gives. A finding here is an error in the program or in a plan edited by hand, not in the survey.
    /// ## Why it matters
    /// A plan that contradicts itself must not be built.
    /// ## Basis
    /// Worked out by code of its own that shares nothing with the pass.
    /// ## Example
    /// Class 4 stated for 27 W.
    /// ## What to do
    /// Undo edits of the plan; if there were none, report the job as an error of the program.
    pub struct NetworkFeedDiffers: "POW-904" "network-feed-differs" Stop since "0.1" {
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
    fn a_class_that_does_not_give_the_power_is_caught() {
        let mut site = site();
        site.network_unit(25.0);
        assert_eq!(codes(&site.judge(|_| ())), [""; 0]);
        assert_eq!(codes(&site.judge(|plan| plan.network_feeds[0].class = Some(3))), ["POW-904"]);
        assert_eq!(codes(&site.judge(|plan| plan.network_feeds[0].source_w = dw_core::Watts::new(20.0))), ["POW-904"]);
    }
}
