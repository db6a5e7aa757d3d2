//! A published quantity in words: what a working prints beside its numbers. Pass and calculators share it, so that a
//! figure on paper and the same figure asked for alone read alike.

use dw_core::{FigureId, Input, InputValue, Working};

/// Title, unit, formula and source of one published quantity.
#[derive(Clone, Copy, Debug)]
pub struct Formula {
    /// What the quantity is.
    pub title: &'static str,
    /// Its unit; empty for a pure number.
    pub unit: &'static str,
    /// How it comes about, with the names of the inputs.
    pub formula: &'static str,
    /// Published source, or *common practice* / *from memory*.
    pub source: &'static str,
}

impl Formula {
    /// The shown calculation of one value.
    pub fn working(&self, figure: FigureId, value: impl Into<InputValue>, inputs: Vec<Input>) -> Working {
        Working {
            figure,
            title: self.title,
            value: value.into(),
            unit: self.unit,
            formula: self.formula,
            inputs,
            source: self.source,
        }
    }
}
