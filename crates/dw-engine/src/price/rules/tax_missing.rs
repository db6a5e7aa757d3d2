//! PRC-009.

use dw_core::{Currency, Money, Place, rule};

rule! {
    /// ## What it checks
    /// The policy states a rate of tax.
    /// ## Why it matters
    /// A customer may read the total as the amount to pay.
    /// ## Basis
    /// `money.tax_percent`.
    /// ## Example
    /// No rate: the total is the net price.
    /// ## What to do
    /// State the rate; 0 where none is due.
    pub struct TaxMissing: "PRC-009" "tax-missing" Note since "0.1" {
        /// Net price.
        pub net: Money,
        /// Its currency.
        pub currency: Currency,
    }
    place(_it) { Place::named("policy", "").field("money.tax_percent") }
    headline(it) { format!("tax: no rate is stated, so the total is the net price {} {}", it.currency.code(), it.net) }
    help(_it) { vec!["State money.tax_percent; 0 where none is due".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::price::testing::{Site, codes, headlines, price};

    #[test]
    fn no_rate_is_told() {
        let mut site = Site::doors(1);
        site.job.policy.money.tax_percent = None;
        assert_eq!(codes(&site), ["PRC-009"]);
        let net = price(&site).net;
        assert_eq!(headlines(&site), [format!("tax: no rate is stated, so the total is the net price EUR {net}")]);
    }

    #[test]
    fn a_rate_of_nothing_is_a_rate() {
        let mut site = Site::doors(1);
        site.job.policy.money.tax_percent = Some(0.0);
        assert_eq!(codes(&site), [""; 0]);
    }
}
