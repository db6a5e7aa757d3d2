//! PRC-902.

use dw_core::{Money, Place, rule};

rule! {
    /// ## What it checks
    /// Every line of a price is its quantity times its unit price or rate, to the cent.
    /// ## Why it matters
    /// A line that cannot be checked on paper cannot be ordered from.
    /// ## Basis
    /// Every line is worked out again on its own.
    /// ## Example
    /// 3 at 98.00 written as 294.01.
    /// ## What to do
    /// Compute the design again; report the fault if it comes back.
    pub struct LineWrong: "PRC-902" "price-line-wrong" Stop since "0.1" {
        /// Which line.
        pub line: String,
        /// As written.
        pub written: Money,
        /// As worked out again.
        pub expected: Money,
    }
    place(_it) { Place::job() }
    headline(it) { format!("price line {}: {} written, {} worked out", it.line, it.written, it.expected) }
    help(_it) { vec!["Compute the design again; report the fault if it comes back".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_core::{Hours, Money};

    use crate::price::testing::{Site, price, verified};

    #[test]
    fn a_line_off_by_a_cent_is_told() {
        let site = Site::doors(2);
        let mut wrong = price(&site);
        wrong.materials[0].total += Money::from_cents(1);
        assert_eq!(verified(&site, &wrong), ["PRC-902", "PRC-901"]);
    }

    #[test]
    fn hours_that_do_not_match_the_money_are_told() {
        let site = Site::doors(2);
        let mut wrong = price(&site);
        wrong.labour[0].hours_h += Hours::new(0.1);
        assert_eq!(verified(&site, &wrong), ["PRC-902"]);
    }

    #[test]
    fn our_own_lines_are_right() {
        let site = Site::doors(2);
        assert_eq!(verified(&site, &price(&site)), [""; 0]);
    }
}
