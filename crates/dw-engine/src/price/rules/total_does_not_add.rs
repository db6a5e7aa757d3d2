//! PRC-901.

use dw_core::{Money, Place, rule};

rule! {
    /// ## What it checks
    /// Every total of a price is the sum of its parts, to the cent.
    /// ## Why it matters
    /// A price that does not add up cannot be signed.
    /// ## Basis
    /// Every total is added again on its own, as whole cents.
    /// ## Example
    /// Net 1,000.01 where the parts give 1,000.00.
    /// ## What to do
    /// Compute the design again; report the fault if it comes back.
    pub struct TotalDoesNotAdd: "PRC-901" "total-does-not-add" Stop since "0.1" {
        /// Which total.
        pub what: &'static str,
        /// As written.
        pub written: Money,
        /// As added again.
        pub expected: Money,
    }
    place(_it) { Place::job() }
    headline(it) { format!("price: {} is {}, its parts give {}", it.what, it.written, it.expected) }
    help(_it) { vec!["Compute the design again; report the fault if it comes back".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_core::Money;

    use crate::price::testing::{Site, price, verified};

    #[test]
    fn our_own_price_adds_up() {
        let site = Site::doors(7);
        assert_eq!(verified(&site, &price(&site)), [""; 0]);
    }

    #[test]
    fn a_cent_too_much_anywhere_is_told() {
        let site = Site::doors(7);
        let cent = Money::from_cents(1);
        let mut wrong = price(&site);
        wrong.tax += cent;
        assert_eq!(verified(&site, &wrong), ["PRC-901", "PRC-901"]);
        let mut wrong = price(&site);
        wrong.materials_cost += cent;
        assert!(verified(&site, &wrong).contains(&"PRC-901"));
        let mut wrong = price(&site);
        wrong.total += Money::new(rust_decimal::Decimal::new(1, 3));
        assert_eq!(verified(&site, &wrong), ["PRC-901"]);
    }
}
