//! Workings: how a figure came about, so that an engineer can put their name to it.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

/// Names one figure of a design by its path: `opening/D-014/lock_end_v`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(transparent)]
pub struct FigureId(String);

impl FigureId {
    /// The figure `name` of an object, such as `("opening", "D-014", "lock_end_v")`.
    pub fn new(kind: &str, id: &str, name: &str) -> Self {
        Self(if id.is_empty() { format!("{kind}/{name}") } else { format!("{kind}/{id}/{name}") })
    }

    /// The path.
    pub fn path(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for FigureId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

/// A shown calculation.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Working {
    /// The figure it explains.
    pub figure: FigureId,
    /// What the figure is, in words.
    pub title: &'static str,
    /// The result.
    pub value: InputValue,
    /// Unit of the result; empty for a pure number.
    pub unit: &'static str,
    /// The formula, with the names of the inputs.
    pub formula: &'static str,
    /// The inputs in the order of the formula.
    pub inputs: Vec<Input>,
    /// Published source, or *common practice* / *from memory*.
    pub source: &'static str,
}

/// One input of a working.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Input {
    /// Its name in the formula.
    pub name: &'static str,
    /// Its value.
    pub value: InputValue,
    /// Its unit; empty for a pure number or a text.
    pub unit: &'static str,
}

/// A number or a text.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(untagged)]
pub enum InputValue {
    /// A finite number.
    Number(f64),
    /// A text, such as the name of a table or a sum of money.
    Text(String),
}

impl From<f64> for InputValue {
    fn from(number: f64) -> Self {
        Self::Number(number)
    }
}

impl From<u32> for InputValue {
    fn from(number: u32) -> Self {
        Self::Number(f64::from(number))
    }
}

impl From<String> for InputValue {
    fn from(text: String) -> Self {
        Self::Text(text)
    }
}

impl From<&str> for InputValue {
    fn from(text: &str) -> Self {
        Self::Text(text.to_owned())
    }
}

impl From<crate::Money> for InputValue {
    fn from(money: crate::Money) -> Self {
        Self::Text(money.to_string())
    }
}

impl fmt::Display for InputValue {
    /// Up to six significant digits, as an engineer would write them; in powers of ten below a millionth.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Text(text) => f.pad(text),
            Self::Number(number) if *number == 0.0 => f.pad("0"),
            Self::Number(number) if (1e-15..1e-6).contains(&number.abs()) => {
                let text = format!("{number:.5e}");
                let (digits, power) = text.split_once('e').unwrap_or((&text, "0"));
                f.pad(&format!("{}e{power}", digits.trim_end_matches('0').trim_end_matches('.')))
            }
            Self::Number(number) => {
                let digits_left = libm::floor(libm::log10(number.abs())) as i32 + 1;
                let decimals = usize::try_from((6 - digits_left).clamp(0, 9)).unwrap_or(0);
                let text = format!("{number:.decimals$}");
                let trimmed = if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.') } else { &text };
                f.pad(trimmed)
            }
        }
    }
}

impl Input {
    /// An input of a formula.
    pub fn new(name: &'static str, value: impl Into<InputValue>, unit: &'static str) -> Self {
        Self { name, value: value.into(), unit }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_print_with_six_significant_digits_and_no_idle_zeros() {
        assert_eq!(InputValue::from(3.992_000_1).to_string(), "3.992");
        assert_eq!(InputValue::from(116_035.0).to_string(), "116035");
        assert_eq!(InputValue::from(0.0).to_string(), "0");
        assert_eq!(InputValue::from(0.017_241_4).to_string(), "0.0172414");
        assert_eq!(InputValue::from(5.002_5e-7).to_string(), "5.0025e-7");
        assert_eq!(InputValue::from(-1e-7).to_string(), "-1e-7");
        assert_eq!(InputValue::from(1e-6).to_string(), "0.000001");
    }
}
