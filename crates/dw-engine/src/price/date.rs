//! Days between two dates of a job.

/// Days from 1 March of the year 0 to a date written `2026-11-25`; `None` for anything that is no date.
///
/// **Source**: proleptic Gregorian calendar (ISO 8601); years are counted from March, so that the leap day comes last.
pub(super) fn day_number(date: &str) -> Option<i64> {
    let mut parts = date.trim().splitn(3, '-').map(|part| part.parse::<i64>().ok());
    let (year, month, day) = (parts.next()??, parts.next()??, parts.next()??);
    let leap = year % 4 == 0 && (year % 100 != 0 || year % 400 == 0);
    let days = match month {
        2 => 28 + i64::from(leap),
        4 | 6 | 9 | 11 => 30,
        _ => 31,
    };
    if !(0..=9999).contains(&year) || !(1..=12).contains(&month) || !(1..=days).contains(&day) {
        return None;
    }
    let (year, month) = if month < 3 { (year - 1, month + 9) } else { (year, month - 3) };
    let before_month = (153 * month + 2) / 5;
    Some(365 * year + year.div_euclid(4) - year.div_euclid(100) + year.div_euclid(400) + before_month + day - 1)
}

#[cfg(test)]
mod tests {
    use super::day_number;

    fn between(from: &str, until: &str) -> i64 {
        day_number(until).unwrap() - day_number(from).unwrap()
    }

    #[test]
    fn days_are_counted_over_months_years_and_leap_days() {
        assert_eq!(between("2026-10-12", "2026-11-02"), 21);
        assert_eq!(between("2027-12-31", "2028-03-01"), 61);
        assert_eq!(between("2099-12-31", "2100-03-01"), 60);
        // 1970-01-01 to 2000-01-01 has 10,957 days (POSIX: 946,684,800 s / 86,400 s).
        assert_eq!(between("1970-01-01", "2000-01-01"), 10_957);
    }

    #[test]
    fn what_is_no_date_has_no_number() {
        for text in ["", "soon", "2026-13-01", "2026-02-29", "2026-11", "2026-11-25T00", "99999-01-01"] {
            assert_eq!(day_number(text), None, "{text}");
        }
    }
}
