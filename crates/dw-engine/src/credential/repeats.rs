//! How likely two cards carry the same number: random issue, and two estates under one roof.

use crate::power::Formula;

/// Words of [`repeat_chance`].
pub const REPEAT_CHANCE: Formula = Formula {
    title: "Chance that at least two of the cards carry the same number",
    unit: "",
    formula: "chance = 1 - product over i below cards of (1 - i / codes)",
    source: "birthday problem, exact product; numbers drawn at random and independently",
};

/// Chance of at least one repeat when `cards` numbers are drawn at random from `codes`.
///
/// **Formula** 1 - Π (1 - i/M) for i below n, summed as logarithms.
/// **Range** any; beyond as many cards as codes it is 1.
/// **Assumes** independent draws. Stock from one maker is numbered in sequence and does not repeat.
/// **Source** birthday problem.
///
/// ```
/// let chance = dw_engine::credential::repeat_chance(302, 65_536);
/// assert!((chance - 0.50072).abs() < 1e-5);
/// ```
pub fn repeat_chance(cards: u64, codes: u64) -> f64 {
    if cards > codes {
        return 1.0;
    }
    let mut log_of_none = 0.0;
    for drawn in 1..cards {
        log_of_none += libm::log1p(-(drawn as f64) / codes as f64);
        if log_of_none < LOG_OF_NOTHING {
            return 1.0;
        }
    }
    -libm::expm1(log_of_none)
}

/// Below this a chance of no repeat is less than half a rounding step of one: 2^-54.
const LOG_OF_NOTHING: f64 = -37.5;

/// Words of [`merged_random`].
pub const MERGED_RANDOM: Formula = Formula {
    title: "Numbers held twice when two estates merge, numbers random",
    unit: "",
    formula: "twice = first * second / codes",
    source: "expected value of the overlap of two random sets; one layout and facility code",
};

/// Expected numbers held in both of two estates of one layout and facility code, numbers random.
///
/// **Formula** n1 n2 / M. **Source** expected overlap of two random sets.
///
/// ```
/// assert!((dw_engine::credential::merged_random(1200.0, 800.0, 65_536.0) - 14.648).abs() < 1e-3);
/// ```
pub fn merged_random(first: f64, second: f64, codes: f64) -> f64 {
    first * second / codes
}

/// Words of [`merged_from_one`].
pub const MERGED_FROM_ONE: Formula = Formula {
    title: "Numbers held twice when two estates merge, both numbered from 1",
    unit: "",
    formula: "twice = the smaller of first and second",
    source: "definition; one layout and facility code, both in sequence from 1",
};

/// Numbers held in both of two estates of one layout and facility code, both numbered in sequence from 1.
///
/// **Formula** min(n1, n2). **Source** definition.
///
/// ```
/// assert_eq!(dw_engine::credential::merged_from_one(1200, 800), 800);
/// ```
pub fn merged_from_one(first: u64, second: u64) -> u64 {
    first.min(second)
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn nobody_and_one_never_repeat_and_more_cards_than_codes_always_do() {
        assert!(repeat_chance(0, 10).abs() < 1e-15 && repeat_chance(1, 1).abs() < 1e-15);
        assert!((repeat_chance(11, 10) - 1.0).abs() < 1e-15);
        // All ten drawn once each: 1 - 10!/10^10.
        assert!((repeat_chance(10, 10) - (1.0 - 3_628_800.0 / 1e10)).abs() < 1e-12);
    }

    proptest! {
        #[test]
        fn a_repeat_is_never_less_likely_with_more_cards_or_fewer_codes(cards in 0_u64..3000, codes in 1_u64..1_000_000) {
            let chance = repeat_chance(cards, codes);
            prop_assert!((0.0..=1.0).contains(&chance));
            prop_assert!(repeat_chance(cards + 1, codes) >= chance);
            prop_assert!(repeat_chance(cards, codes + 1) <= chance);
            // Never more than the expected number of pairs.
            prop_assert!(chance <= cards as f64 * (cards as f64 - 1.0).max(0.0) / (2.0 * codes as f64) + 1e-12);
        }
    }
}
