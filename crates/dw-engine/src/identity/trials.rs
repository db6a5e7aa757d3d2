//! What a trial shows: error rates that no errors, or thirty, support; presentation attacks by their worst kind.

use super::searches::at_least_one;
use crate::power::Formula;

/// Words of [`rule_of_three`].
pub const RULE_OF_THREE: Formula = Formula {
    title: "Highest error rate that no errors in a trial leave open, at 95 %",
    unit: "",
    formula: "rate = 3 / trials",
    source: "rule of 3, ISO/IEC 19795-1; exact: 1 - 0.05^(1 / trials); trials must be independent people",
};

/// Error rate that a trial without errors supports, at 95 % confidence.
///
/// **Formula** 3/N. **Source** ISO/IEC 19795-1. **Assumes** independent trials: many comparisons of few people are not.
///
/// ```
/// assert_eq!(dw_engine::identity::trials::rule_of_three(300.0), 0.01);
/// ```
pub fn rule_of_three(trials: f64) -> f64 {
    3.0 / trials
}

/// The exact bound beside [`rule_of_three`]: 1 - 0.05^(1/N).
///
/// ```
/// assert!((dw_engine::identity::trials::exact_bound(300.0) - 0.0099361).abs() < 1e-7);
/// ```
pub fn exact_bound(trials: f64) -> f64 {
    at_least_one(1.0 - NO_ERRORS, 1.0 / trials)
}

/// Chance of seeing no errors that 95 % confidence leaves.
const NO_ERRORS: f64 = 0.05;

/// Words of [`error_free_trials`].
pub const ERROR_FREE_TRIALS: Formula = Formula {
    title: "Trials without error that support a rate, at 95 %",
    unit: "",
    formula: "trials = ln(0.05) / ln(1 - rate), rounded up",
    source: "exact binomial; the rule of 3 of ISO/IEC 19795-1 gives 3 / rate",
};

/// Independent trials without error that a claim needs, at 95 % confidence; `None` for a rate of 0, which none support.
///
/// **Formula** ln 0.05 / ln(1 - rate), rounded up. **Source** exact binomial.
///
/// ```
/// assert_eq!(dw_engine::identity::trials::error_free_trials(1e-4), Some(29_956.0));
/// ```
pub fn error_free_trials(rate: f64) -> Option<f64> {
    let trials = libm::ceil(libm::log(NO_ERRORS) / libm::log1p(-rate));
    Some(trials.max(1.0)).filter(|trials| trials.is_finite())
}

/// Words of [`rule_of_thirty`].
pub const RULE_OF_THIRTY: Formula = Formula {
    title: "Trials that show a rate within 30 %, at 90 %",
    unit: "",
    formula: "trials = 30 / rate, rounded up",
    source: "rule of 30 (Doddington; ISO/IEC 19795-1, from memory): 30 errors, 1.645 / sqrt(30) = 0.300",
};

/// Trials that show an error rate to within 30 % at 90 % confidence; `None` for a rate of 0.
///
/// **Formula** 30/rate. **Source** Doddington; ISO/IEC 19795-1, from memory.
///
/// ```
/// assert_eq!(dw_engine::identity::trials::rule_of_thirty(0.01), Some(3000.0));
/// ```
pub fn rule_of_thirty(rate: f64) -> Option<f64> {
    // Thirty hundredths are a whole number of trials, whatever binary makes of them.
    Some(libm::ceil(30.0 / rate - 1e-6)).filter(|trials| trials.is_finite())
}

/// Words of [`worst_share`].
pub const WORST_SHARE: Formula = Formula {
    title: "Attack presentations accepted, by the worst kind of attack",
    unit: "",
    formula: "APCER = largest over kinds of accepted / presented",
    source: "ISO/IEC 30107-3: each kind by itself, the worst is reported, never the mean",
};

/// The largest share of a list; `None` for an empty one.
///
/// **Source** ISO/IEC 30107-3: the error of attack detection is that of the worst kind of attack.
///
/// ```
/// assert_eq!(dw_engine::identity::trials::worst_share(&[0.04, 0.0, 0.1]), Some(0.1));
/// ```
pub fn worst_share(shares: &[f64]) -> Option<f64> {
    shares.iter().copied().max_by(f64::total_cmp)
}

/// Words of a share seen in a trial.
pub const SHARE: Formula = Formula {
    title: "Share of a trial",
    unit: "",
    formula: "share = failed / base",
    source: "definition; people with an impairment often cannot enrol (UK Passport Service trial 2005): offer a second way",
};

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        #[test]
        fn the_rule_of_three_is_just_above_the_exact_bound(trials in 20.0_f64..1e7) {
            let (rule, exact) = (rule_of_three(trials), exact_bound(trials));
            prop_assert!(exact < rule && rule < exact * 1.1);
        }

        #[test]
        fn one_trial_fewer_would_not_do(rate in 1e-6_f64..0.5) {
            let trials = error_free_trials(rate).unwrap();
            let left = |trials: f64| libm::exp(trials * libm::log1p(-rate));
            prop_assert!(left(trials) <= 0.05 * (1.0 + 1e-9));
            prop_assert!(trials <= 1.0 || left(trials - 1.0) > 0.05);
        }
    }

    #[test]
    fn a_rate_of_nothing_cannot_be_shown() {
        assert_eq!((error_free_trials(0.0), rule_of_thirty(0.0), worst_share(&[])), (None, None, None));
    }
}
