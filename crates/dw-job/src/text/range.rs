//! What a value under a key can be: least and most of numbers, the form of dates, times and locales.
//!
//! Limits are *common practice*: wide enough for any site, narrow enough to catch a slip of the hand. A value outside
//! counts as missing.

/// Least and highest value a key can hold, in the unit of its field.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Range {
    /// Least value.
    pub least: f64,
    /// Highest value.
    pub most: f64,
    /// Unit of both, for people to read.
    pub unit: &'static str,
}

impl Range {
    /// Whether a value lies inside; both ends belong to it.
    pub fn holds(&self, value: f64) -> bool {
        (self.least..=self.most).contains(&value)
    }
}

/// The range of a key, when it has one of its own.
pub(super) fn range_of(key: &str) -> Option<Range> {
    let row = RANGES.iter().find(|row| row.0 == key)?;
    Some(Range { least: row.1, most: row.2, unit: row.3 })
}

/// Keys with least, most and unit. A key means the same in every record that has it.
const RANGES: [(&str, f64, f64, &str); 69] = [
    // Shares of a whole.
    ("soiled_percent", 0.0, 100.0, "%"),
    ("gloves_percent", 0.0, 100.0, "%"),
    ("chemicals_percent", 0.0, 100.0, "%"),
    ("over_sixty_percent", 0.0, 100.0, "%"),
    ("filled_percent", 0.0, 100.0, "%"),
    ("fill_percent", 1.0, 100.0, "%"),
    ("supply_load_percent", 10.0, 100.0, "%"),
    ("battery_end_of_life_percent", 10.0, 100.0, "%"),
    ("efficiency_percent", 1.0, 100.0, "%"),
    ("spare_percent", 0.0, 90.0, "%"),
    ("false_match_rate", 0.0, 1.0, ""),
    ("max_false_match", 0.0, 1.0, ""),
    // What is put on top.
    ("growth_percent", 0.0, 1000.0, "%"),
    ("length_growth_percent", 0.0, 100.0, "%"),
    ("battery_margin_percent", 0.0, 1000.0, "%"),
    ("waste_percent", 0.0, 100.0, "%"),
    // Money.
    ("tax_percent", 0.0, 100.0, "%"),
    ("discount_percent", 0.0, 100.0, "%"),
    ("equipment_markup_percent", 0.0, 1000.0, "%"),
    ("labour_markup_percent", 0.0, 1000.0, "%"),
    ("exchange_rate", 1e-6, 1e6, ""),
    ("out_of_hours_factor", 1.0, 10.0, ""),
    ("whole_life_years", 1.0, 50.0, "years"),
    ("life_years", 0.1, 100.0, "years"),
    ("validity_days", 0.0, 3650.0, "days"),
    // Time on battery and off the network.
    ("standby", 0.0, 720.0, "h"),
    ("alarm", 0.0, 1440.0, "min"),
    ("recharge", 1.0, 720.0, "h"),
    ("offline_days", 0.0, 3650.0, "days"),
    // People.
    ("passages_per_day", 0.0, 1000.0, ""),
    ("level", 0.0, 4.0, ""),
    ("factors_by_level", 0.0, 4.0, ""),
    ("factors_in", 0.0, 4.0, ""),
    ("factors_out", 0.0, 4.0, ""),
    // Doors, and leads at them.
    ("clear_width", 0.3, 20.0, "m"),
    ("leaf_thickness", 0.005, 0.5, "m"),
    ("stile_width", 0.0, 1.0, "m"),
    ("frame_section", 0.0, 1.0, "m"),
    ("header_depth", 0.0, 2.0, "m"),
    ("backset", 0.0, 1.0, "m"),
    ("fire_rating", 0.0, 480.0, "min"),
    ("slack", 0.0, 100.0, "m"),
    ("drop_opening", 0.0, 100.0, "m"),
    ("drop_room", 0.0, 100.0, "m"),
    // Electricity and warmth.
    ("lock_voltage", 5.0, 60.0, "V"),
    ("conductor_temperature", -40.0, 120.0, "°C"),
    ("temperature_min", -90.0, 120.0, "°C"),
    ("temperature_max", -90.0, 120.0, "°C"),
    ("peukert", 1.0, 2.0, ""),
    // Network and radio.
    ("first_vlan", 1.0, 4094.0, ""),
    ("uplink_mbit_per_s", 0.01, 1e6, "Mbit/s"),
    ("poll_target_ms", 10.0, 10_000.0, "ms"),
    ("backlog_min", 0.1, 100_000.0, "min"),
    ("max_eirp_dbm", 0.0, 80.0, "dBm"),
    ("fade_margin_db", 0.0, 60.0, "dB"),
    ("rain_mm_per_h", 0.0, 300.0, "mm/h"),
    ("frequency_mhz", 100.0, 100_000.0, "MHz"),
    ("transmit_dbm", 0.0, 60.0, "dBm"),
    ("antenna_dbi", 0.0, 60.0, "dBi"),
    ("antenna_loss_db", 0.0, 30.0, "dB"),
    ("channel_mhz", 20.0, 160.0, "MHz"),
    ("unit_load", 0.01, 32.0, ""),
    ("highest_bit_per_s", 1200.0, 10_000_000.0, "bit/s"),
    ("rise_ns", 1.0, 10_000.0, "ns"),
    ("pulse_us", 0.1, 10_000.0, "us"),
    ("interval_us", 1.0, 1_000_000.0, "us"),
    ("buses", 1.0, 64.0, ""),
    // Codes of protection (IEC 60529, IEC 62262).
    ("ip", 0.0, 69.0, ""),
    ("ik", 0.0, 11.0, ""),
];

/// What a text under a key must be, where this one is not: a date, a time of the day, a locale.
pub(super) fn wrong_form(key: &str, text: &str) -> Option<&'static str> {
    let text = text.trim();
    let (right, expected) = match key {
        "date" | "due" => (is_date(text), "a date of the calendar, year first, such as 2026-11-25"),
        "from" | "until" | "shift_start" | "shift_end" => (is_time(text), "a time from 00:00 to 24:00, such as 06:50"),
        "locale" => (is_locale(text), "language and country, such as en-GB"),
        _ => return None,
    };
    (!right).then_some(expected)
}

/// The number that so many digits in a row give; `None` for anything else.
fn digits(text: &str, n_digits: usize) -> Option<u32> {
    let lawful = text.len() == n_digits && text.bytes().all(|byte| byte.is_ascii_digit());
    text.parse().ok().filter(|_| lawful)
}

/// Calendar date `2026-11-25` (ISO 8601), leap years of the Gregorian calendar.
fn is_date(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let [year, month, day] = parts.as_slice() else { return false };
    let (Some(year), Some(month), Some(day)) = (digits(year, 4), digits(month, 2), digits(day, 2)) else {
        return false;
    };
    let is_leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let last = match month {
        2 if is_leap => 29,
        2 => 28,
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=last).contains(&day)
}

/// Time `06:50` or `06:50:00`, `24:00` for the end of the day (ISO 8601:2004). Spreadsheets drop the first nought.
fn is_time(text: &str) -> bool {
    let parts: Vec<&str> = text.split(':').collect();
    let [hour, rest @ ..] = parts.as_slice() else { return false };
    let Some(hour) = digits(hour, 2).or_else(|| digits(hour, 1)) else { return false };
    let rest: Option<Vec<u32>> = rest.iter().map(|part| digits(part, 2).filter(|part| *part < 60)).collect();
    let Some(rest) = rest.filter(|rest| (1..=2).contains(&rest.len())) else { return false };
    hour < 24 || (hour == 24 && rest.iter().all(|part| *part == 0))
}

/// Language and country `en-GB`, with a script between where the language needs one: `sr-Latn-RS` (BCP 47).
fn is_locale(text: &str) -> bool {
    let parts: Vec<&str> = text.split('-').collect();
    let (language, script, country) = match parts.as_slice() {
        [language, country] => (language, "Latn", country),
        [language, script, country] => (language, *script, country),
        _ => return false,
    };
    let lower = |text: &str| text.bytes().all(|byte| byte.is_ascii_lowercase());
    (2..=3).contains(&language.len())
        && lower(language)
        && script.len() == 4
        && script.starts_with(|letter: char| letter.is_ascii_uppercase())
        && lower(&script[1..])
        && country.len() == 2
        && country.bytes().all(|byte| byte.is_ascii_uppercase())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_stands_twice_and_every_range_holds_its_ends() {
        for (idx, row) in RANGES.iter().enumerate() {
            assert!(RANGES[idx + 1..].iter().all(|other| other.0 != row.0), "{}", row.0);
            assert!(row.1 < row.2, "{}", row.0);
            let range = range_of(row.0).unwrap();
            assert!(range.holds(row.1) && range.holds(row.2) && !range.holds(row.2 + 1.0), "{}", row.0);
        }
    }

    #[test]
    fn dates_are_days_of_the_calendar() {
        for date in ["2026-11-25", "2024-02-29", "2000-02-29", "2026-12-31", " 2026-01-01 "] {
            assert_eq!(wrong_form("date", date), None, "{date}");
        }
        for date in
            ["12/10/2026", "2026-02-30", "2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "soon", "+026-1-1", ""]
        {
            assert!(wrong_form("due", date).is_some(), "{date}");
        }
    }

    #[test]
    fn times_are_times_of_the_day() {
        for time in ["06:00", "6:00", "23:59", "24:00", "06:00:30"] {
            assert_eq!(wrong_form("from", time), None, "{time}");
        }
        for time in ["25:99", "24:01", "06:60", "6", "06-00", "06:00:00:00", "noon"] {
            assert!(wrong_form("until", time).is_some(), "{time}");
        }
    }

    #[test]
    fn locales_are_language_and_country() {
        for locale in ["en-GB", "de-DE", "sr-Latn-RS", "fil-PH"] {
            assert_eq!(wrong_form("locale", locale), None, "{locale}");
        }
        for locale in ["en", "en_GB", "English", "EN-gb", "xx-YYYY", "sr-\u{e9}\u{e9}-RS"] {
            assert!(wrong_form("locale", locale).is_some(), "{locale}");
        }
        assert_eq!(wrong_form("name", "anything"), None);
    }
}
