//! Facility-location files: single-source, capacitated, as text.
//!
//! First `n m`, the numbers of sites and customers; then n pairs of capacity and fixed cost; then m demands; then n rows
//! of m costs, each of serving the whole of a customer from that site. Numbers may have decimals. Money is scaled
//! to whole numbers by the least power of ten that makes all of it whole, and so are capacities with demands.
//!
//! A customer takes its demand of one resource of its site and no port; where its demand exceeds the capacity of a site it
//! has no arc to it. Source of the form: the collections of Holmberg, Rönnqvist and Yuan (EJOR 113, 1999) and of the
//! OR-Library, in one common order.

use dw_solve::location::{Arc, Customer, MAX_AMOUNT, Problem, Site, Variant};

use crate::error::{Place, ReadError};
use crate::{Form, Instance, MAX_CUSTOMERS, MAX_SITES};

/// Reads a facility file.
pub fn read(text: &str) -> Result<Instance, ReadError> {
    let mut numbers = Numbers::new(text);
    let n_sites = numbers.count("the number of sites", MAX_SITES)?;
    let n_customers = numbers.count("the number of customers", MAX_CUSTOMERS)?;
    verify_length(text, n_sites, n_customers)?;
    let mut capacities = Vec::with_capacity(n_sites);
    let mut fixed = Vec::with_capacity(n_sites);
    for site in 0..n_sites {
        capacities.push(numbers.amount(|| format!("the capacity of site {site}"))?);
        fixed.push(numbers.amount(|| format!("the fixed cost of site {site}"))?);
    }
    let demands = (0..n_customers)
        .map(|customer| numbers.amount(|| format!("the demand of customer {customer}")))
        .collect::<Result<Vec<_>, _>>()?;
    let costs = (0..n_sites * n_customers)
        .map(|at| numbers.next(|| format!("the cost of customer {} from site {}", at % n_customers, at / n_customers)))
        .collect::<Result<Vec<_>, _>>()?;

    let decimals = most_decimals(fixed.iter().chain(&costs));
    let of_amounts = most_decimals(capacities.iter().chain(&demands));
    let capacities = scaled(&capacities, of_amounts)?;
    let demands = scaled(&demands, of_amounts)?;
    let fixed = scaled(&fixed, decimals)?;
    let costs = scaled(&costs, decimals)?;
    let customers = demands.iter().enumerate().map(|(customer, &demand)| {
        let can_serve = |site: &usize| demand <= capacities[*site];
        let arc = |site| Arc { site, cost: costs[site * n_customers + customer] };
        let arcs = (0..n_sites).filter(can_serve).map(arc).collect();
        Customer::single(Variant { uses: vec![demand], arcs, ..Variant::default() })
    });
    let site = |(&fixed, &capacity)| Site { fixed, limits: vec![capacity] };
    Ok(Instance {
        form: Form::Facility,
        problem: Problem {
            customers: customers.collect(),
            sites: fixed.iter().zip(&capacities).map(site).collect(),
            ..Problem::default()
        },
        sites: (0..n_sites).map(|site| site.to_string()).collect(),
        customers: (0..n_customers).map(|customer| customer.to_string()).collect(),
        decimals,
    })
}

/// Refuses a file that has fewer or more numbers than it announces, before any room is made for them.
fn verify_length(text: &str, n_sites: usize, n_customers: usize) -> Result<(), ReadError> {
    let wanted = 2 + 2 * n_sites + n_customers + n_sites * n_customers;
    let found = text.split_ascii_whitespace().count();
    if found == wanted {
        return Ok(());
    }
    let first = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let of_edges = first.split_ascii_whitespace().count() == 3;
    let what =
        format!("{n_sites} sites and {n_customers} customers take {wanted} numbers in all, but there are {found}");
    let remedy = if of_edges {
        "a first line of three numbers belongs to a p-median file, another problem that is not read"
    } else {
        "give n m, n pairs of capacity and fixed cost, m demands, n rows of m costs"
    };
    Err(ReadError::new(Place::File, what, remedy))
}

/// A decimal number as written: mantissa · 10^-decimals, without trailing zeros behind the point.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Decimal {
    mantissa: i64,
    decimals: u32,
    line: u32,
}

/// Reads digits with an optional sign and point, `None` when it is none or has more than 18 digits that count.
fn decimal(word: &str, line: u32) -> Option<Decimal> {
    let (is_negative, digits) = match word.as_bytes().first()? {
        b'-' => (true, &word[1..]),
        b'+' => (false, &word[1..]),
        _ => (false, word),
    };
    let (whole, part) = digits.split_once('.').unwrap_or((digits, ""));
    if whole.is_empty() && part.is_empty() {
        return None;
    }
    let part = if part.bytes().all(|byte| byte.is_ascii_digit()) { part.trim_end_matches('0') } else { return None };
    let mut mantissa: i64 = 0;
    for byte in whole.bytes().chain(part.bytes()) {
        let digit = byte.is_ascii_digit().then(|| i64::from(byte - b'0'))?;
        mantissa = mantissa.checked_mul(10)?.checked_add(digit)?;
    }
    let mantissa = if is_negative { -mantissa } else { mantissa };
    Some(Decimal { mantissa, decimals: u32::try_from(part.len()).ok()?, line })
}

fn most_decimals<'d>(numbers: impl Iterator<Item = &'d Decimal>) -> u32 {
    numbers.map(|number| number.decimals).max().unwrap_or(0)
}

/// All numbers times 10^decimals, which is at least as many as any of them has.
fn scaled(numbers: &[Decimal], decimals: u32) -> Result<Vec<i64>, ReadError> {
    let one = |number: &Decimal| {
        let factor = 10i64.checked_pow(decimals - number.decimals);
        let scaled = factor.and_then(|factor| number.mantissa.checked_mul(factor));
        scaled.filter(|scaled| (-MAX_AMOUNT..=MAX_AMOUNT).contains(scaled)).ok_or_else(|| {
            let what = format!(
                "{} with {decimals} decimals, as the finest number of the file has, is beyond {MAX_AMOUNT} of its units",
                crate::answer::in_words(number.mantissa, number.decimals)
            );
            ReadError::new(Place::Line(number.line as usize), what, "round the numbers of the file or use a larger unit")
        })
    };
    numbers.iter().map(one).collect()
}

/// The numbers of a text with their lines.
struct Numbers<'t> {
    words: Box<dyn Iterator<Item = (u32, &'t str)> + 't>,
    line: u32,
}

impl<'t> Numbers<'t> {
    fn new(text: &'t str) -> Self {
        let lines = (1..).zip(text.split('\n'));
        let words = lines.flat_map(|(line, text)| text.split_ascii_whitespace().map(move |word| (line, word)));
        Self { words: Box::new(words), line: 1 }
    }

    fn next(&mut self, what: impl Fn() -> String) -> Result<Decimal, ReadError> {
        let Some((line, word)) = self.words.next() else {
            return Err(self.error(format!("the file ends before {}", what()), "copy the file again"));
        };
        self.line = line;
        decimal(word, line).ok_or_else(|| {
            let shown: String = word.chars().take(40).collect();
            let what = format!("{} is \"{shown}\"", what());
            self.error(what, "write a number of up to 18 digits, with a point before decimals")
        })
    }

    /// A number that is not negative.
    fn amount(&mut self, what: impl Fn() -> String) -> Result<Decimal, ReadError> {
        let number = self.next(&what)?;
        if number.mantissa < 0 {
            let shown = crate::answer::in_words(number.mantissa, number.decimals);
            return Err(self.error(format!("{} is {shown}", what()), "give an amount of 0 or more"));
        }
        Ok(number)
    }

    /// A whole number from 1.
    fn count(&mut self, what: &str, most: usize) -> Result<usize, ReadError> {
        let number = self.next(|| what.to_owned())?;
        let count = usize::try_from(number.mantissa).ok().filter(|_| number.decimals == 0);
        count.filter(|count| (1..=most).contains(count)).ok_or_else(|| {
            let shown = crate::answer::in_words(number.mantissa, number.decimals);
            self.error(format!("{what} is {shown}"), format!("give a whole number from 1 to {most}"))
        })
    }

    fn error(&self, what: String, remedy: impl Into<String>) -> ReadError {
        ReadError::new(Place::Line(self.line as usize), what, remedy)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn check(word: &str, expected: Option<(i64, u32)>) {
        assert_eq!(decimal(word, 1).map(|number| (number.mantissa, number.decimals)), expected, "{word}");
    }

    #[test]
    fn decimals_are_read_exactly_and_trailing_zeros_do_not_count() {
        check("6739.72500", Some((6_739_725, 3)));
        check("-0.10", Some((-1, 1)));
        check("15000.", Some((15_000, 0)));
        check(".5", Some((5, 1)));
        check("+7", Some((7, 0)));
        for word in ["", ".", "-", "1,5", "1e5", "0x1", "--1", "1.2.3", "9999999999999999999", "١"] {
            check(word, None);
        }
    }
}
