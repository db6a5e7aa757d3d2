//! Physical quantities as newtypes: SI inside, a number that is not finite cannot be made.
//!
//! Only lawful operations compile (`Amps * Ohms = Volts`). Conversion to and from other units happens when a job is
//! read and when a figure is printed, through the one table [`units_at_edge`].

use std::cmp::Ordering;
use std::fmt;
use std::iter::Sum;
use std::ops::{Add, AddAssign, Div, Mul, Sub};

use schemars::JsonSchema;
use serde::Serialize;

macro_rules! quantities {
    ($($(#[$doc:meta])* $name:ident $unit:literal),* $(,)?) => {
        /// The unit of every quantity.
        const ALL_UNITS: &[&str] = &[$($unit),*];
        $(
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, JsonSchema)]
        #[serde(transparent)]
        pub struct $name(f64);

        impl $name {
            /// The unit's symbol as printed.
            pub const UNIT: &'static str = $unit;
            /// Nothing of it.
            pub const ZERO: Self = Self(0.0);

            /// The quantity of this many units.
            ///
            /// # Panics
            /// When `value` is not finite: an infinite or undefined figure must be loud, never printed. Values from
            /// outside go through [`Self::try_new`].
            pub const fn new(value: f64) -> Self {
                assert!(value.is_finite(), concat!(stringify!($name), " must be finite"));
                Self(value)
            }

            /// The quantity, or `None` when `value` is not finite.
            pub const fn try_new(value: f64) -> Option<Self> {
                if value.is_finite() { Some(Self(value)) } else { None }
            }

            /// The number of units.
            pub const fn get(self) -> f64 {
                self.0
            }

            /// The dimensionless ratio of two like quantities, or `None` when `other` is zero.
            pub fn ratio(self, other: Self) -> Option<f64> {
                Some(self.0 / other.0).filter(|ratio| ratio.is_finite())
            }
        }

        impl Eq for $name {}
        impl PartialOrd for $name {
            fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
                Some(self.cmp(other))
            }
        }
        impl Ord for $name {
            fn cmp(&self, other: &Self) -> Ordering {
                (self.0 + 0.0).total_cmp(&(other.0 + 0.0))
            }
        }
        impl Add for $name {
            type Output = Self;
            fn add(self, other: Self) -> Self {
                Self::new(self.0 + other.0)
            }
        }
        impl AddAssign for $name {
            fn add_assign(&mut self, other: Self) {
                *self = *self + other;
            }
        }
        impl Sub for $name {
            type Output = Self;
            fn sub(self, other: Self) -> Self {
                Self::new(self.0 - other.0)
            }
        }
        impl Mul<f64> for $name {
            type Output = Self;
            fn mul(self, factor: f64) -> Self {
                Self::new(self.0 * factor)
            }
        }
        impl Div<f64> for $name {
            type Output = Self;
            fn div(self, divisor: f64) -> Self {
                Self::new(self.0 / divisor)
            }
        }
        impl Sum for $name {
            fn sum<I: Iterator<Item = Self>>(items: I) -> Self {
                items.fold(Self::ZERO, Add::add)
            }
        }
        impl fmt::Display for $name {
            /// Two decimals unless the caller asks for another precision: `{:.1}`.
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                write!(f, "{:.*} {}", f.precision().unwrap_or(2), self.0, Self::UNIT)
            }
        }
    )*};
}

quantities! {
    /// Length.
    Metres "m",
    /// Cross-section of a conductor or of a cable way.
    SquareMm "mm²",
    /// Electric potential.
    Volts "V",
    /// Electric current.
    Amps "A",
    /// Resistance.
    Ohms "Ω",
    /// Resistance of one conductor per metre of its length.
    OhmsPerMetre "Ω/m",
    /// Power.
    Watts "W",
    /// Battery capacity.
    AmpHours "Ah",
    /// Duration in hours: labour, standby, recharge.
    Hours "h",
    /// Duration in minutes: alarm duty, fire rating.
    Minutes "min",
    /// Duration in seconds: timers, passages.
    Seconds "s",
    /// Temperature.
    Celsius "°C",
}

macro_rules! products {
    ($($a:ident * $b:ident = $c:ident),* $(,)?) => {$(
        impl Mul<$b> for $a {
            type Output = $c;
            fn mul(self, other: $b) -> $c {
                $c::new(self.get() * other.get())
            }
        }
        impl Div<$b> for $c {
            type Output = $a;
            fn div(self, divisor: $b) -> $a {
                $a::new(self.get() / divisor.get())
            }
        }
    )*};
}

products! {
    Amps * Ohms = Volts,
    Volts * Amps = Watts,
    Amps * Hours = AmpHours,
    OhmsPerMetre * Metres = Ohms,
}

impl Div<Volts> for Watts {
    type Output = Amps;
    fn div(self, divisor: Volts) -> Amps {
        Amps::new(self.get() / divisor.get())
    }
}

impl From<Minutes> for Hours {
    fn from(minutes: Minutes) -> Self {
        Self::new(minutes.get() / 60.0)
    }
}

impl From<Seconds> for Hours {
    fn from(seconds: Seconds) -> Self {
        Self::new(seconds.get() / 3600.0)
    }
}

/// Metres in a foot (international foot, exact: NIST SP 811 appendix B).
pub const METRES_PER_FOOT: f64 = 0.3048;

/// Every spelling of a unit that may end a key or a column title, with factor and offset to the unit used inside:
/// `inside = written * factor + offset`. The first row of a quantity is the spelling we write.
///
/// Source: NIST SP 811 appendix B (foot, inch); the Fahrenheit row is its definition.
pub fn units_at_edge(unit: &str) -> &'static [(&'static str, f64, f64)] {
    match unit {
        "m" => &[
            ("m", 1.0, 0.0),
            ("mm", 0.001, 0.0),
            ("cm", 0.01, 0.0),
            ("km", 1000.0, 0.0),
            ("ft", METRES_PER_FOOT, 0.0),
            ("in", 0.0254, 0.0),
        ],
        "mm²" => &[("mm2", 1.0, 0.0), ("cm2", 100.0, 0.0), ("in2", 645.16, 0.0)],
        "V" => &[("v", 1.0, 0.0), ("mv", 0.001, 0.0)],
        "A" => &[("a", 1.0, 0.0), ("ma", 0.001, 0.0)],
        "Ω" => &[("ohm", 1.0, 0.0), ("mohm", 0.001, 0.0)],
        "Ω/m" => &[
            ("ohm_per_m", 1.0, 0.0),
            ("ohm_per_km", 0.001, 0.0),
            ("ohm_per_kft", 1.0 / (1000.0 * METRES_PER_FOOT), 0.0),
        ],
        "W" => &[("w", 1.0, 0.0), ("kw", 1000.0, 0.0)],
        "Ah" => &[("ah", 1.0, 0.0)],
        "h" => &[("h", 1.0, 0.0), ("min", 1.0 / 60.0, 0.0), ("days", 24.0, 0.0)],
        "min" => &[("min", 1.0, 0.0), ("h", 60.0, 0.0)],
        "s" => &[("s", 1.0, 0.0), ("min", 60.0, 0.0), ("ms", 0.001, 0.0)],
        "°C" => &[("c", 1.0, 0.0), ("f", 5.0 / 9.0, -160.0 / 9.0)],
        _ => &[],
    }
}

/// Whether this is how the end of a key spells some unit: `mm`, `ohm`, `ft`.
pub fn is_unit_spelling(suffix: &str) -> bool {
    ALL_UNITS.iter().any(|unit| units_at_edge(unit).iter().any(|row| row.0 == suffix))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ohms_law_and_power_compile_only_in_their_lawful_forms() {
        assert_eq!(Amps::new(0.5) * Ohms::new(5.4), Volts::new(2.7));
        assert_eq!(Volts::new(12.0) * Amps::new(2.0), Watts::new(24.0));
        assert_eq!(Amps::new(0.42) * Hours::new(24.0), AmpHours::new(0.42 * 24.0));
        assert_eq!(Watts::new(24.0) / Volts::new(12.0), Amps::new(2.0));
    }

    #[test]
    fn a_value_that_is_not_finite_is_refused() {
        assert_eq!(Volts::try_new(f64::NAN), None);
        assert_eq!(Volts::try_new(f64::INFINITY), None);
        assert_eq!(Volts::ZERO.ratio(Volts::ZERO), None);
    }

    #[test]
    fn fahrenheit_and_feet_convert_at_the_edge() {
        let convert = |unit: &str, suffix: &str, value: f64| {
            let (_, factor, offset) = units_at_edge(unit).iter().find(|row| row.0 == suffix).copied().unwrap();
            value * factor + offset
        };
        assert!((convert("°C", "f", 77.0) - 25.0).abs() < 1e-9);
        assert!((convert("m", "ft", 100.0) - 30.48).abs() < 1e-9);
    }
}
