//! Plans in the words of the file they are for: amounts in its own unit, rooms by id or sites by number.

use std::collections::BTreeMap;

use dw_solve::location::Choice;
use serde::Deserialize;
use serde_json::{Number, Value};

use crate::error::{Place, ReadError};
use crate::{Form, Instance};

impl Instance {
    /// An amount of money in the file's own unit, exactly.
    pub fn in_words(&self, amount: i64) -> String {
        in_words(amount, self.decimals)
    }

    /// An amount of money in the file's own unit as JSON; the nearest double where the unit has decimals.
    pub fn number(&self, amount: i64) -> Number {
        if self.decimals == 0 {
            return amount.into();
        }
        self.in_words(amount).parse().ok().and_then(Number::from_f64).unwrap_or_else(|| amount.into())
    }

    /// Where each customer is served from, in file order: the room's id for an estate, the site's number from 0 for a
    /// facility file, `null` when it is not served.
    pub fn assignment(&self, assignment: &[Option<Choice>]) -> Vec<Value> {
        let name = |choice: &Option<Choice>| match (choice, self.form) {
            (None, _) => Value::Null,
            (Some(choice), Form::Facility) => choice.site.into(),
            (Some(choice), Form::Estate) => {
                self.sites.get(choice.site).map_or(Value::Null, |id| Value::String(id.clone()))
            }
        };
        assignment.iter().map(name).collect()
    }

    /// A previous assignment, to start from: JSON with `assignment` as [`Self::assignment`] gives it.
    ///
    /// A site that is no more, or out of reach by now, counts as not served. **Shape:** one entry per customer; another
    /// number is refused, because it would put plans to the wrong customers.
    pub fn start(&self, bytes: &[u8]) -> Result<Vec<Option<Choice>>, ReadError> {
        let previous: Previous = serde_json::from_slice(bytes).map_err(|error| {
            let remedy = "give what a run with --json has printed";
            ReadError::new(Place::Line(error.line()), error.to_string(), remedy)
        })?;
        let (found, wanted) = (previous.assignment.len(), self.customers.len());
        if found != wanted {
            let what = format!("there are {found} entries, the instance has {wanted}");
            let remedy = "give one entry for each in file order, null for a new one";
            return Err(ReadError::new(Place::Field("assignment".to_owned()), what, remedy));
        }
        let numbers: BTreeMap<&str, usize> = self.sites.iter().map(String::as_str).zip(0..).collect();
        let site = |name: &Option<Name>| match name.as_ref()? {
            Name::Id(id) => numbers.get(id.as_str()).copied(),
            Name::Number(number) => (*number < self.sites.len()).then_some(*number),
        };
        Ok(previous.assignment.iter().map(|name| site(name).map(Choice::first_at)).collect())
    }
}

#[derive(Deserialize)]
struct Previous {
    #[serde(alias = "room_of_opening")]
    assignment: Vec<Option<Name>>,
}

#[derive(Deserialize)]
#[serde(untagged)]
enum Name {
    Id(String),
    Number(usize),
}

/// mantissa · 10^-decimals with all its decimals.
pub(crate) fn in_words(mantissa: i64, decimals: u32) -> String {
    let sign = if mantissa < 0 { "-" } else { "" };
    let width = decimals as usize;
    let digits = format!("{:0>least$}", mantissa.unsigned_abs(), least = width + 1);
    let (whole, part) = digits.split_at(digits.len() - width);
    if part.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{part}") }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn amounts_keep_their_decimals_and_sign() {
        for (mantissa, decimals, expected) in [
            (0, 0, "0"),
            (5, 3, "0.005"),
            (-1234, 2, "-12.34"),
            (1200, 2, "12.00"),
            (i64::MIN, 0, "-9223372036854775808"),
        ] {
            assert_eq!(in_words(mantissa, decimals), expected);
        }
    }
}
