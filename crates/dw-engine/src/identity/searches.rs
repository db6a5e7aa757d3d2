//! Searches: the chance that somebody not enrolled, or enrolled as another, is taken for a person of the gallery.

use crate::power::Formula;

/// Words of [`false_positive_identification`].
pub const FALSE_POSITIVE_IDENTIFICATION: Formula = Formula {
    title: "Chance that a search passes a wrong person",
    unit: "",
    formula: "FPIR = (1 - FTA) * (1 - (1 - FMR)^N), N enrolled references, not persons",
    source: "ISO/IEC 19795-1; comparisons taken as independent: twins, relatives and people of one group are worse",
};

/// Chance that a search among enrolled references passes a wrong person.
///
/// **Formula** FPIR = (1 - FTA)(1 - (1 - FMR)^N).
/// **Units and range** rates are shares from 0 to 1; N counts references, so two fingers each count twice.
/// **Assumes** independent comparisons.
/// **Source** ISO/IEC 19795-1.
///
/// ```
/// use dw_engine::identity::searches::false_positive_identification;
/// assert!((false_positive_identification(1e-4, 500.0, 0.0) - 0.048773).abs() < 1e-6);
/// ```
pub fn false_positive_identification(false_match: f64, references: f64, failure_to_acquire: f64) -> f64 {
    (1.0 - failure_to_acquire) * at_least_one(false_match, references)
}

/// Chance of at least one event of this chance in so many trials, exact for small chances.
pub(super) fn at_least_one(chance: f64, trials: f64) -> f64 {
    let chance = chance.clamp(0.0, 1.0);
    if chance >= 1.0 {
        return if trials > 0.0 { 1.0 } else { 0.0 };
    }
    -libm::expm1(trials * libm::log1p(-chance))
}

/// Words of [`false_match_needed`].
pub const FALSE_MATCH_NEEDED: Formula = Formula {
    title: "False match rate a search needs",
    unit: "",
    formula: "FMR = 1 - (1 - FPIR)^(1/N)",
    source: "ISO/IEC 19795-1 identification relation, solved for FMR",
};

/// False match rate that keeps a search among N references at a target; `None` without references.
///
/// **Formula** FMR = 1 - (1 - FPIR)^(1/N).
/// **Source** ISO/IEC 19795-1, solved.
///
/// ```
/// let rate = dw_engine::identity::searches::false_match_needed(0.001, 2000.0).unwrap();
/// assert!((rate - 5.0025e-7).abs() < 1e-11);
/// ```
pub fn false_match_needed(false_positive: f64, references: f64) -> Option<f64> {
    (references > 0.0).then(|| at_least_one(false_positive, 1.0 / references))
}

/// Words of [`largest_gallery`].
pub const LARGEST_GALLERY: Formula = Formula {
    title: "Most references a search may have",
    unit: "",
    formula: "N = ln(1 - FPIR) / ln(1 - FMR), rounded down",
    source: "ISO/IEC 19795-1 identification relation, solved for N",
};

/// Most references that keep a search at a target; `None` where nothing bounds them.
///
/// **Formula** N = ln(1 - FPIR)/ln(1 - FMR), rounded down.
/// **Source** ISO/IEC 19795-1, solved.
///
/// ```
/// assert_eq!(dw_engine::identity::searches::largest_gallery(0.01, 1e-5), Some(1005.0));
/// ```
pub fn largest_gallery(false_positive: f64, false_match: f64) -> Option<f64> {
    let most = libm::floor(libm::log1p(-false_positive) / libm::log1p(-false_match) + ROUNDING);
    Some(most).filter(|most| most.is_finite())
}

/// A quotient this little below a whole number is that number: the rounding of logarithms.
const ROUNDING: f64 = 1e-9;

/// Words of the linear estimate.
pub const LINEAR_ESTIMATE: Formula = Formula {
    title: "N times FMR: an overstatement, no probability",
    unit: "",
    formula: "N * FMR",
    source: "first term of the identification relation of ISO/IEC 19795-1; it may pass 1",
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn false_matches_of_a_search_follow_iso_19795() {
        // Expected values: 1 - (1 - FMR)^N recomputed with extended precision.
        for (rate, references, expected) in
            [(1e-4, 100.0, 0.009_951), (1e-4, 500.0, 0.048_77), (1e-4, 10_000.0, 0.632_14), (5e-7, 2000.0, 0.000_999_5)]
        {
            let chance = false_positive_identification(rate, references, 0.0);
            assert!((chance / expected - 1.0).abs() < 1e-3, "{rate} {references}: {chance}");
        }
    }

    #[test]
    fn certain_and_impossible_matches_stay_within_bounds() {
        assert!(false_positive_identification(0.0, 1000.0, 0.0).abs() < 1e-15);
        assert!((false_positive_identification(1.0, 1.0, 0.0) - 1.0).abs() < 1e-15);
        assert!(false_positive_identification(1.0, 0.0, 0.0).abs() < 1e-15);
        assert_eq!((largest_gallery(0.01, 0.0), false_match_needed(0.1, 0.0)), (None, None));
        assert_eq!(largest_gallery(0.001, 0.001), Some(1.0));
    }

    proptest! {
        #[test]
        fn the_gallery_found_meets_the_target_and_one_more_does_not(target in 1e-4_f64..0.5, rate in 1e-7_f64..1e-2) {
            let most = largest_gallery(target, rate).unwrap();
            prop_assert!(false_positive_identification(rate, most, 0.0) <= target * (1.0 + 1e-9));
            prop_assert!(false_positive_identification(rate, most + 1.0, 0.0) > target);
            // The estimate N * FMR never understates.
            prop_assert!(false_positive_identification(rate, most, 0.0) <= most * rate + 1e-15);
        }
    }
}
