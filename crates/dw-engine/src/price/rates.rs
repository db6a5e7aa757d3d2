//! Catalogue money in the currency of the price.

use dw_core::{DeviceId, Money};
use rust_decimal::Decimal;

use super::rules::ExchangeRateMissing;
use crate::Cx;
use crate::survey::Survey;

/// Converts catalogue prices.
#[derive(Clone, Copy)]
pub(super) struct Exchange {
    rate: Decimal,
}

impl Exchange {
    /// One to one where catalogue and job share a currency or the catalogue names none; else the rate of the job. A
    /// missing rate is told, and amounts stay as they are in the catalogue.
    pub(super) fn of(cx: &mut Cx<'_>, survey: &Survey, rate_given: bool) -> Self {
        let money = &survey.settings.money;
        let catalogue = cx.catalogue.heading.currency.clone();
        let rate = money.rate_from(catalogue.as_ref());
        let differs = catalogue.filter(|currency| *currency != money.currency);
        if let Some(catalogue) = differs.filter(|_| !rate_given || money.exchange_rate <= Decimal::ZERO) {
            cx.sink.report(&ExchangeRateMissing { catalogue, job: money.currency.clone() });
            return Self { rate: Decimal::ONE };
        }
        Self { rate }
    }

    /// The amount in the currency of the price, to the cent.
    pub(super) fn to_job(self, amount: Money) -> Money {
        amount.times(self.rate)
    }

    /// Price of one device, or of a metre of cable; `None` when the catalogue states none.
    pub(super) fn price(self, cx: &Cx<'_>, device: &DeviceId) -> Option<Money> {
        cx.device(device).and_then(|device| device.price).map(|price| self.to_job(price))
    }
}
