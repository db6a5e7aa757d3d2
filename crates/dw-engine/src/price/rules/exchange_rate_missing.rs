//! PRC-003.

use dw_core::{Currency, Place, rule};

rule! {
    /// ## What it checks
    /// Where catalogue and job are in different currencies, the policy gives an exchange rate.
    /// ## Why it matters
    /// Amounts of one currency would be printed under the name of another.
    /// ## Basis
    /// `money.exchange_rate`: units of the job's currency for one of the catalogue's.
    /// ## Example
    /// Catalogue in EUR, job in GBP, no rate.
    /// ## What to do
    /// State the rate, or price in the catalogue's currency.
    pub struct ExchangeRateMissing: "PRC-003" "exchange-rate-missing" Stop since "0.1" {
        /// Currency of the catalogue.
        pub catalogue: Currency,
        /// Currency of the price.
        pub job: Currency,
    }
    place(_it) { Place::named("policy", "").field("money.exchange_rate") }
    headline(it) {
        format!("price in {}, catalogue in {}, no exchange rate; amounts are those of the catalogue", it.job.code(), it.catalogue.code())
    }
    help(it) {
        vec![
            format!("State money.exchange_rate: {} for one {}", it.job.code(), it.catalogue.code()),
            format!("Price in {}", it.catalogue.code()),
        ]
    }
}

#[cfg(test)]
mod tests {
    use dw_core::Currency;
    use rust_decimal::Decimal;

    use crate::price::testing::{Site, codes, price};

    fn abroad() -> Site {
        let mut site = Site::doors(1);
        site.catalogue.heading.currency = Currency::new("GBP");
        site
    }

    #[test]
    fn two_currencies_without_a_rate_are_told() {
        assert_eq!(codes(&abroad()), ["PRC-003"]);
    }

    #[test]
    fn a_rate_is_used() {
        let mut site = abroad();
        site.job.policy.money.exchange_rate = Some(2.0);
        site.survey.settings.money.exchange_rate = Decimal::TWO;
        assert_eq!(codes(&site), [""; 0]);
        let (here, there) = (price(&Site::doors(1)), price(&site));
        assert_eq!(there.materials_cost, here.materials_cost * 2);
        assert_eq!(there.labour_cost, here.labour_cost * 2);
    }

    #[test]
    fn one_currency_takes_no_rate() {
        let mut site = Site::doors(1);
        site.job.policy.money.exchange_rate = Some(2.0);
        site.survey.settings.money.exchange_rate = Decimal::TWO;
        assert_eq!(price(&site).net, price(&Site::doors(1)).net);
    }
}
