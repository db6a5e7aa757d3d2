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
        let quantity =
            in_thousandths(quantity).or_else(|| Some(Decimal::from_f64_retain(quantity)?.round_dp(THOUSANDTHS)));
        quantity.map_or(Self::ZERO, |quantity| self.times(quantity))
    }
}

/// Decimals that a measured quantity is taken to.
const THOUSANDTHS: u32 = 3;

/// A quantity rounded to a thousandth without the long way over all its binary digits; `None` where that way is needed,
/// for large quantities and those about half-way between two thousandths.
fn in_thousandths(quantity: f64) -> Option<Decimal> {
    let thousandths = quantity * 1000.0;
    let beyond = (thousandths - thousandths.trunc()).abs();
    if !(thousandths.abs() < 1e9 && (beyond - 0.5).abs() > 1e-3) {
        return None;
    }
    let rounded = Decimal::new((thousandths + 0.5_f64.copysign(thousandths)) as i64, THOUSANDTHS);
    // Eighths have no more than three decimals, and keep no zeros behind them.
    Some(if (quantity * 8.0).fract() == 0.0 { rounded.normalize() } else { rounded })
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
    fn thousandths_by_the_short_way_are_those_of_the_long_way_to_the_last_zero() {
        // Weyl's sequence with the golden ratio spreads evenly; divisors give short decimals, sixteenths and thirds.
        let spread = (1..5_000).map(|n| f64::from(n) * 0.618_033_988_749_894_9);
        let quantities =
            spread.flat_map(|it| [it, it.trunc() / 8.0, it.trunc() / 16.0, it.trunc() / 1000.0, it.trunc() / 3.0, -it]);
        let mut n_short = 0;
        for quantity in quantities.chain([0.0, -0.0, 1e-7, 0.0005, 2.0005, 999_999.999, 1e9, f64::NAN, f64::INFINITY]) {
            let Some(short) = in_thousandths(quantity) else { continue };
            n_short += 1;
            let long = Decimal::from_f64_retain(quantity).unwrap().round_dp(THOUSANDTHS);
            assert_eq!((short, short.scale()), (long, long.scale()), "{quantity}");
        }
        assert!(n_short > 25_000, "{n_short} of some 30,000");
    }

    #[test]
    fn cents_are_whole_and_saturate() {
        assert_eq!(Money::from_cents(123_456).cents(), 123_456);
        assert_eq!(Money::new(Decimal::MAX).cents(), i64::MAX);
    }
}
