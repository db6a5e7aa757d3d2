//! Layouts of card numbers: which bits are facility code, number and parity; frames written and read by them.
//!
//! A layout is stated, never guessed from a length: there are several of 37 bits. It is given by the name of a published
//! one or described in words, as [`PUBLISHED`] describes those. Frames are texts of `0` and `1`, first bit sent first,
//! because leading zeros count.

use std::fmt;

use crate::power::Formula;

/// Words of a frame.
pub const FRAME: Formula = Formula {
    title: "Frame of a card, first bit sent first",
    unit: "bits",
    formula: "facility code and number in their bits, most significant first; parity bits over theirs",
    source: "the layout named: SIA AC-01-1996.10 for w26, open drivers and libraries for the others",
};

/// Words of a check.
pub const CARD_CHECK: Formula = Formula {
    title: "Whether a frame, or a facility code and number, fit a layout",
    unit: "",
    formula: "length, parity bits and fixed bits as the layout has them; facility code and number within their bits",
    source: "the layout named; parity cannot see an even number of wrong bits among those it covers",
};

/// Words of [`Layout::codes`].
pub const DISTINCT_CODES: Formula = Formula {
    title: "Distinct cards of a layout",
    unit: "",
    formula: "codes = 2^(facility bits) * 2^(number bits), without code and number 0 where they are skipped",
    source: "counting",
};

/// How a layout is described.
pub const LAYOUT_NOTATION: &str = "w26, w34, w37-35, w37-16-19, or described: 26 bits, facility 1-8, number 9-24, even 0 over 1-12, odd 25 over 13-24";

/// A layout anybody may use, as published.
#[derive(Clone, Copy, Debug)]
pub struct Published {
    /// Its name here.
    pub name: &'static str,
    /// It in words; bits count from 0, the first one sent.
    pub described: &'static str,
    /// Where it is published.
    pub source: &'static str,
}

/// Published layouts. The 37-bit ones show why a length says nothing.
pub const PUBLISHED: &[Published] = &[
    Published {
        name: "w26",
        described: "26 bits, facility 1-8, number 9-24, even 0 over 1-12, odd 25 over 13-24",
        source: "SIA AC-01-1996.10",
    },
    Published {
        name: "w34",
        described: "34 bits, facility 1-16, number 17-32, even 0 over 1-16, odd 33 over 17-32",
        source: "Apache NuttX driver (field widths), open encoder library (parity by halves)",
    },
    Published {
        name: "w37-35",
        described: "37 bits, number 1-35, even 0 over 1-18, odd 36 over 18-35",
        source: "open RFID middleware library (18 and 18 bits, the middle one in both)",
    },
    Published {
        name: "w37-16-19",
        described: "37 bits, facility 1-16, number 17-35, even 0 over 1-18, odd 36 over 18-35",
        source: "from memory; ANSI/ASHRAE 135 names a 37-bit type with facility code",
    },
];

/// Most bits of a frame. ISO/IEC 7816 and the reader protocols carry more; no open layout does (*common practice*).
const MOST_BITS: usize = 128;
/// Most bits of a field: a number must stay exact wherever it is shown.
const MOST_FIELD_BITS: usize = 53;

/// Bits from a first to a last one.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Span {
    first: usize,
    last: usize,
}

impl Span {
    fn read(text: &str) -> Option<Self> {
        let (first, last) = text.split_once('-').unwrap_or((text, text));
        let span = Self { first: first.trim().parse().ok()?, last: last.trim().parse().ok()? };
        (span.first <= span.last && span.last < MOST_BITS).then_some(span)
    }

    fn bits(self) -> impl Iterator<Item = usize> {
        self.first..=self.last
    }

    fn len(self) -> usize {
        self.last - self.first + 1
    }

    /// Highest value these bits hold.
    fn most(self) -> u64 {
        (1 << self.len()) - 1
    }

    fn value(self, bits: &[bool]) -> u64 {
        bits[self.first..=self.last].iter().fold(0, |value, bit| value << 1 | u64::from(*bit))
    }

    fn put(self, value: u64, bits: &mut [bool]) {
        for (place, bit) in self.bits().zip((0..self.len()).rev()) {
            bits[place] = value >> bit & 1 == 1;
        }
    }
}

/// A parity bit and the bits it makes even or odd in number, itself among them.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Parity {
    bit: usize,
    odd: bool,
    covers: Vec<Span>,
}

impl Parity {
    fn wanted(&self, bits: &[bool]) -> bool {
        self.covers.iter().flat_map(|span| span.bits()).fold(self.odd, |parity, place| parity ^ bits[place])
    }
}

/// What each bit of a frame is.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Layout {
    bits: usize,
    facility: Option<Span>,
    number: Span,
    fixed: Vec<(Span, bool)>,
    parities: Vec<Parity>,
}

/// What a frame says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Decoded {
    /// Facility code, where the layout has one.
    pub facility: Option<u64>,
    /// Number.
    pub number: u64,
}

impl fmt::Display for Decoded {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.facility {
            Some(facility) => write!(f, "facility {facility}, number {}", self.number),
            None => write!(f, "number {}", self.number),
        }
    }
}

/// Why a frame, or a facility code and number, are refused.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Reject {
    /// The frame has another length.
    Length(usize, usize),
    /// Something that is neither 0 nor 1.
    NotABit,
    /// A parity bit is wrong.
    Parity {
        /// The bit.
        bit: usize,
        /// Whether it makes the number of ones odd.
        odd: bool,
    },
    /// A fixed bit is wrong.
    Fixed(usize),
    /// The facility code does not fit its bits.
    Facility(u64, usize),
    /// The layout has no facility code, and one is given.
    NoFacility,
    /// The layout has a facility code, and none is given.
    FacilityMissing,
    /// The number does not fit its bits.
    Number(u64, usize),
}

impl fmt::Display for Reject {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Length(got, wanted) => write!(f, "{got} bits, the layout has {wanted}"),
            Self::NotABit => f.write_str("a frame is written in 0 and 1 only"),
            Self::Parity { bit, odd } => {
                write!(f, "{} parity of bit {bit} wrong", if *odd { "odd" } else { "even" })
            }
            Self::Fixed(bit) => write!(f, "bit {bit} is not as the layout has it"),
            Self::Facility(code, bits) => write!(f, "facility {code} does not fit in {bits} bits"),
            Self::NoFacility => f.write_str("the layout has no facility code"),
            Self::FacilityMissing => f.write_str("the layout has a facility code and none is given"),
            Self::Number(number, bits) => write!(f, "number {number} does not fit in {bits} bits"),
        }
    }
}

impl Layout {
    /// The layout with a published name, or described as in [`LAYOUT_NOTATION`].
    ///
    /// # Errors
    /// What is wrong with the description.
    ///
    /// ```
    /// use dw_engine::credential::Layout;
    /// let layout = Layout::read("w26").unwrap();
    /// assert_eq!(layout.encode(Some(90), 324).unwrap(), "00101101000000001010001000");
    /// assert!(Layout::read("26").unwrap_err().contains("number"));
    /// ```
    pub fn read(text: &str) -> Result<Self, String> {
        let plain = text.trim().to_lowercase();
        let name = plain.replace(['_', ' ', '/'], "-");
        let described = PUBLISHED.iter().find(|layout| layout.name == name).map_or(plain.as_str(), |it| it.described);
        Self::described(described)
    }

    fn described(text: &str) -> Result<Self, String> {
        let mut clauses = text.split(',').map(str::trim);
        let length = clauses.next().unwrap_or_default();
        let bits = length.strip_suffix("bits").unwrap_or(length).trim().parse().ok();
        let bits = bits.filter(|bits| (1..=MOST_BITS).contains(bits));
        let bits = bits.ok_or_else(|| format!("\"{length}\" is neither a published layout nor a number of bits"))?;
        let (mut facility, mut number, mut fixed, mut parities) = (None, None, Vec::new(), Vec::new());
        for clause in clauses {
            let unclear = || format!("\"{clause}\" cannot be read");
            let (word, rest) = clause.split_once(' ').ok_or_else(unclear)?;
            let span = |text: &str| Span::read(text).filter(|span| span.last < bits).ok_or_else(unclear);
            match word {
                "facility" if facility.is_none() => facility = Some(span(rest)?),
                "number" if number.is_none() => number = Some(span(rest)?),
                "zeros" | "ones" => fixed.push((span(rest)?, word == "ones")),
                "even" | "odd" => {
                    let (bit, covers) = rest.split_once(" over ").ok_or_else(unclear)?;
                    let bit = span(bit)?;
                    let covers = covers.split('+').map(span).collect::<Result<Vec<_>, _>>()?;
                    let bit = if bit.len() == 1 { bit.first } else { return Err(unclear()) };
                    parities.push(Parity { bit, odd: word == "odd", covers });
                }
                _ => return Err(unclear()),
            }
        }
        let number = number.ok_or("it does not say which bits are the number")?;
        let layout = Self { bits, facility, number, fixed, parities };
        layout.check()?;
        Ok(layout)
    }

    /// Every bit is one thing, and a parity bit covers only what stands before it is worked out.
    fn check(&self) -> Result<(), String> {
        let fields = self.facility.into_iter().chain([self.number]);
        if fields.clone().any(|span| span.len() > MOST_FIELD_BITS) {
            return Err(format!("a facility code or number of more than {MOST_FIELD_BITS} bits cannot be counted"));
        }
        let mut uses = vec![0_u32; self.bits];
        let spans = fields.chain(self.fixed.iter().map(|row| row.0));
        for place in spans.flat_map(Span::bits).chain(self.parities.iter().map(|parity| parity.bit)) {
            uses[place] += 1;
        }
        if let Some(place) = uses.iter().position(|uses| *uses != 1) {
            let what = if uses[place] == 0 { "no part" } else { "two parts" };
            return Err(format!("bit {place} belongs to {what} of the layout"));
        }
        for (index, parity) in self.parities.iter().enumerate() {
            let later = &self.parities[index..];
            let early = parity.covers.iter().flat_map(|span| span.bits());
            if let Some(bit) = early.into_iter().find(|bit| later.iter().any(|later| later.bit == *bit)) {
                return Err(format!("parity bit {} covers bit {bit}, which is worked out after it", parity.bit));
            }
        }
        Ok(())
    }

    /// Bits of a frame.
    pub fn bits(&self) -> usize {
        self.bits
    }

    /// Highest facility code; `None` where the layout has none.
    pub fn most_facility(&self) -> Option<u64> {
        self.facility.map(Span::most)
    }

    /// Highest number.
    pub fn most_number(&self) -> u64 {
        self.number.most()
    }

    /// Distinct cards, as a number that may be large; without facility code and number 0 where an issuer skips them.
    ///
    /// ```
    /// use dw_engine::credential::Layout;
    /// let layout = Layout::read("w26").unwrap();
    /// assert_eq!((layout.codes(false), layout.codes(true)), (16_777_216, 16_711_425));
    /// ```
    pub fn codes(&self, skip_zero: bool) -> u128 {
        let count = |most: u64| u128::from(most) + u128::from(!skip_zero);
        self.most_facility().map_or(1, count) * count(self.most_number())
    }

    /// Refuses a facility code or number the layout has no room for.
    ///
    /// # Errors
    /// Which of the two, and why.
    pub fn fits(&self, facility: Option<u64>, number: u64) -> Result<(), Reject> {
        match (self.facility, facility) {
            (Some(span), Some(code)) if code > span.most() => return Err(Reject::Facility(code, span.len())),
            (None, Some(_)) => return Err(Reject::NoFacility),
            (Some(_), None) => return Err(Reject::FacilityMissing),
            (Some(_), Some(_)) | (None, None) => {}
        }
        if number > self.most_number() { Err(Reject::Number(number, self.number.len())) } else { Ok(()) }
    }

    /// The frame of a card, first bit sent first.
    ///
    /// # Errors
    /// When the facility code or number does not fit.
    pub fn encode(&self, facility: Option<u64>, number: u64) -> Result<String, Reject> {
        self.fits(facility, number)?;
        let mut bits = vec![false; self.bits];
        if let (Some(span), Some(code)) = (self.facility, facility) {
            span.put(code, &mut bits);
        }
        self.number.put(number, &mut bits);
        for (place, value) in self.fixed.iter().flat_map(|(span, value)| span.bits().map(move |bit| (bit, *value))) {
            bits[place] = value;
        }
        for parity in &self.parities {
            bits[parity.bit] = parity.wanted(&bits);
        }
        Ok(bits.into_iter().map(|bit| if bit { '1' } else { '0' }).collect())
    }

    /// What a frame says.
    ///
    /// # Errors
    /// When its length, a parity bit or a fixed bit is wrong.
    ///
    /// ```
    /// use dw_engine::credential::Layout;
    /// let layout = Layout::read("w26").unwrap();
    /// assert_eq!(layout.decode("00101101000000001010001000").unwrap().to_string(), "facility 90, number 324");
    /// let refused = layout.decode("00101101000000001010001001").unwrap_err();
    /// assert_eq!(refused.to_string(), "odd parity of bit 25 wrong");
    /// ```
    pub fn decode(&self, frame: &str) -> Result<Decoded, Reject> {
        let bit = |written: char| match written {
            '0' => Ok(false),
            '1' => Ok(true),
            _ => Err(Reject::NotABit),
        };
        let bits = frame.trim().chars().map(bit).collect::<Result<Vec<_>, _>>()?;
        if bits.len() != self.bits {
            return Err(Reject::Length(bits.len(), self.bits));
        }
        if let Some(parity) = self.parities.iter().find(|parity| parity.wanted(&bits) != bits[parity.bit]) {
            return Err(Reject::Parity { bit: parity.bit, odd: parity.odd });
        }
        let mut fixed = self.fixed.iter().flat_map(|(span, value)| span.bits().map(move |bit| (bit, *value)));
        if let Some((place, _)) = fixed.find(|(place, value)| bits[*place] != *value) {
            return Err(Reject::Fixed(place));
        }
        Ok(Decoded { facility: self.facility.map(|span| span.value(&bits)), number: self.number.value(&bits) })
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn every_published_layout_can_be_read_and_no_two_are_the_same() {
        let layouts: Vec<Layout> = PUBLISHED.iter().map(|it| Layout::read(it.name).unwrap()).collect();
        for (index, layout) in layouts.iter().enumerate() {
            assert!(!layouts[..index].contains(layout), "{}", PUBLISHED[index].name);
            assert!(!PUBLISHED[index].source.is_empty());
        }
        assert_eq!(Layout::read("W37-16/19"), Layout::read("w37-16-19"));
    }

    #[test]
    fn a_description_that_leaves_a_bit_open_or_uses_it_twice_is_refused() {
        let told = |text: &str| Layout::read(text).unwrap_err();
        assert!(told("37").contains("number"), "{}", told("37"));
        assert!(told("8 bits, number 0-6").contains("bit 7 belongs to no part"));
        assert!(told("8 bits, number 0-7, facility 7-7").contains("bit 7 belongs to two parts"));
        assert!(told("8 bits, number 0-8").contains("\"number 0-8\""));
        assert!(told("8 bits, number 1-7, even 0 over 0-7").contains("covers bit 0"));
        assert!(told("w27").contains("neither a published layout"));
        assert!(told("8 bits, number 1-7, even 0").contains("\"even 0\""));
        assert!(told("100 bits, number 0-99").contains("more than 53 bits"));
    }

    #[test]
    fn a_parity_bit_may_cover_an_earlier_one_and_fixed_bits_are_checked() {
        let layout =
            Layout::read("10 bits, ones 0, facility 1-3, number 4-7, even 8 over 1-7, odd 9 over 0-8").unwrap();
        let frame = layout.encode(Some(5), 9).unwrap();
        assert_eq!(frame, "1101100100");
        assert_eq!(layout.decode(&frame).unwrap(), Decoded { facility: Some(5), number: 9 });
        // The fixed bit and the parity over it wrong together.
        assert_eq!(layout.decode("0101100101"), Err(Reject::Fixed(0)));
    }

    #[test]
    fn what_does_not_fit_is_refused_at_the_limit() {
        let (w26, w37) = (Layout::read("w26").unwrap(), Layout::read("w37-35").unwrap());
        assert!(w26.encode(Some(255), 65_535).is_ok());
        assert_eq!(w26.encode(Some(256), 10), Err(Reject::Facility(256, 8)));
        assert_eq!(w26.encode(Some(255), 65_536), Err(Reject::Number(65_536, 16)));
        assert_eq!(w26.encode(None, 1), Err(Reject::FacilityMissing));
        assert_eq!(w37.encode(Some(1), 1), Err(Reject::NoFacility));
        assert_eq!(w37.most_number(), 34_359_738_367);
        assert_eq!(w26.decode("0"), Err(Reject::Length(1, 26)));
        assert_eq!(w26.decode("0010110100000000101000100x"), Err(Reject::NotABit));
    }

    proptest! {
        #[test]
        fn what_is_written_is_read_and_one_wrong_bit_is_noticed(
            which in 0..PUBLISHED.len(), facility in any::<u64>(), number in any::<u64>(), flip in any::<prop::sample::Index>(),
        ) {
            let layout = Layout::read(PUBLISHED[which].name).unwrap();
            let facility = layout.most_facility().map(|most| facility % (most + 1));
            let number = number % (layout.most_number() + 1);
            let frame = layout.encode(facility, number).unwrap();
            prop_assert_eq!(layout.decode(&frame), Ok(Decoded { facility, number }));
            let flipped = flip.index(frame.len());
            let wrong: String = frame.chars().enumerate()
                .map(|(at, bit)| if at != flipped { bit } else if bit == '0' { '1' } else { '0' })
                .collect();
            prop_assert!(layout.decode(&wrong).is_err());
        }

        #[test]
        fn no_description_panics(text in "[a-z0-9 ,+-]{0,60}") {
            let _ = Layout::read(&text);
        }
    }
}
