//! PLC-010 search-stopped.

use dw_core::{Currency, Money, Place, rule};

rule! {
    /// ## What it checks
    /// The search for a cheaper plan went on until its effort was spent.
    /// ## Why it matters
    /// Somebody stopped it. The plan keeps every rule and its bound is proven, but a cheaper one may have been found a little
    /// later, and the same job need not give the same plan again.
    /// ## Basis
    /// The design is a function of the job only where no clock and no hand ends the search.
    /// ## Example
    /// The search was stopped at EUR 48210.00, bound EUR 47600.00, within 1.27 % of the least cost for this data.
    /// ## What to do
    /// Design the job again and let it finish before papers are issued, with less effort if time is short.
    pub struct SearchStopped: "PLC-010" "search-stopped" Note since "0.1" {
        /// Cost of the plan.
        pub cost: Money,
        /// No plan costs less.
        pub bound: Money,
        /// (cost - bound) / cost.
        pub gap: f64,
        /// Their currency.
        pub currency: Currency,
    }
    place(_it) { Place::job() }
    headline(it) {
        let currency = it.currency.code();
        format!(
            "The search was stopped at {currency} {}, bound {currency} {}, within {:.2} % of the least cost for this data",
            it.cost,
            it.bound,
            it.gap * 100.0
        )
    }
    help(_it) { vec!["Design the job again and let it finish before papers are issued".to_owned()] }
}
