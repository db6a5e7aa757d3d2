//! Error rates of a transaction: of one factor with its failures to acquire and enrol, of factors together, of attempts.

use super::searches::at_least_one;
use crate::power::Formula;

/// Words of [`all_of`].
pub const ALL_OF: Formula = Formula {
    title: "Chance that both happen",
    unit: "",
    formula: "chance = a * b: false matches where both factors must pass, false non-matches where either may",
    source: "independent events",
};

/// Words of [`any_of`].
pub const ANY_OF: Formula = Formula {
    title: "Chance that at least one happens",
    unit: "",
    formula: "chance = 1 - (1 - a) * (1 - b): false non-matches where both factors must pass, false matches where either may",
    source: "independent events",
};

/// Chance that both of two independent events happen: a false match where both factors must pass.
///
/// ```
/// assert!((dw_engine::identity::factors::all_of(0.001, 0.0001) - 1e-7).abs() < 1e-20);
/// ```
pub fn all_of(a: f64, b: f64) -> f64 {
    a * b
}

/// Chance that at least one of two independent events happens: a false non-match where both factors must pass.
///
/// ```
/// assert!((dw_engine::identity::factors::any_of(0.01, 0.03) - 0.0397).abs() < 1e-12);
/// ```
pub fn any_of(a: f64, b: f64) -> f64 {
    // Written so that two small chances do not drown in the rounding of one.
    a + b - a * b
}

/// Words of [`attempts`].
pub const ATTEMPTS: Formula = Formula {
    title: "False acceptance of a transaction of several attempts",
    unit: "",
    formula: "FAR = 1 - (1 - FMR)^attempts",
    source: "independent attempts; FNMR does not fall likewise, since a worn finger fails every time (common practice)",
};

/// False acceptance when an impostor may try several times.
///
/// **Formula** 1 - (1 - FMR)^k. **Assumes** independent attempts.
///
/// ```
/// assert!((dw_engine::identity::factors::attempts(1e-4, 3.0) - 2.9997e-4).abs() < 1e-9);
/// ```
pub fn attempts(false_match: f64, attempts: f64) -> f64 {
    at_least_one(false_match, attempts)
}

/// Words of [`false_acceptance`].
pub const FALSE_ACCEPTANCE: Formula = Formula {
    title: "False acceptance rate",
    unit: "",
    formula: "FAR = FMR * (1 - FTA)",
    source: "ISO/IEC 19795-1, from memory",
};

/// False acceptance of one attempt. **Formula** FMR (1 - FTA). **Source** ISO/IEC 19795-1, from memory.
///
/// ```
/// assert!((dw_engine::identity::factors::false_acceptance(0.001, 0.01) - 0.00099).abs() < 1e-12);
/// ```
pub fn false_acceptance(false_match: f64, failure_to_acquire: f64) -> f64 {
    false_match * (1.0 - failure_to_acquire)
}

/// Words of [`false_rejection`].
pub const FALSE_REJECTION: Formula = Formula {
    title: "False rejection rate",
    unit: "",
    formula: "FRR = FTA + FNMR * (1 - FTA)",
    source: "ISO/IEC 19795-1, from memory",
};

/// False rejection of one attempt. **Formula** FTA + FNMR (1 - FTA). **Source** ISO/IEC 19795-1, from memory.
///
/// ```
/// assert!((dw_engine::identity::factors::false_rejection(0.02, 0.01) - 0.0298).abs() < 1e-12);
/// ```
pub fn false_rejection(false_non_match: f64, failure_to_acquire: f64) -> f64 {
    any_of(failure_to_acquire, false_non_match)
}

/// Words of [`generalised_rejection`].
pub const GENERALISED_REJECTION: Formula = Formula {
    title: "Generalised false rejection rate, people who cannot enrol included",
    unit: "",
    formula: "GFRR = FTE + (1 - FTE) * FTA + (1 - FTE) * (1 - FTA) * FNMR",
    source: "ISO/IEC 19795-1, from memory",
};

/// False rejection with those who cannot enrol counted as rejected.
///
/// **Formula** FTE + (1-FTE) FTA + (1-FTE)(1-FTA) FNMR. **Source** ISO/IEC 19795-1, from memory.
///
/// ```
/// assert!((dw_engine::identity::factors::generalised_rejection(0.02, 0.01, 0.02) - 0.049204).abs() < 1e-12);
/// ```
pub fn generalised_rejection(failure_to_enrol: f64, failure_to_acquire: f64, false_non_match: f64) -> f64 {
    any_of(failure_to_enrol, false_rejection(false_non_match, failure_to_acquire))
}

/// Words of an expected number.
pub const EXPECTED: Formula = Formula {
    title: "Expected number",
    unit: "",
    formula: "expected = count * rate",
    source: "expected value: people who cannot enrol, entries falsely rejected",
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn a_second_factor_never_raises_false_matches_and_a_second_way_never_lowers_them(
            a in 0.0_f64..1.0, b in 0.0_f64..1.0, c in 0.0_f64..1.0,
        ) {
            prop_assert!(all_of(a, b) <= a.min(b) && any_of(a, b) >= a.max(b) - 1e-15);
            // Neither event happens: the two forms agree.
            prop_assert!((any_of(a, b) - (1.0 - all_of(1.0 - a, 1.0 - b))).abs() < 1e-12);
            prop_assert!(generalised_rejection(a, b, c) >= false_rejection(c, b) - 1e-12);
            prop_assert!(attempts(a, 3.0) >= a - 1e-15);
        }
    }
}
