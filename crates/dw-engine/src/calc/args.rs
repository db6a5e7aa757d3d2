//! What a calculator is asked: inputs described, read from `key=value`, handed over in SI units.

use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

use dw_core::{
    AmpHours, Amps, Celsius, FigureId, Hours, Input, InputValue, Metres, Minutes, Ohms, OhmsPerMetre, Seconds,
    SquareMm, Volts, Watts, Working,
};
use dw_job::text::nearest;

use super::units::spellings;
use super::{CalcError, Calculator};
use crate::power::Formula;

/// What kind of value an input is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Kind {
    /// A physical quantity; its key ends in a unit, as in `length_m` or `length_ft`.
    Quantity(&'static str),
    /// A pure number.
    Number,
    /// A whole number.
    Count,
    /// One of these words.
    Word(&'static [&'static str]),
    /// A list in the form shown.
    Series(&'static str),
}

/// What happens when an input is not given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Need {
    /// The calculator asks for it.
    Required,
    /// This value counts, in the unit we write first.
    Default(&'static str),
    /// It may be absent.
    Optional,
}

/// One input of a calculator.
#[derive(Clone, Copy, Debug)]
pub struct InputSpec {
    /// Key, without unit.
    pub name: &'static str,
    /// Kind of value.
    pub kind: Kind,
    /// What it is.
    pub about: &'static str,
    /// Lowest and highest value, in SI units.
    pub range: (f64, f64),
    /// What happens without it.
    pub need: Need,
}

impl InputSpec {
    /// A quantity with its unit and range.
    pub const fn quantity(name: &'static str, unit: &'static str, range: (f64, f64), about: &'static str) -> Self {
        Self { name, kind: Kind::Quantity(unit), about, range, need: Need::Required }
    }

    /// A pure number with its range.
    pub const fn number(name: &'static str, range: (f64, f64), about: &'static str) -> Self {
        Self { name, kind: Kind::Number, about, range, need: Need::Required }
    }

    /// A whole number with its range.
    pub const fn count(name: &'static str, range: (f64, f64), about: &'static str) -> Self {
        Self { name, kind: Kind::Count, about, range, need: Need::Required }
    }

    /// One of some words.
    pub const fn word(name: &'static str, words: &'static [&'static str], about: &'static str) -> Self {
        Self { name, kind: Kind::Word(words), about, range: (0.0, 0.0), need: Need::Required }
    }

    /// A list in the form shown.
    pub const fn series(name: &'static str, form: &'static str, about: &'static str) -> Self {
        Self { name, kind: Kind::Series(form), about, range: (0.0, 0.0), need: Need::Required }
    }

    /// The same input, with a value that counts when it is not given.
    #[must_use]
    pub const fn or(mut self, default: &'static str) -> Self {
        self.need = Need::Default(default);
        self
    }

    /// The same input, which may be absent.
    #[must_use]
    pub const fn optional(mut self) -> Self {
        self.need = Need::Optional;
        self
    }

    /// Every key under which it may be given.
    pub fn keys(&self) -> Vec<String> {
        match self.kind {
            Kind::Quantity(unit) => {
                spellings(unit).map(|spelling| format!("{}_{}", self.name, spelling.suffix)).collect()
            }
            _ => vec![self.name.to_owned()],
        }
    }

    /// What it is, with the words or form it takes and what happens without it.
    pub fn meaning(&self) -> String {
        let form = match self.kind {
            Kind::Word(words) => format!(" ({})", words.join(", ")),
            Kind::Series(form) => format!(" ({form})"),
            Kind::Quantity(_) | Kind::Number | Kind::Count => String::new(),
        };
        let without = match self.need {
            Need::Required => String::new(),
            Need::Default(value) => format!("; {value} when not given"),
            Need::Optional => "; may be left out".to_owned(),
        };
        format!("{}{form}{without}", self.about)
    }

    /// The unit it has inside; empty for anything but a quantity.
    pub fn unit(&self) -> &'static str {
        if let Kind::Quantity(unit) = self.kind { unit } else { "" }
    }
}

/// A value as read: a number in SI units, or a text.
#[derive(Clone, Debug, PartialEq)]
enum Value {
    Number(f64),
    Text(String),
}

/// The inputs of one calculation.
#[derive(Clone, Debug)]
pub struct Args {
    calculator: &'static Calculator,
    values: BTreeMap<&'static str, Value>,
    /// Inputs given, not defaults.
    given: BTreeSet<&'static str>,
    /// Inputs the calculation has read: only these are shown, and one given in vain is an error.
    used: RefCell<BTreeSet<&'static str>>,
    answer_in: Option<String>,
}

/// A type a calculator can take an input as.
pub trait Measured: Sized {
    /// The value with this number of SI units.
    fn from_si(number: f64) -> Option<Self>;
}

macro_rules! measured {
    ($($quantity:ident),*) => {$(
        impl Measured for $quantity {
            fn from_si(number: f64) -> Option<Self> {
                Self::try_new(number)
            }
        }
    )*};
}
measured!(AmpHours, Amps, Celsius, Hours, Metres, Minutes, Ohms, OhmsPerMetre, Seconds, SquareMm, Volts, Watts);

impl Measured for f64 {
    fn from_si(number: f64) -> Option<Self> {
        Some(number)
    }
}

impl Measured for u32 {
    fn from_si(number: f64) -> Option<Self> {
        (number >= 0.0 && number <= f64::from(Self::MAX)).then_some(number as Self)
    }
}

impl Measured for u64 {
    fn from_si(number: f64) -> Option<Self> {
        // Up to 2^53 every whole number is exact.
        (0.0..=9_007_199_254_740_992.0).contains(&number).then_some(number as Self)
    }
}

impl Args {
    /// Reads pairs of key and value for a calculator. The key `answer` names the unit the answer is wanted in.
    ///
    /// # Errors
    /// When a key is unknown or given twice, a value cannot be read or is out of range, or a needed one is missing.
    pub fn read<'a>(
        calculator: &'static Calculator,
        pairs: impl IntoIterator<Item = &'a str>,
    ) -> Result<Self, CalcError> {
        let mut args = Self {
            calculator,
            values: BTreeMap::new(),
            given: BTreeSet::new(),
            used: RefCell::default(),
            answer_in: None,
        };
        for pair in pairs.into_iter().map(str::trim).filter(|pair| !pair.is_empty()) {
            let Some((key, value)) = pair.split_once('=') else {
                let example = calculator.inputs.first().map(|input| format!("{}=...", input.keys()[0]));
                let example = example.unwrap_or_default();
                return Err(CalcError::NotAPair { written: shorten(pair), example });
            };
            args.take(&key.trim().to_lowercase().replace('-', "_"), value.trim())?;
        }
        args.given = args.values.keys().copied().collect();
        for input in calculator.inputs {
            match input.need {
                _ if args.values.contains_key(input.name) => {}
                Need::Default(default) => {
                    let key = input.keys().remove(0);
                    args.take(&key, default)?;
                }
                Need::Required => return Err(args.missing(input)),
                Need::Optional => {}
            }
        }
        Ok(args)
    }

    fn take(&mut self, key: &str, written: &str) -> Result<(), CalcError> {
        if key == "answer" {
            self.answer_in = Some(written.to_lowercase());
            return Ok(());
        }
        let Some((input, factor, offset)) = self.find_key(key) else { return Err(self.unknown(key)) };
        let value = match input.kind {
            Kind::Word(words) => Value::Text(read_word(key, written, words)?),
            Kind::Series(_) => Value::Text(written.to_owned()),
            Kind::Quantity(_) | Kind::Number | Kind::Count => {
                let number = read_number(key, written)?;
                if input.kind == Kind::Count && libm::floor(number) < number {
                    return Err(unreadable(key, written, "a whole number"));
                }
                let inside = number * factor + offset;
                let (low, high) = input.range;
                // Written in another unit, the end of a range may miss itself by a rounding: of its own size, so that
                // zero stays outside a range that starts above zero.
                let slack = |end: f64| 1e-9 * end.abs();
                if inside < low - slack(low) || inside > high + slack(high) {
                    let (low, high) = ((low - offset) / factor, (high - offset) / factor);
                    let unit = key.strip_prefix(input.name).unwrap_or_default().trim_start_matches('_');
                    let unit = spellings(input.unit()).find(|row| row.suffix == unit).map_or("", |row| row.suffix);
                    return Err(CalcError::OutOfRange {
                        key: key.to_owned(),
                        value: shorten(written),
                        low,
                        high,
                        unit,
                    });
                }
                Value::Number(inside)
            }
        };
        match self.values.insert(input.name, value) {
            None => Ok(()),
            Some(_) => Err(CalcError::Twice { key: key.to_owned() }),
        }
    }

    fn find_key(&self, key: &str) -> Option<(&'static InputSpec, f64, f64)> {
        self.calculator.inputs.iter().find_map(|input| {
            let rest = key.strip_prefix(input.name)?;
            match input.kind {
                Kind::Quantity(unit) => {
                    let suffix = rest.strip_prefix('_')?;
                    let spelling = spellings(unit).find(|spelling| spelling.suffix == suffix)?;
                    Some((input, spelling.factor, spelling.offset))
                }
                _ => rest.is_empty().then_some((input, 1.0, 0.0)),
            }
        })
    }

    fn unknown(&self, key: &str) -> CalcError {
        let keys: Vec<String> = self.calculator.inputs.iter().flat_map(InputSpec::keys).collect();
        let known: Vec<String> = self.calculator.inputs.iter().map(|input| input.keys().join(" or ")).collect();
        CalcError::UnknownKey {
            calculator: self.calculator.name,
            key: shorten(key),
            meant: nearest(key, keys.iter().map(String::as_str)).map(str::to_owned),
            known: known.join(", "),
        }
    }

    fn missing(&self, input: &InputSpec) -> CalcError {
        CalcError::Missing { calculator: self.calculator.name, key: input.keys().join(" or "), about: input.about }
    }

    fn read_value(&self, name: &str) -> Option<&Value> {
        let (name, value) = self.values.get_key_value(name)?;
        self.used.borrow_mut().insert(name);
        Some(value)
    }

    /// The input with this name, if given.
    pub fn find<T: Measured>(&self, name: &str) -> Option<T> {
        match self.read_value(name)? {
            Value::Number(number) => T::from_si(*number),
            Value::Text(_) => None,
        }
    }

    /// The input with this name.
    ///
    /// # Errors
    /// When it was not given.
    pub fn get<T: Measured>(&self, name: &str) -> Result<T, CalcError> {
        self.find(name).ok_or_else(|| self.absent(name))
    }

    /// A percentage as a share of one.
    ///
    /// # Errors
    /// When it was not given.
    pub fn share(&self, name: &str) -> Result<f64, CalcError> {
        Ok(self.get::<f64>(name)? / 100.0)
    }

    /// The word or list with this name.
    ///
    /// # Errors
    /// When it was not given.
    pub fn text(&self, name: &str) -> Result<&str, CalcError> {
        match self.read_value(name) {
            Some(Value::Text(text)) => Ok(text),
            _ => Err(self.absent(name)),
        }
    }

    /// Whether the word with this name is "yes".
    pub fn yes(&self, name: &str) -> bool {
        self.text(name) == Ok("yes")
    }

    /// Whether the input with this name was given, and is not its default.
    pub fn was_given(&self, name: &str) -> bool {
        self.given.contains(name)
    }

    fn absent(&self, name: &str) -> CalcError {
        match self.calculator.inputs.iter().find(|input| input.name == name) {
            Some(input) => self.missing(input),
            None => self.unknown(name),
        }
    }

    /// Which one of inputs that exclude each other was given.
    ///
    /// # Errors
    /// When none or several were.
    pub fn one_of(&self, names: &[&'static str]) -> Result<&'static str, CalcError> {
        let given: Vec<&'static str> = names.iter().copied().filter(|name| self.values.contains_key(name)).collect();
        if let [one] = given[..] {
            return Ok(one);
        }
        let inputs = self.calculator.inputs.iter().filter(|input| names.contains(&input.name));
        let keys: Vec<String> = inputs.map(|input| input.keys()[0].clone()).collect();
        let given =
            if given.is_empty() { "none is given".to_owned() } else { format!("{} are given", given.join(" and ")) };
        Err(CalcError::OneOf { keys: keys.join(", "), given })
    }

    /// The list with this name: items between bars, each read by `item` from its parts between `marks`.
    ///
    /// # Errors
    /// When an item does not have one number more than there are marks.
    pub fn series(&self, name: &'static str, marks: &[char]) -> Result<Vec<Vec<f64>>, CalcError> {
        let text = self.text(name)?;
        let input = self.calculator.inputs.iter().find(|input| input.name == name);
        let form = match input.map(|input| input.kind) {
            Some(Kind::Series(form)) => form,
            _ => "",
        };
        let items: Vec<&str> = text.split('|').take(MOST_ITEMS).collect();
        items
            .iter()
            .map(|item| {
                let mut rest = *item;
                let mut numbers = Vec::new();
                for mark in marks {
                    let (number, after) = rest.split_once(*mark).ok_or_else(|| unreadable(name, item, form))?;
                    numbers.push(read_number(name, number)?);
                    rest = after;
                }
                numbers.push(read_number(name, rest)?);
                Ok(numbers)
            })
            .collect()
    }

    /// The answer with its formula, the inputs it was worked out from, and what was looked up on the way.
    ///
    /// # Errors
    /// When the number is not finite, cannot be had in the unit asked for, or an input was given in vain.
    pub fn answer_with(
        &self,
        formula: &Formula,
        value: impl Into<InputValue>,
        found: Vec<Input>,
    ) -> Result<Working, CalcError> {
        let used = self.used.borrow();
        if let Some(idle) =
            self.calculator.inputs.iter().find(|input| self.given.contains(input.name) && !used.contains(input.name))
        {
            return Err(CalcError::NotUsed { key: idle.keys().remove(0), about: idle.about });
        }
        let given = self.calculator.inputs.iter().filter(|input| used.contains(input.name)).filter_map(|input| {
            let value = match self.values.get(input.name)? {
                Value::Number(number) => InputValue::Number(*number),
                Value::Text(text) => InputValue::Text(text.clone()),
            };
            Some(Input { name: input.name, value, unit: input.unit() })
        });
        let inputs = given.chain(found).collect();
        let mut working = formula.working(FigureId::new("calc", "", self.calculator.name), value, inputs);
        if let InputValue::Number(number) = working.value {
            if !number.is_finite() {
                let why = format!("{} is too large to be counted", working.title);
                return Err(CalcError::NoAnswer { why, remedy: "give smaller figures" });
            }
            if let Some(wanted) = &self.answer_in {
                let spelling = spellings(working.unit).find(|spelling| spelling.suffix == wanted);
                let Some(spelling) = spelling else { return Err(wrong_answer_unit(wanted, working.unit)) };
                working.value = InputValue::Number((number - spelling.offset) / spelling.factor);
                working.unit = spelling.suffix;
            }
        }
        Ok(working)
    }

    /// The answer with its formula and the inputs as given.
    ///
    /// # Errors
    /// When the number is not finite, or cannot be had in the unit asked for.
    pub fn answer(&self, formula: &Formula, value: impl Into<InputValue>) -> Result<Working, CalcError> {
        self.answer_with(formula, value, Vec::new())
    }
}

/// Most items of a list. Bounds the work an input can ask for; *common practice*.
const MOST_ITEMS: usize = 500;

fn wrong_answer_unit(wanted: &str, unit: &str) -> CalcError {
    let known: Vec<&str> = spellings(unit).map(|spelling| spelling.suffix).collect();
    let expected = if known.is_empty() { "nothing: the answer has no unit".to_owned() } else { known.join(" or ") };
    let meant = nearest(wanted, known).map(str::to_owned);
    CalcError::Unreadable { key: "answer".to_owned(), value: shorten(wanted), expected, meant }
}

fn unreadable(key: &str, value: &str, expected: &str) -> CalcError {
    CalcError::Unreadable { key: key.to_owned(), value: shorten(value), expected: expected.to_owned(), meant: None }
}

fn read_word(key: &str, written: &str, words: &'static [&'static str]) -> Result<String, CalcError> {
    let plain = written.to_lowercase().replace([' ', '_'], "-");
    if words.contains(&plain.as_str()) {
        return Ok(plain);
    }
    let meant = nearest(&plain, words.iter().copied()).map(str::to_owned);
    let expected = format!("one of {}", words.join(", "));
    Err(CalcError::Unreadable { key: key.to_owned(), value: shorten(written), expected, meant })
}

/// Reads a number; also a sum `75+30+18` and an exact fraction `5/6`, as people write them.
fn read_number(key: &str, written: &str) -> Result<f64, CalcError> {
    let plain = |text: &str| text.trim().parse::<f64>().ok();
    let term = |text: &str| {
        plain(text).or_else(|| text.split_once('/').and_then(|(top, bottom)| Some(plain(top)? / plain(bottom)?)))
    };
    plain(written)
        .or_else(|| written.split('+').map(term).sum())
        .filter(|number| number.is_finite())
        .ok_or_else(|| unreadable(key, written, "a number such as 2.5, with a point and without unit"))
}

/// What was written, short enough to be shown.
fn shorten(written: &str) -> String {
    if written.chars().count() <= 60 {
        return written.to_owned();
    }
    written.chars().take(57).chain("...".chars()).collect()
}
