//! Calculators: each published quantity of the passes, asked for alone under a plain name.
//!
//! A calculator takes `key=value` pairs in any unit of its quantity and answers with a [`Working`]: value, unit, formula,
//! inputs and source. It uses the same functions as the passes.

mod addresses;
mod args;
mod battery;
mod bus;
mod credential;
mod error;
mod ethernet;
mod heat;
mod identity;
mod limits;
mod network;
mod osdp;
mod plates;
mod protection;
mod radio;
mod units;
mod wire;

use dw_core::Working;
use dw_job::text::nearest;

pub use args::{Args, InputSpec, Kind, Measured, Need};
pub use error::CalcError;
pub use units::{Spelling, spellings};

/// One calculator.
#[derive(Clone, Copy, Debug)]
pub struct Calculator {
    /// Plain name in kebab case.
    pub name: &'static str,
    /// What it answers, in a line.
    pub about: &'static str,
    /// What it asks for.
    pub inputs: &'static [InputSpec],
    /// Works out the answer.
    pub run: fn(&Args) -> Result<Working, CalcError>,
}

/// Calculators by subject.
const SUBJECTS: &[&[Calculator]] = &[
    wire::CALCULATORS,
    network::CALCULATORS,
    battery::CALCULATORS,
    limits::CALCULATORS,
    heat::CALCULATORS,
    protection::CALCULATORS,
    bus::CALCULATORS,
    osdp::CALCULATORS,
    ethernet::CALCULATORS,
    radio::CALCULATORS,
    addresses::CALCULATORS,
    credential::CALCULATORS,
    identity::CALCULATORS,
    plates::CALCULATORS,
];

/// Every calculator, by subject.
pub static CALCULATORS: &[Calculator] = &joined();

const COUNT: usize = {
    let (mut count, mut subject) = (0, 0);
    while subject < SUBJECTS.len() {
        count += SUBJECTS[subject].len();
        subject += 1;
    }
    count
};

const fn joined() -> [Calculator; COUNT] {
    let mut all = [SUBJECTS[0][0]; COUNT];
    let (mut at, mut subject, mut row) = (0, 0, 0);
    while at < COUNT {
        if row == SUBJECTS[subject].len() {
            (subject, row) = (subject + 1, 0);
        } else {
            all[at] = SUBJECTS[subject][row];
            (at, row) = (at + 1, row + 1);
        }
    }
    all
}

/// The calculator with this name.
///
/// # Errors
/// When there is none; the error says which name was perhaps meant.
pub fn find(name: &str) -> Result<&'static Calculator, CalcError> {
    let plain = name.trim().to_lowercase().replace([' ', '_'], "-");
    CALCULATORS.iter().find(|calculator| calculator.name == plain).ok_or_else(|| CalcError::UnknownCalculator {
        name: name.chars().take(60).collect(),
        meant: nearest(&plain, CALCULATORS.iter().map(|calculator| calculator.name)).map(str::to_owned),
    })
}

/// Asks a calculator, with pairs as on a command line.
///
/// # Errors
/// When there is no such calculator, an input is wrong, or there is no answer.
///
/// ```
/// use dw_engine::calc;
/// let working = calc::run("voltage-drop", ["resistance_ohm_per_kft=4.99", "length_ft=100", "current_a=4"]).unwrap();
/// assert_eq!((working.value.to_string().as_str(), working.unit), ("3.992", "V"));
/// ```
pub fn run<'a>(name: &str, pairs: impl IntoIterator<Item = &'a str>) -> Result<Working, CalcError> {
    let calculator = find(name)?;
    (calculator.run)(&Args::read(calculator, pairs)?)
}

/// Asks a calculator, with pairs on one line between semicolons, as in a sheet of cases.
///
/// # Errors
/// As [`run`].
///
/// ```
/// use dw_engine::calc;
/// let working = calc::run_line("splitter-output", "class=4;efficiency_percent=88;voltage_v=12").unwrap();
/// assert_eq!(working.value.to_string(), "1.87");
/// ```
pub fn run_line(name: &str, line: &str) -> Result<Working, CalcError> {
    run(name, line.split(';'))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn refused(name: &str, line: &str) -> String {
        run_line(name, line).unwrap_err().to_string()
    }

    #[test]
    fn names_are_plain_and_each_is_used_once() {
        let names: Vec<&str> = CALCULATORS.iter().map(|calculator| calculator.name).collect();
        assert_eq!(names.iter().collect::<BTreeSet<_>>().len(), names.len());
        for name in names {
            assert!(name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'), "{name}");
        }
    }

    #[test]
    fn every_quantity_can_be_given_in_a_unit_and_every_default_can_be_read() {
        for calculator in CALCULATORS {
            for input in calculator.inputs {
                assert!(!input.keys().is_empty(), "{} {}", calculator.name, input.name);
                assert!(input.about.len() > 3, "{} {}", calculator.name, input.name);
            }
            match Args::read(calculator, []) {
                Ok(_) | Err(CalcError::Missing { .. }) => {}
                Err(other) => panic!("{}: {other}", calculator.name),
            }
        }
    }

    #[test]
    fn a_wrong_question_names_the_key_the_value_and_the_remedy() {
        assert_eq!(
            refused("voltage-dorp", ""),
            "no calculator is called \"voltage-dorp\"; did you mean \"voltage-drop\"?"
        );
        let unknown = refused("voltage-drop", "lenght_m=30");
        assert!(unknown.contains("\"lenght_m\"; did you mean \"length_m\"?"), "{unknown}");
        let without_unit = refused("voltage-drop", "length=30");
        assert!(without_unit.contains("length_m"), "{without_unit}");
        let word = refused("voltage-drop", "length_m=30;current_a=1;awg=18;strand=strnded");
        assert!(word.contains("did you mean \"stranded\"?"), "{word}");
        let number = refused("voltage-drop", "length_m=3,5");
        assert!(number.contains("length_m = \"3,5\" cannot be read"), "{number}");
        let range = refused("voltage-drop", "length_ft=-1");
        assert!(range.contains("length_ft = -1 is outside 0 to"), "{range}");
        let twice = refused("voltage-drop", "length_m=30;length_ft=100");
        assert!(twice.contains("\"length_ft\" is given twice"), "{twice}");
        let missing = refused("voltage-drop", "length_m=30;awg=18");
        assert!(missing.contains("voltage-drop needs current_a or current_ma"), "{missing}");
        let both = refused("voltage-drop", "length_m=30;current_a=1;awg=18;area_mm2=1");
        assert!(both.contains("give exactly one of"), "{both}");
        let idle = refused("voltage-drop", "length_m=30;current_a=1;resistance_ohm_per_km=20;temperature_c=40");
        assert!(idle.contains("temperature_c (temperature of the conductor) has no part"), "{idle}");
        let pair = refused("voltage-drop", "length_m");
        assert!(pair.contains("is not key=value"), "{pair}");
        let unit = refused("voltage-drop", "length_m=30;current_a=1;awg=18;answer=furlong");
        assert!(unit.contains("answer = \"furlong\""), "{unit}");
    }

    #[test]
    fn only_inputs_that_had_a_part_in_the_answer_are_shown() {
        let working = run_line("voltage-drop", "length_m=30;current_a=1;resistance_ohm_per_km=20").unwrap();
        let names: Vec<&str> = working.inputs.iter().map(|input| input.name).collect();
        assert_eq!(names, ["length", "current", "resistance", "parallel", "transfer"]);
    }

    #[test]
    fn sums_and_fractions_are_read_as_people_write_them() {
        let sum = run_line("heat-load", "power_w=75+30+18+30;factor=3.4").unwrap();
        assert_eq!(sum.value.to_string(), "520.2");
        let fraction = run_line("heat-load", "power_w=5/6;factor=6").unwrap();
        assert_eq!(fraction.value.to_string(), "5");
        assert!(run_line("heat-load", "power_w=1/0").is_err());
        assert!(run_line("heat-load", "power_w=nan").is_err());
        assert!(run_line("heat-load", &format!("power_w={}", "9".repeat(400))).is_err());
    }

    /// Texts of an input at the low and at the high end of what it takes.
    fn ends(input: &InputSpec) -> [String; 2] {
        match input.kind {
            Kind::Word(words) => [words[0].to_owned(), words[words.len() - 1].to_owned()],
            Kind::Series(form) => [form.to_owned(), form.to_owned()],
            _ => [input.range.0.to_string(), input.range.1.to_string()],
        }
    }

    /// Every choice of inputs a calculator lets somebody give: what is required, and any of the others.
    fn choices(calculator: &Calculator) -> Vec<Vec<&'static InputSpec>> {
        let (required, free): (Vec<_>, Vec<_>) =
            calculator.inputs.iter().partition(|input| input.need == Need::Required);
        let choose = |set: usize| {
            let taken = free.iter().enumerate().filter(|(bit, _)| set >> bit & 1 == 1).map(|(_, input)| *input);
            required.iter().copied().chain(taken).collect()
        };
        (0..1 << free.len()).map(choose).collect()
    }

    #[test]
    fn inputs_at_the_ends_of_their_ranges_all_or_one_at_a_time_give_a_finite_number_or_an_error() {
        for calculator in CALCULATORS {
            for inputs in choices(calculator) {
                let all = |end: usize| -> Vec<usize> { vec![end; inputs.len()] };
                let mut cases = vec![all(0), all(1)];
                for (end, position) in (0..inputs.len()).flat_map(|position| [(0, position), (1, position)]) {
                    let mut case = all(end);
                    case[position] = 1 - end;
                    cases.push(case);
                }
                for case in cases {
                    let pair =
                        |(input, end): (&&InputSpec, &usize)| format!("{}={}", input.keys()[0], ends(input)[*end]);
                    let pairs: Vec<String> = inputs.iter().zip(&case).map(pair).collect();
                    let answer = run(calculator.name, pairs.iter().map(String::as_str)).map(|working| working.value);
                    if let Ok(dw_core::InputValue::Number(number)) = answer {
                        assert!(number.is_finite(), "{} {pairs:?}", calculator.name);
                    }
                }
            }
        }
    }

    #[test]
    fn zero_is_refused_wherever_a_range_starts_above_it() {
        for calculator in CALCULATORS {
            for input in calculator.inputs.iter().filter(|input| input.range.0 > 0.0 && input.unit() != "°C") {
                if matches!(input.kind, Kind::Word(_) | Kind::Series(_)) {
                    continue;
                }
                let pair = format!("{}=0", input.keys()[0]);
                let found = run(calculator.name, [pair.as_str()]).unwrap_err();
                assert!(matches!(found, CalcError::OutOfRange { .. }), "{} {pair}: {found}", calculator.name);
            }
        }
        let refused = refused("peukert-time", "capacity_ah=7;load_a=0;peukert=1.1");
        assert!(refused.contains("load_a = 0 is outside 0.0001 to"), "{refused}");
    }

    #[test]
    fn a_margin_is_not_laid_on_ageing_unless_both_are_asked_for() {
        let line = "standby_load_a=1;standby_h=4;margin=1.25";
        let found = refused("battery-size", line);
        assert!(found.contains("may count ageing twice; give end_of_life_percent=100"), "{found}");
        let size = |more: &str| match run_line("battery-size", &format!("standby_load_a=1;standby_h=4{more}")) {
            Ok(Working { value: dw_core::InputValue::Number(size), .. }) => size,
            other => panic!("{other:?}"),
        };
        let plain = size(";end_of_life_percent=100");
        assert!((size(";margin=1.25;end_of_life_percent=100") / plain - 1.25).abs() < 1e-9);
        assert!((size("") / plain - 1.25).abs() < 1e-9, "the usual end of life of 80 % alone");
        assert!((size(";margin=1.1;end_of_life_percent=80") / plain - 1.375).abs() < 1e-9);
    }
}
