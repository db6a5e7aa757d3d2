//! CAP-901.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// A capacity plan keeps its own promises: every controlled and served opening is held by one device that decides,
    /// stores count at least the users of each of their openings, head-ends and licences cover the openings.
    /// ## Why it matters
    /// A plan that breaks them was edited by hand or computed wrongly; no figure of it should be used.
    /// ## Basis
    /// Balance checks of this tool, computed on their own from survey and plan.
    /// ## Example
    /// 40 openings and licences for 32.
    /// ## What to do
    /// Compute the design again; report the fault if it comes back.
    pub struct PlanInconsistent: "CAP-901" "capacity-plan-inconsistent" Stop since "0.1" {
        /// Where.
        pub place: Place,
        /// What does not hold, with both figures.
        pub what: String,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("capacity plan: {}", it.what) }
    help(_it) { vec!["Compute the design again; report the fault if it comes back".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, plan, verified};

    #[test]
    fn our_own_plan_is_consistent() {
        let case = Case { openings: 9, people: 400, ..Case::default() };
        assert_eq!(verified(&case, &plan(&case).0), Vec::<String>::new());
    }

    #[test]
    fn each_broken_promise_is_told() {
        let case = Case { openings: 9, people: 400, licence: Some(1), ..Case::default() };
        let whole = plan(&case).0;
        let mut plan = whole.clone();
        plan.licences[0].1 -= 1;
        assert_eq!(verified(&case, &plan), ["capacity plan: 9 openings, licences for 8"]);
        let mut plan = whole.clone();
        plan.holders.remove(0);
        assert_eq!(verified(&case, &plan).len(), 4);
        let mut plan = whole.clone();
        plan.holders[0].stores[0].needed = 399;
        let told = verified(&case, &plan);
        assert_eq!(
            (told.len(), told[0].as_str()),
            (4, "capacity plan: T/C1: 399 cards planned, D-1 alone has 400 users")
        );
        let mut plan = whole;
        plan.head_ends = 0;
        assert_eq!(verified(&case, &plan), ["capacity plan: 9 openings, 0 head-ends for 0"]);
    }
}
