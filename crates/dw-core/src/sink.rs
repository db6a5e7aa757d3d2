//! Where a pass puts what it has to say beside its result.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{Finding, Place, Rule, Working};

/// A value the survey did not give and the design took as read; listed on paper, never silent.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Assumption {
    /// The object and field.
    pub place: Place,
    /// The value taken.
    pub value: String,
    /// Why this value.
    pub because: String,
}

/// Findings, workings and assumptions in the order they were raised. Each pass has its own; they are merged in
/// fixed order.
#[derive(Debug, Default)]
pub struct Sink {
    /// What is wrong or worth knowing.
    pub findings: Vec<Finding>,
    /// How figures came about.
    pub workings: Vec<Working>,
    /// What was taken as read.
    pub assumptions: Vec<Assumption>,
}

impl Sink {
    /// Words and keeps a broken rule.
    pub fn report<R: Rule>(&mut self, rule: &R) {
        self.findings.push(Finding::of(rule));
    }

    /// Keeps a working.
    pub fn show(&mut self, working: Working) {
        self.workings.push(working);
    }

    /// Keeps an assumption.
    pub fn assume(&mut self, place: Place, value: impl Into<String>, because: impl Into<String>) {
        self.assumptions.push(Assumption { place, value: value.into(), because: because.into() });
    }

    /// Takes over everything another sink holds, after our own.
    pub fn append(&mut self, other: Self) {
        self.findings.extend(other.findings);
        self.workings.extend(other.workings);
        self.assumptions.extend(other.assumptions);
    }
}
