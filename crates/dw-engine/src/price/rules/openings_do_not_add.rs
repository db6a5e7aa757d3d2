//! PRC-903.

use dw_core::{Money, Place, rule};

rule! {
    /// ## What it checks
    /// What the openings take and what is shared give the net price, to the cent; each opening's net follows from its
    /// materials and labour; hours at openings are among the hours of the lines.
    /// ## Why it matters
    /// A customer who strikes an opening off the schedule expects the price to fall by what the schedule says.
    /// ## Basis
    /// Added again on its own, as whole cents. Differences of rounding belong to what is shared.
    /// ## Example
    /// Openings and shared give 9,999.99 where the net price is 10,000.00.
    /// ## What to do
    /// Compute the design again; report the fault if it comes back.
    pub struct OpeningsDoNotAdd: "PRC-903" "openings-do-not-add" Stop since "0.1" {
        /// Where.
        pub place: Place,
        /// What does not add up.
        pub what: String,
        /// As written.
        pub written: Money,
        /// As added again.
        pub expected: Money,
    }
    place(it) { it.place.clone() }
    headline(it) { format!("price: {} is {}, {} expected", it.what, it.written, it.expected) }
    help(_it) { vec!["Compute the design again; report the fault if it comes back".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_core::{Hours, Money};

    use crate::price::testing::{Site, price, verified};

    #[test]
    fn a_lost_cent_is_told() {
        let site = Site::doors(3);
        let mut wrong = price(&site);
        wrong.shared = wrong.shared - Money::from_cents(1);
        assert_eq!(verified(&site, &wrong), ["PRC-903"]);
    }

    #[test]
    fn an_opening_off_by_a_cent_is_told_twice() {
        let site = Site::doors(3);
        let mut wrong = price(&site);
        wrong.openings[1].net += Money::from_cents(1);
        assert_eq!(verified(&site, &wrong), ["PRC-903", "PRC-903"]);
    }

    #[test]
    fn hours_out_of_nowhere_are_told() {
        let site = Site::doors(3);
        let mut wrong = price(&site);
        wrong.openings[0].hours_h += Hours::new(1000.0);
        assert_eq!(verified(&site, &wrong), ["PRC-903"]);
    }
}
