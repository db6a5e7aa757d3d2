//! Calculators for card numbers: layouts, frames, and the chance of a repeat.

use dw_core::{Input, Working};

use super::{Args, CalcError, Calculator, InputSpec};
use crate::credential::{self, LAYOUT_NOTATION, Layout, Reject};

const LAYOUT: InputSpec = InputSpec::series("layout", LAYOUT_NOTATION, "layout of the card, as its supplier states it");
const FACILITY: InputSpec = InputSpec::count("facility", (0.0, MOST), "facility code, where the layout has one");
const NUMBER: InputSpec = InputSpec::count("number", (0.0, MOST), "number of the card");
const FRAME: InputSpec = InputSpec::series("frame", "0 and 1, first bit sent first", "frame as received");

/// Highest whole number that stays exact: 2^53 - 1.
const MOST: f64 = 9_007_199_254_740_991.0;

/// Card numbers.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "credential-encode",
        about: "Frame of a card from facility code and number, first bit sent first",
        inputs: &[LAYOUT, FACILITY.optional(), NUMBER],
        run: encode,
    },
    Calculator {
        name: "credential-decode",
        about: "Facility code and number of a frame whose layout is known",
        inputs: &[LAYOUT, FRAME],
        run: |args| {
            let decoded = layout(args)?.decode(args.text("frame")?).map_err(refused)?;
            args.answer(&credential::CARD_CHECK, decoded.to_string())
        },
    },
    Calculator {
        name: "credential-check",
        about: "Whether a frame, or a facility code and number, fit a layout: accept or reject, and why",
        inputs: &[LAYOUT, FRAME.optional(), FACILITY.optional(), NUMBER.optional()],
        run: check,
    },
    Calculator {
        name: "credential-codes",
        about: "Distinct cards of a layout",
        inputs: &[
            LAYOUT,
            InputSpec::word("skip_zero", &["no", "yes"], "whether code and number 0 are never issued").or("no"),
        ],
        run: |args| args.answer(&credential::DISTINCT_CODES, layout(args)?.codes(args.yes("skip_zero")) as f64),
    },
    Calculator {
        name: "repeat-chance",
        about: "Chance that at least two of some cards carry the same number, numbers drawn at random",
        inputs: &[
            InputSpec::count("cards", (0.0, 1e6), "cards issued"),
            InputSpec::count("codes", (1.0, MOST), "distinct codes they are drawn from"),
        ],
        run: |args| {
            let chance = credential::repeat_chance(args.get("cards")?, args.get("codes")?);
            args.answer(&credential::REPEAT_CHANCE, chance)
        },
    },
    Calculator {
        name: "estate-merge",
        about: "Numbers held twice when two estates of one layout and facility code merge",
        inputs: &[
            InputSpec::count("n1", (0.0, 1e9), "cards of the first estate"),
            InputSpec::count("n2", (0.0, 1e9), "cards of the second estate"),
            InputSpec::count("codes", (1.0, MOST), "numbers the random ones were drawn from").optional(),
            InputSpec::word("numbers", &["random", "from-one"], "how the cards were numbered").or("random"),
        ],
        run: |args| {
            if args.text("numbers")? == "from-one" {
                let twice = credential::merged_from_one(args.get("n1")?, args.get("n2")?);
                return args.answer(&credential::MERGED_FROM_ONE, twice as f64);
            }
            let twice = credential::merged_random(args.get("n1")?, args.get("n2")?, args.get("codes")?);
            args.answer(&credential::MERGED_RANDOM, twice)
        },
    },
];

fn layout(args: &Args) -> Result<Layout, CalcError> {
    let written = args.text("layout")?;
    Layout::read(written).map_err(|why| CalcError::NoAnswer {
        why: format!("the layout is not clear: {why}"),
        remedy: "name a published layout or describe every bit, as the supplier states it",
    })
}

fn refused(why: Reject) -> CalcError {
    CalcError::NoAnswer {
        why: why.to_string(),
        remedy: "check facility code, number and layout against the card order",
    }
}

fn encode(args: &Args) -> Result<Working, CalcError> {
    let frame = layout(args)?.encode(args.find("facility"), args.get("number")?).map_err(refused)?;
    let found = vec![Input::new("in hexadecimal, aligned right", hexadecimal(&frame), "")];
    args.answer_with(&credential::FRAME, frame, found)
}

/// A frame in hexadecimal digits, aligned to its last bit.
fn hexadecimal(frame: &str) -> String {
    let bits: Vec<bool> = frame.chars().map(|bit| bit == '1').collect();
    let digit = |bits: &[bool]| bits.iter().fold(0, |value, bit| value << 1 | u32::from(*bit));
    let digits: Vec<u32> = bits.rchunks(4).map(digit).collect();
    digits.into_iter().rev().filter_map(|digit| char::from_digit(digit, 16)).collect::<String>().to_uppercase()
}

fn check(args: &Args) -> Result<Working, CalcError> {
    let layout = layout(args)?;
    let outcome = match args.one_of(&["frame", "number"])? {
        "frame" => layout.decode(args.text("frame")?).map(|decoded| decoded.to_string()),
        _ => {
            let (facility, number) = (args.find("facility"), args.get("number")?);
            layout.fits(facility, number).map(|()| credential::Decoded { facility, number }.to_string())
        }
    };
    let answer = match outcome {
        Ok(read) => format!("accept ({read})"),
        Err(why) => format!("reject ({why})"),
    };
    args.answer(&credential::CARD_CHECK, answer)
}

#[cfg(test)]
mod tests {
    use crate::calc::run_line;

    #[test]
    fn hexadecimal_is_aligned_to_the_last_bit() {
        // Published examples of the 26-bit layout; the first equals one of an open encoder.
        for (facility, number, expected) in [(90, 324, "0B40288"), (255, 65_535, "1FFFFFF"), (123, 4567, "2F623AE")] {
            let line = format!("layout=w26;facility={facility};number={number}");
            let working = run_line("credential-encode", &line).unwrap();
            let shown = working.inputs.iter().find(|input| input.name.starts_with("in hexadecimal")).unwrap();
            assert_eq!(shown.value.to_string(), expected);
        }
    }

    #[test]
    fn a_length_alone_is_no_layout_and_the_remedy_is_named() {
        let told = run_line("credential-decode", "layout=37;frame=0").unwrap_err().to_string();
        assert!(told.contains("which bits are the number") && told.contains("as the supplier states it"), "{told}");
    }

    #[test]
    fn a_facility_code_where_the_layout_has_none_is_refused() {
        let told = run_line("credential-encode", "layout=w37-35;facility=1;number=1").unwrap_err().to_string();
        assert!(told.contains("no facility code"), "{told}");
        let checked = run_line("credential-check", "layout=w37-35;facility=1;number=1").unwrap();
        assert_eq!(checked.value.to_string(), "reject (the layout has no facility code)");
    }
}
