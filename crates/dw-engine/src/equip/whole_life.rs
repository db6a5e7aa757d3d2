//! Whole-life cost: what a device costs over the years the policy counts, in today's money.
//!
//! Compared in the catalogue's currency, before mark-up and tax: both fall on every candidate alike.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Hours, Input, Money};
use dw_job::Catalogue;
use dw_job::catalogue::Device;
use rust_decimal::Decimal;

use crate::survey::MoneySettings;

/// Longest span counted, so that a mistyped policy cannot run away (*common practice*: no lock outlives it).
const MAX_YEARS: f64 = 60.0;

/// Shortest life counted, for the same reason.
const MIN_LIFE: f64 = 0.5;

/// What a whole-life cost is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct WholeLife {
    /// Price of one.
    pub price: Money,
    /// Labour to fit and commission it.
    pub labour: Money,
    /// Today's worth of one unit of money spent at every replacement.
    pub replacements: f64,
    /// What it costs a year to keep.
    pub yearly: Money,
    /// Today's worth of one unit of money spent every year.
    pub years: f64,
}

impl WholeLife {
    /// The sum in today's money.
    ///
    /// **Formula**: `(price + labour) * (1 + replacements) + yearly * years`, the two factors taken to a thousandth.
    pub(super) fn total(&self) -> Money {
        let first = self.price + self.labour;
        first + first.times_quantity(self.replacements) + self.yearly.times_quantity(self.years)
    }

    /// The part one of several users of a device bears, such as one lane of a body with two.
    pub(super) fn shared_by(self, users: u32) -> Self {
        if users <= 1 {
            return self;
        }
        let share = 1.0 / f64::from(users);
        let part = |sum: Money| sum.times_quantity(share);
        Self { price: part(self.price), labour: part(self.labour), yearly: part(self.yearly), ..self }
    }

    /// The inputs of its working.
    pub(super) fn inputs(&self) -> Vec<Input> {
        vec![
            Input::new("price", self.price, ""),
            Input::new("labour", self.labour, ""),
            Input::new("replacements", self.replacements, ""),
            Input::new("yearly", self.yearly, ""),
            Input::new("years", self.years, ""),
        ]
    }
}

/// The formula of [`WholeLife::total`] as printed.
pub(super) const FORMULA: &str = "(price + labour) * (1 + replacements) + yearly * years + control";

/// Where the formula comes from.
pub(super) const SOURCE: &str = "Present worth of future sums (ISO 15686-5:2017, life-cycle costing, method from memory); replacements at each end of life";

/// Counts whole-life costs of devices, each once.
pub(crate) struct Costs {
    fit_rate: Option<Money>,
    commission_rate: Option<Money>,
    span: f64,
    discount: f64,
    of_device: BTreeMap<DeviceId, WholeLife>,
}

impl Costs {
    /// Rates are those of the catalogue's fitter and engineer.
    pub(crate) fn new(catalogue: &Catalogue, money: &MoneySettings) -> Self {
        let fit_rate = catalogue.fitter().and_then(|grade| grade.rate_per_hour);
        let commission_rate = catalogue.engineer().and_then(|grade| grade.rate_per_hour);
        let span = money.whole_life_years.clamp(0.0, MAX_YEARS);
        let discount = money.discount_share.clamp(0.0, 1.0);
        let mut costs = Self { fit_rate, commission_rate, span, discount, of_device: BTreeMap::new() };
        let known = catalogue.devices.values().filter_map(|device| Some((device.id.clone(), costs.bought(device)?)));
        costs.of_device = known.collect();
        costs
    }

    /// What the device costs when it is bought; `None` when the catalogue gives no price.
    pub(super) fn of(&self, device: &Device) -> Option<&WholeLife> {
        self.of_device.get(&device.id)
    }

    /// What every device that has a price costs in all.
    pub(crate) fn totals(&self) -> BTreeMap<DeviceId, Money> {
        self.of_device.iter().map(|(id, cost)| (id.clone(), cost.total())).collect()
    }

    /// What the device costs when it is there already and stays, after some hours of work on it.
    pub(super) fn kept(&self, device: &Device, adapt: Option<Hours>) -> WholeLife {
        let bought = self.of(device).copied();
        let labour = adapt.map_or(Money::ZERO, |hours| self.fitting(hours));
        // Later replacements cost a new device with its fitting, whatever it cost to keep the first one.
        let later = bought.map_or(Money::ZERO, |cost| (cost.price + cost.labour).times_quantity(cost.replacements));
        WholeLife {
            price: Money::ZERO,
            labour: labour + later,
            replacements: 0.0,
            yearly: bought.map_or(Money::ZERO, |cost| cost.yearly),
            years: bought.map_or(0.0, |cost| cost.years),
        }
    }

    /// Hours of fitting in money.
    pub(super) fn fitting(&self, hours: Hours) -> Money {
        self.fit_rate.map_or(Money::ZERO, |rate| rate.times_quantity(hours.get().max(0.0)))
    }

    fn bought(&self, device: &Device) -> Option<WholeLife> {
        let commissioning =
            |hours: Hours| self.commission_rate.map_or(Money::ZERO, |rate| rate.times_quantity(hours.get().max(0.0)));
        let labour = device.labour.fit.map_or(Money::ZERO, |hours| self.fitting(hours))
            + device.labour.commission.map_or(Money::ZERO, commissioning);
        Some(WholeLife {
            price: device.price.filter(|price| price.amount() >= Decimal::ZERO)?,
            labour,
            replacements: replacements(device.life_years, self.span, self.discount),
            yearly: device.yearly_cost.unwrap_or(Money::ZERO),
            years: annuity(self.span, self.discount),
        })
    }
}

/// Today's worth of one unit of money spent at each replacement within a span.
///
/// **Formula**: `sum over k = 1, 2, ... while k * life < span of (1 + discount)^(-k * life)`.
/// **Units**: years, years, share of one a year. A device without a stated life is taken to last the span.
///
/// Example: life 8 years, span 10 years, 3 % a year: one replacement, 1.03^-8 = 0.789.
pub(super) fn replacements(life: Option<f64>, span: f64, discount: f64) -> f64 {
    let Some(life) = life.filter(|life| life.is_finite()) else { return 0.0 };
    let life = life.max(MIN_LIFE);
    let ends = (1..).map(|k| f64::from(k) * life).take_while(|end| *end < span);
    ends.map(|end| libm::pow(1.0 + discount, -end)).sum()
}

/// Today's worth of one unit of money spent at the end of each whole year of a span.
///
/// **Formula**: `sum over t = 1 .. floor(span) of (1 + discount)^-t`.
///
/// Example: 10 years, 3 % a year: 8.530 (present worth of an annuity, any table of engineering economics).
pub(super) fn annuity(span: f64, discount: f64) -> f64 {
    let whole_years = (1..).map(f64::from).take_while(|year| *year <= span);
    whole_years.map(|year| libm::pow(1.0 + discount, -year)).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_annuity_of_ten_years_at_three_percent_is_worth_8_530() {
        assert!((annuity(10.0, 0.03) - 8.530).abs() < 0.0005);
        assert!((annuity(10.0, 0.0) - 10.0).abs() < 1e-9);
    }

    #[test]
    fn a_device_that_ends_with_the_span_is_not_replaced() {
        assert!((replacements(Some(8.0), 10.0, 0.03) - 0.789_41).abs() < 1e-4);
        assert!(replacements(Some(10.0), 10.0, 0.03).abs() < 1e-12, "exactly at the limit");
        assert!(replacements(None, 10.0, 0.03).abs() < 1e-12);
        assert!((replacements(Some(3.0), 10.0, 0.0) - 3.0).abs() < 1e-12);
    }

    #[test]
    fn the_total_follows_the_formula() {
        let cost = WholeLife {
            price: Money::from_cents(10_000),
            labour: Money::from_cents(5_000),
            replacements: 0.789,
            yearly: Money::from_cents(1_000),
            years: 8.53,
        };
        assert_eq!(cost.total(), Money::from_cents(15_000 + 11_835 + 8_530));
    }
}
