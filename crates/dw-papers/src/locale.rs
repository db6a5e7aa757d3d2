//! How a reader expects numbers, dates, money and paper, from a language tag such as "en-GB".
//!
//! Digits, separators and grouping come from the Unicode CLDR data inside `icu_decimal`. The few other facts (order of a
//! date, side of the currency code, paper size, measurement system) are small tables below, because the libraries that
//! hold them are dear to compile or not yet stable. The fixed words on the papers are English whatever the locale.

use crate::Error;
use crate::model::{Date, Value};
use fixed_decimal::{Decimal as Digits, SignDisplay};
use icu_decimal::DecimalFormatter;
use rust_decimal::{Decimal, RoundingStrategy};
use std::str::FromStr;

/// What is printed for a number that is not finite: the figure could not be worked out.
const UNKNOWN: &str = "unknown";

/// Most digits after the decimal separator that a paper prints; more is never meant.
const MAX_DIGITS: u8 = 12;

/// A language and region, as in BCP 47.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Locale(icu_locale_core::Locale);

/// Size of a sheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PaperSize {
    /// 210 mm by 297 mm (ISO 216).
    A4,
    /// 8.5 in by 11 in (ANSI/ASME Y14.1 size A).
    Letter,
}

/// System of units that people of a region work in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measurement {
    /// Metres, square millimetres, degrees Celsius.
    Metric,
    /// Feet, American wire gauge, degrees Fahrenheit.
    UsCustomary,
}

/// Regions that print on Letter. Source: Unicode CLDR, supplementalData.xml, `measurementData/paperSize`.
const LETTER_REGIONS: [&str; 14] = ["BZ", "CA", "CL", "CO", "CR", "GT", "MX", "NI", "PA", "PH", "PR", "SV", "US", "VE"];

/// Regions that measure in US customary units. Source: Unicode CLDR, supplementalData.xml,
/// `measurementData/measurementSystem`; Puerto Rico follows US trade practice (*common practice*).
const US_CUSTOMARY_REGIONS: [&str; 3] = ["LR", "PR", "US"];

/// Languages that write the currency before the amount. Source: Unicode CLDR currency patterns, *from memory*.
const CURRENCY_FIRST: [&str; 14] = ["cy", "en", "ga", "hi", "id", "ja", "ko", "ms", "mt", "nl", "ta", "th", "tr", "zh"];

/// Language and region pairs that differ from their language in this. Source: as above, *from memory*.
const CURRENCY_FIRST_PAIRS: [(&str, &str); 5] = [("de", "AT"), ("de", "CH"), ("de", "LI"), ("it", "CH"), ("pt", "BR")];

/// Currencies in use whose minor unit is not a hundredth. Source: Unicode CLDR, supplementalData.xml,
/// `currencyData/fractions`.
const CURRENCY_DIGITS: [(&str, u8); 28] = [
    ("BHD", 3),
    ("BIF", 0),
    ("CLF", 4),
    ("CLP", 0),
    ("DJF", 0),
    ("GNF", 0),
    ("IQD", 0),
    ("IRR", 0),
    ("ISK", 0),
    ("JOD", 3),
    ("JPY", 0),
    ("KMF", 0),
    ("KRW", 0),
    ("KWD", 3),
    ("LAK", 0),
    ("LBP", 0),
    ("LYD", 3),
    ("MGA", 0),
    ("OMR", 3),
    ("PYG", 0),
    ("RWF", 0),
    ("TND", 3),
    ("UGX", 0),
    ("VND", 0),
    ("VUV", 0),
    ("XAF", 0),
    ("XOF", 0),
    ("XPF", 0),
];

/// British English, which stands in where a job names no locale that can be read.
impl Default for Locale {
    fn default() -> Self {
        Self(icu_locale_core::locale!("en-GB"))
    }
}

impl Locale {
    /// The locale of a BCP 47 tag.
    ///
    /// ```
    /// use dw_papers::locale::{Locale, PaperSize};
    /// assert_eq!(Locale::new("en-US").unwrap().paper_size(), PaperSize::Letter);
    /// assert!(Locale::new("not a tag").is_err());
    /// ```
    pub fn new(tag: &str) -> Result<Self, Error> {
        icu_locale_core::Locale::try_from_str(tag).map(Self).map_err(|_| Error::Locale(tag.to_owned()))
    }

    /// The tag in its usual spelling, such as "en-GB".
    pub fn tag(&self) -> String {
        self.0.to_string()
    }

    /// The sheet that printers of the region hold; A4 where the tag names no region.
    pub fn paper_size(&self) -> PaperSize {
        if LETTER_REGIONS.contains(&self.region()) { PaperSize::Letter } else { PaperSize::A4 }
    }

    /// The units that people of the region work in; metric where the tag names no region.
    pub fn measurement(&self) -> Measurement {
        if US_CUSTOMARY_REGIONS.contains(&self.region()) { Measurement::UsCustomary } else { Measurement::Metric }
    }

    /// The date as read in the locale. English takes the month in letters, because 03/04 means two different days on the
    /// two sides of an ocean. Source of the orders: Unicode CLDR date patterns, *from memory*; a language that is not
    /// listed gets ISO 8601.
    pub fn date(&self, date: Date) -> String {
        let (year, month, day) = (date.year(), date.month(), date.day());
        match self.language() {
            "en" if matches!(self.region(), "US" | "PR") => format!("{} {day}, {year}", month_name(month)),
            "en" => format!("{day} {} {year}", month_name(month)),
            "bg" | "cs" | "da" | "de" | "et" | "fi" | "hr" | "is" | "lv" | "nb" | "nn" | "no" | "pl" | "ro" | "ru"
            | "sk" | "sl" | "tr" | "uk" => format!("{day:02}.{month:02}.{year}"),
            "ca" | "el" | "es" | "fr" | "ga" | "gl" | "id" | "it" | "pt" | "vi" => {
                format!("{day:02}/{month:02}/{year}")
            }
            "nl" => format!("{day:02}-{month:02}-{year}"),
            "ja" | "zh" => format!("{year}/{month:02}/{day:02}"),
            _ => date.to_string(),
        }
    }

    fn language(&self) -> &str {
        self.0.id.language.as_str()
    }

    fn region(&self) -> &str {
        self.0.id.region.as_ref().map_or("", |region| region.as_str())
    }

    fn currency_first(&self) -> bool {
        let pair = (self.language(), self.region());
        let american_spanish = pair.0 == "es" && !matches!(pair.1, "" | "ES" | "PY" | "UY");
        CURRENCY_FIRST.contains(&pair.0) || CURRENCY_FIRST_PAIRS.contains(&pair) || american_spanish
    }
}

impl PaperSize {
    /// Width and height of the upright sheet in millimetres.
    pub fn millimetres(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (215.9, 279.4),
        }
    }
}

/// Decimal places of a currency, such as 2 for "EUR" and 0 for "JPY".
pub fn currency_digits(currency: &str) -> u8 {
    CURRENCY_DIGITS.iter().find(|(code, _)| *code == currency).map_or(2, |(_, digits)| *digits)
}

/// An amount rounded to the minor unit of its currency, in plain digits with a decimal point.
pub(crate) fn plain_amount(amount: Decimal, currency: &str) -> String {
    let digits = currency_digits(currency);
    let rounded = amount.round_dp_with_strategy(u32::from(digits), RoundingStrategy::MidpointAwayFromZero);
    format!("{rounded:.*}", usize::from(digits))
}

/// A finite number with its digits and a decimal point.
pub(crate) fn plain_number(value: f64, digits: u8) -> Option<String> {
    let text = format!("{value:.*}", usize::from(digits.min(MAX_DIGITS)));
    let negative_zero = text.starts_with('-') && !text.contains(|c: char| ('1'..='9').contains(&c));
    value.is_finite().then(|| if negative_zero { text.replacen('-', "", 1) } else { text })
}

/// Prints the values of one binder in its locale.
pub(crate) struct Printer<'a> {
    locale: &'a Locale,
    currency: &'a str,
    decimal: DecimalFormatter,
}

impl<'a> Printer<'a> {
    pub(crate) fn new(locale: &'a Locale, currency: &'a str) -> Result<Self, Error> {
        let decimal = DecimalFormatter::try_new(
            locale.0.clone().into(),
            icu_decimal::options::DecimalFormatterOptions::default(),
        )
        .map_err(|_| Error::Locale(locale.tag()))?;
        Ok(Self { locale, currency, decimal })
    }

    /// The value as printed where the unit or currency stands beside it already.
    pub(crate) fn bare(&self, value: &Value) -> String {
        match value {
            Value::Empty => String::new(),
            Value::Text(text) => text.clone(),
            Value::Number { value, digits } => self.grouped(plain_number(*value, *digits)),
            Value::Money(amount) => self.grouped(Some(plain_amount(*amount, self.currency))),
            Value::Date(date) => self.locale.date(*date),
        }
    }

    /// The value as printed on its own: a number with its unit, money with its currency code.
    pub(crate) fn full(&self, value: &Value, unit: Option<&str>) -> String {
        let bare = self.bare(value);
        match (value, unit) {
            (Value::Money(_), _) if self.locale.currency_first() => format!("{}\u{a0}{bare}", self.currency),
            (Value::Money(_), _) => format!("{bare}\u{a0}{}", self.currency),
            (Value::Number { value, .. }, Some(unit)) if value.is_finite() => format!("{bare}\u{a0}{unit}"),
            _ => bare,
        }
    }

    fn grouped(&self, plain: Option<String>) -> String {
        let Some(plain) = plain else { return UNKNOWN.to_owned() };
        match Digits::from_str(&plain) {
            Ok(digits) => self.decimal.format(&digits.with_sign_display(SignDisplay::Negative)).to_string(),
            Err(_) => plain,
        }
    }
}

fn month_name(month: u8) -> &'static str {
    const NAMES: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    NAMES.get(usize::from(month).saturating_sub(1)).copied().unwrap_or("")
}

#[cfg(test)]
mod tests {
    use super::*;

    fn printed(tag: &str, currency: &str, value: &Value, unit: Option<&str>) -> String {
        let locale = Locale::new(tag).unwrap();
        Printer::new(&locale, currency).unwrap().full(value, unit)
    }

    #[test]
    fn money_follows_the_separators_and_the_side_of_the_locale() {
        let amount = Value::Money(Decimal::new(1_234_567_895, 3));
        assert_eq!(printed("en-GB", "EUR", &amount, None), "EUR\u{a0}1,234,567.90");
        assert_eq!(printed("en-US", "USD", &amount, None), "USD\u{a0}1,234,567.90");
        assert_eq!(printed("de-DE", "EUR", &amount, None), "1.234.567,90\u{a0}EUR");
        assert_eq!(printed("de-CH", "CHF", &amount, None), "CHF\u{a0}1'234'567.90");
        assert_eq!(printed("fr-FR", "EUR", &amount, None), "1\u{202f}234\u{202f}567,90\u{a0}EUR");
        assert_eq!(printed("en-IN", "INR", &amount, None), "INR\u{a0}12,34,567.90");
        assert_eq!(printed("ja-JP", "JPY", &amount, None), "JPY\u{a0}1,234,568");
        assert_eq!(printed("en-GB", "KWD", &amount, None), "KWD\u{a0}1,234,567.895");
    }

    #[test]
    fn numbers_keep_their_digits_and_never_show_minus_zero() {
        let number = |value, digits| Value::Number { value, digits };
        assert_eq!(printed("en-GB", "EUR", &number(12_345.678, 1), Some("m")), "12,345.7\u{a0}m");
        assert_eq!(printed("de-DE", "EUR", &number(-0.04, 1), Some("V")), "0,0\u{a0}V");
        assert_eq!(printed("de-DE", "EUR", &number(-0.06, 1), Some("V")), "-0,1\u{a0}V");
        assert_eq!(printed("en-GB", "EUR", &number(f64::NAN, 2), Some("V")), "unknown");
        assert_eq!(printed("en-GB", "EUR", &number(f64::NEG_INFINITY, 2), None), "unknown");
        assert_eq!(printed("en-GB", "EUR", &number(f64::MAX, 0), None).len(), 309 + 102);
    }

    #[test]
    fn dates_follow_the_order_of_the_locale() {
        let date = Value::Date(Date::new(2026, 4, 3).unwrap());
        assert_eq!(printed("en-GB", "EUR", &date, None), "3 Apr 2026");
        assert_eq!(printed("en-US", "USD", &date, None), "Apr 3, 2026");
        assert_eq!(printed("de-DE", "EUR", &date, None), "03.04.2026");
        assert_eq!(printed("sv-SE", "SEK", &date, None), "2026-04-03");
    }

    #[test]
    fn paper_and_units_follow_the_region() {
        let facts = |tag: &str| Locale::new(tag).map(|locale| (locale.paper_size(), locale.measurement())).unwrap();
        assert_eq!(facts("en-US"), (PaperSize::Letter, Measurement::UsCustomary));
        assert_eq!(facts("fr-CA"), (PaperSize::Letter, Measurement::Metric));
        assert_eq!(facts("en-GB"), (PaperSize::A4, Measurement::Metric));
        assert_eq!(facts("de"), (PaperSize::A4, Measurement::Metric));
    }
}
