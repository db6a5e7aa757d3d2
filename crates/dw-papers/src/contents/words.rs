//! Plain words for closed lists, and the reader's units.

use dw_core::{Celsius, InputValue, METRES_PER_FOOT, Metres, Money, SquareMm};
use dw_engine::equip::Role;
use dw_job::catalogue::CableUse;
use dw_job::model::{FailMode, Handing, HeadEndKind, OpeningKind, Status, UnitSystem, WorkKind};
use rust_decimal::Decimal;

use crate::model::{Cell, Column};

/// What is printed for a value that is not known; never zero, never blank, because blank means none.
pub(super) const UNKNOWN: &str = "–";

/// Square millimetres in a square inch (exact, from the inch of 25.4 mm: NIST SP 811 appendix B).
const MM2_PER_SQUARE_INCH: f64 = 645.16;

/// Units that the reader works in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Units {
    us: bool,
}

impl Units {
    pub(super) fn of(system: UnitSystem) -> Self {
        Self { us: system == UnitSystem::Us }
    }

    /// What the title block says.
    pub(super) fn in_words(self) -> &'static str {
        if self.us {
            "feet, square inches, volts, amperes, °F; workings in SI units"
        } else {
            "metres, mm², volts, amperes, °C"
        }
    }

    pub(super) fn length_unit(self) -> &'static str {
        if self.us { "ft" } else { "m" }
    }

    /// A length as a number of the reader's units.
    pub(super) fn length_value(self, length: Metres) -> f64 {
        if self.us { length.get() / METRES_PER_FOOT } else { length.get() }
    }

    pub(super) fn length(self, length: Metres, digits: u8) -> Cell {
        Cell::number(self.length_value(length), digits)
    }

    /// A length to the tenth above, as it is cut.
    pub(super) fn length_above(self, length: Metres) -> Cell {
        // What floating point leaves above a tenth is no tenth more.
        Cell::number((self.length_value(length) * 10.0 - 1e-6).ceil() / 10.0, 1)
    }

    pub(super) fn length_column(self, title: &str, weight: f64) -> Column {
        Column::number(title, self.length_unit(), weight)
    }

    /// A length in running text: "225 m", "738 ft".
    pub(super) fn length_text(self, length: Metres) -> String {
        format!("{:.0} {}", self.length_value(length), self.length_unit())
    }

    /// Price of a unit of length from the price of a metre. A foot takes four decimals, or it would not multiply up to
    /// the amount of its line.
    pub(super) fn price_of_length(self, of_a_metre: Money) -> Cell {
        if !self.us {
            return Cell::money(of_a_metre.amount());
        }
        let of_a_foot = of_a_metre.amount().saturating_mul(Decimal::new(3048, 4));
        Cell::number(f64::try_from(of_a_foot).unwrap_or(f64::NAN), 4)
    }

    pub(super) fn area_unit(self) -> &'static str {
        if self.us { "in²" } else { "mm²" }
    }

    pub(super) fn area(self, area: SquareMm) -> Cell {
        if self.us { Cell::number(area.get() / MM2_PER_SQUARE_INCH, 2) } else { Cell::number(area.get(), 0) }
    }

    pub(super) fn temperature_unit(self) -> &'static str {
        if self.us { "°F" } else { "°C" }
    }

    pub(super) fn temperature(self, temperature: Celsius) -> Cell {
        let celsius = temperature.get();
        Cell::number(if self.us { celsius * 9.0 / 5.0 + 32.0 } else { celsius }, 0)
    }
}

/// Kind of opening, one of them and several.
pub(super) fn kind(kind: OpeningKind) -> (&'static str, &'static str) {
    match kind {
        OpeningKind::Single => ("single door", "single doors"),
        OpeningKind::Pair => ("pair of doors", "pairs of doors"),
        OpeningKind::Sliding => ("sliding door", "sliding doors"),
        OpeningKind::Revolving => ("revolving door", "revolving doors"),
        OpeningKind::Gate => ("gate", "gates"),
        OpeningKind::TurnstileLane => ("turnstile lane", "turnstile lanes"),
        OpeningKind::WideLane => ("wide lane", "wide lanes"),
        OpeningKind::VehicleBarrier => ("vehicle barrier", "vehicle barriers"),
        OpeningKind::VehicleGate => ("vehicle gate", "vehicle gates"),
        OpeningKind::LiftCar => ("lift car", "lift cars"),
        OpeningKind::Hatch => ("hatch", "hatches"),
    }
}

/// What a lock does when its power is lost, as the trade says it.
pub(super) fn fail_mode(mode: FailMode) -> &'static str {
    match mode {
        FailMode::Safe => "fail safe",
        FailMode::Secure => "fail secure",
    }
}

/// Hand of a door.
pub(super) fn hand(hand: Handing) -> String {
    hand.word().replace('-', " ")
}

/// Whether an opening has hinges, and so a hand.
pub(super) fn is_hinged(kind: OpeningKind) -> bool {
    matches!(kind, OpeningKind::Single | OpeningKind::Pair | OpeningKind::Gate)
}

/// Section of the bill as a customer reads it.
pub(super) fn section(section: &str) -> &str {
    match section {
        "Control" => "Controllers",
        "Power" => "Power supplies and batteries",
        "People" => "Cards, enrolment, visitors, screening",
        other => other,
    }
}

pub(super) fn status(status: Status) -> String {
    capital(status.word())
}

pub(super) fn work(work: WorkKind) -> String {
    capital(work.word())
}

/// What a cable is for.
pub(super) fn cable_use(purpose: CableUse) -> &'static str {
    match purpose {
        CableUse::Reader => "Reader",
        CableUse::Lock => "Lock",
        CableUse::Contact => "Contacts",
        CableUse::ExitRequest => "Request to exit",
        CableUse::Network => "Network",
        CableUse::Composite => "Whole opening",
        CableUse::Fibre => "Fibre between rooms",
    }
}

/// Part of a quantity list that a device in a role belongs to.
pub(super) fn role(role: Role) -> &'static str {
    match role {
        Role::ReaderIn | Role::ReaderOut => "Readers and units at openings",
        Role::Lock => "Locks and drives",
        Role::PowerTransfer => "Power transfers",
        Role::ExitRequest | Role::EmergencyRelease => "Requests to exit and emergency releases",
        Role::DoorContact => "Door contacts",
        Role::Sounder | Role::Splitter | Role::Other => "Other devices at openings",
    }
}

/// The part a device plays at an opening.
pub(super) fn part(role: Role) -> &'static str {
    match role {
        Role::ReaderIn => "Reader in",
        Role::ReaderOut => "Reader out",
        Role::Lock => "Lock or drive",
        Role::PowerTransfer => "Power transfer",
        Role::ExitRequest => "Request to exit",
        Role::EmergencyRelease => "Emergency release",
        Role::DoorContact => "Door contact",
        Role::Sounder => "Sounder",
        Role::Splitter => "Splitter",
        Role::Other => "Other device",
    }
}

/// Where the head-end runs.
pub(super) fn head_end(kind: HeadEndKind) -> &'static str {
    match kind {
        HeadEndKind::OwnComputer => "runs on the customer's own computer",
        HeadEndKind::Appliance => "is a dedicated appliance",
        HeadEndKind::Hosted => "is hosted by the installer",
    }
}

/// A number of things: "1 gate", "8 gates".
pub(super) fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// Items in a sentence: "a, b and c".
pub(super) fn listed(items: &[String]) -> String {
    match items {
        [] => String::new(),
        [only] => only.clone(),
        [many @ .., last] => format!("{} and {last}", many.join(", ")),
    }
}

/// Items in a row, so many by name and the rest by number: "D-1, D-2 and 14 more".
pub(super) fn shortened<T: ToString>(items: &[T], named: usize) -> String {
    let text = |items: &[T]| items.iter().map(ToString::to_string).collect::<Vec<_>>().join(", ");
    match items.get(named..) {
        Some(rest) if rest.len() > 1 => format!("{} and {} more", text(&items[..named]), rest.len()),
        _ => text(items),
    }
}

/// A number without idle zeros: "8", "4.5".
pub(super) fn plain_number(number: f64) -> String {
    InputValue::from(number).to_string()
}

/// The text with a capital at its head.
pub(super) fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Value;

    #[test]
    fn lengths_areas_and_temperatures_follow_the_reader() {
        let (metric, us) = (Units::of(UnitSystem::Metric), Units::of(UnitSystem::Us));
        let number = |cell: Cell| if let Value::Number { value, .. } = cell.value { value } else { f64::NAN };
        assert!((number(us.length(Metres::new(30.48), 1)) - 100.0).abs() < 1e-9);
        assert!((number(metric.length(Metres::new(30.48), 1)) - 30.48).abs() < 1e-9);
        assert!((number(us.area(SquareMm::new(1290.32))) - 2.0).abs() < 1e-9);
        assert!((number(us.temperature(Celsius::new(25.0))) - 77.0).abs() < 1e-9);
        assert_eq!(us.price_of_length(Money::from_cents(60)), Cell::number(0.18288, 4));
        assert_eq!(metric.price_of_length(Money::from_cents(60)), Cell::money(Decimal::new(60, 2)));
        assert_eq!(us.length_text(Metres::new(225.0)), "738 ft");
    }

    #[test]
    fn lists_read_as_a_sentence_and_long_ones_are_counted() {
        let items = ["a", "b", "c", "d"].map(str::to_owned);
        assert_eq!(listed(&items[..3]), "a, b and c");
        assert_eq!(listed(&items[..1]), "a");
        assert_eq!(shortened(&items, 2), "a, b and 2 more");
        assert_eq!(shortened(&items, 3), "a, b, c, d", "\"and 1 more\" would be no shorter");
    }
}
