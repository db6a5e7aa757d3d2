//! Money: decimal amounts in the one currency of a design.

use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul, Neg, Sub};

use rust_decimal::{Decimal, RoundingStrategy};
use schemars::JsonSchema;
use serde::Serialize;

/// An amount in the currency of the design, exact to the last digit. Written on the wire as a decimal string.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(transparent)]
pub struct Money(#[schemars(with = "String")] Decimal);

impl Money {
    /// Nothing.
    pub const ZERO: Self = Self(Decimal::ZERO);

    /// The amount.
    pub const fn new(amount: Decimal) -> Self {
        Self(amount)
    }

    /// An amount given in hundredths of the currency's unit.
    pub fn from_cents(cents: i64) -> Self {
        Self(Decimal::new(cents, 2))
    }

    /// The decimal amount.
    pub const fn amount(self) -> Decimal {
        self.0
    }

    /// The amount rounded to whole hundredths, halves away from zero as invoices do (*common practice*).
    #[must_use]
    pub fn to_cents(self) -> Self {
        Self(self.0.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero))
    }

    /// Whole hundredths as an integer, saturating far outside any price. For the placement solver only.
    pub fn cents(self) -> i64 {
        let hundredths = self.to_cents().0.checked_mul(Decimal::ONE_HUNDRED).unwrap_or(Decimal::MAX);
        i64::try_from(hundredths.trunc().mantissa() / 10_i128.pow(hundredths.trunc().scale())).unwrap_or(i64::MAX)
    }

    /// The amount times `factor`, rounded to hundredths; saturates instead of overflowing.
    #[must_use]
    pub fn times(self, factor: Decimal) -> Self {
        Self(self.0.checked_mul(factor).unwrap_or(Decimal::MAX)).to_cents()
    }

    /// The amount times a measured quantity (hours, metres), itself taken to a thousandth first.
    #[must_use]
    pub fn times_quantity(self, quantity: f64) -> Self {
        Decimal::from_f64_retain(quantity).map_or(Self::ZERO, |quantity| self.times(quantity.round_dp(3)))
    }
}

impl Add for Money {
    type Output = Self;
    fn add(self, other: Self) -> Self {
        Self(self.0.saturating_add(other.0))
    }
}
impl AddAssign for Money {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}
impl Sub for Money {
    type Output = Self;
    fn sub(self, other: Self) -> Self {
        Self(self.0.saturating_sub(other.0))
    }
}
impl Neg for Money {
    type Output = Self;
    fn neg(self) -> Self {
        Self(-self.0)
    }
}
impl Mul<u32> for Money {
    type Output = Self;
    fn mul(self, count: u32) -> Self {
        Self(self.0.saturating_mul(Decimal::from(count)))
    }
}
impl Sum for Money {
    fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
        items.fold(Self::ZERO, Add::add)
    }
}
impl fmt::Display for Money {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:.2}", self.to_cents().0)
    }
}

/// A currency by its three-letter code (ISO 4217).
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(transparent)]
pub struct Currency(String);

impl Currency {
    /// The currency, or `None` unless `code` is three capital letters.
    pub fn new(code: &str) -> Option<Self> {
        let lawful = code.len() == 3 && code.bytes().all(|byte| byte.is_ascii_uppercase());
        lawful.then(|| Self(code.to_owned()))
    }

    /// The code ISO 4217 reserves for no currency at all.
    pub fn none() -> Self {
        Self("XXX".to_owned())
    }

    /// The three-letter code.
    pub fn code(&self) -> &str {
        &self.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn halves_of_a_cent_round_away_from_zero() {
        assert_eq!(Money::new(Decimal::new(10_005, 3)).to_cents(), Money::from_cents(1001));
        assert_eq!(Money::from_cents(999).times_quantity(1.5), Money::from_cents(1499));
    }

    #[test]
    fn cents_are_whole_and_saturate() {
        assert_eq!(Money::from_cents(123_456).cents(), 123_456);
        assert_eq!(Money::new(Decimal::MAX).cents(), i64::MAX);
    }
}
