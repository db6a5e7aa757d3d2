//! What can be wrong with a question to a calculator: the key, the value, and the remedy.

use thiserror::Error;

/// Why a calculator gives no answer. Every message names what was written and what to write instead.
#[derive(Clone, Debug, PartialEq, Error)]
pub enum CalcError {
    /// No calculator has this name.
    #[error("no calculator is called \"{name}\"{}", did_you_mean(.meant.as_deref()))]
    UnknownCalculator {
        /// The name as written.
        name: String,
        /// The known name nearest to it.
        meant: Option<String>,
    },
    /// Something that is not `key=value`.
    #[error("\"{written}\" is not key=value, such as {example}")]
    NotAPair {
        /// What was written.
        written: String,
        /// A pair this calculator takes.
        example: String,
    },
    /// A key this calculator does not take.
    #[error("{calculator} does not take \"{key}\"{}; it takes {known}", did_you_mean(.meant.as_deref()))]
    UnknownKey {
        /// Calculator.
        calculator: &'static str,
        /// The key as written.
        key: String,
        /// The known key nearest to it.
        meant: Option<String>,
        /// Every key it takes.
        known: String,
    },
    /// A quantity was given twice, perhaps in two units.
    #[error("\"{key}\" is given twice; give it once, in one unit")]
    Twice {
        /// The key as written the second time.
        key: String,
    },
    /// A value that is needed was not given.
    #[error("{calculator} needs {key}: {about}")]
    Missing {
        /// Calculator.
        calculator: &'static str,
        /// The key, in every unit it may have.
        key: String,
        /// What it is.
        about: &'static str,
    },
    /// A value that cannot be read.
    #[error("{key} = \"{value}\" cannot be read; write {expected}{}", did_you_mean(.meant.as_deref()))]
    Unreadable {
        /// The key as written.
        key: String,
        /// The value as written.
        value: String,
        /// What is expected.
        expected: String,
        /// The known word nearest to it.
        meant: Option<String>,
    },
    /// A value outside the range the calculation is good for.
    #[error("{key} = {value} is outside {low} to {high} {unit}")]
    OutOfRange {
        /// The key as written.
        key: String,
        /// The value as written.
        value: String,
        /// Lowest value taken.
        low: f64,
        /// Highest value taken.
        high: f64,
        /// Unit of both.
        unit: &'static str,
    },
    /// None or several of keys that exclude each other.
    #[error("give exactly one of {keys}; {given}")]
    OneOf {
        /// The keys.
        keys: String,
        /// How many were given.
        given: String,
    },
    /// An input that has no part in the answer because of the others.
    #[error("{key} ({about}) has no part in this answer; leave it out, or leave out what stands in for it")]
    NotUsed {
        /// The key.
        key: String,
        /// What it is.
        about: &'static str,
    },
    /// The question has no answer.
    #[error("there is no answer: {why}; {remedy}")]
    NoAnswer {
        /// Why.
        why: String,
        /// What would give one.
        remedy: &'static str,
    },
}

fn did_you_mean(meant: Option<&str>) -> String {
    meant.map(|meant| format!("; did you mean \"{meant}\"?")).unwrap_or_default()
}
