//! The title block, and the dates of the papers.

use dw_core::Severity;

use super::view::View;
use super::words::count;
use crate::model::{Date, TitleBlock};

/// What the strip on every page says.
pub(super) fn title_block(view: &View<'_>) -> TitleBlock {
    let heading = &view.design.heading;
    let place = [&heading.site, &heading.address];
    let site: Vec<&str> = place.into_iter().filter(|text| !text.is_empty()).map(String::as_str).collect();
    TitleBlock {
        customer: heading.customer.clone(),
        site: site.join(", "),
        job_number: heading.number.clone(),
        job_title: if heading.title.is_empty() { "Access control".to_owned() } else { heading.title.clone() },
        revision: heading.revision.clone(),
        issue_date: issue_date(view),
        prepared_by: heading.prepared_by.clone(),
        checked_by: heading.checked_by.clone(),
        status: status(view),
        units: view.units.in_words().to_owned(),
        currency: view.design.price.currency.code().to_owned(),
    }
}

/// Number and revision of the job: the identity of its files.
pub(super) fn document_id(view: &View<'_>) -> String {
    let heading = &view.design.heading;
    format!("{}/{}", heading.number, heading.revision)
}

/// Date of the papers; none where the job gives none that the calendar has.
pub(super) fn issue_date(view: &View<'_>) -> Option<Date> {
    read_date(&view.design.heading.date)
}

/// Last day the proposal holds.
pub(super) fn valid_until(view: &View<'_>) -> Option<Date> {
    after(issue_date(view)?, view.design.heading.validity_days?)
}

fn status(view: &View<'_>) -> String {
    match view.design.count(Severity::Stop) {
        0 => "For approval".to_owned(),
        stops => format!("Not to be built: {} open", count(stops, "stop", "stops")),
    }
}

/// Reads a date written as in ISO 8601.
fn read_date(text: &str) -> Option<Date> {
    let mut parts = text.trim().split('-');
    let date = Date::new(parts.next()?.parse().ok()?, parts.next()?.parse().ok()?, parts.next()?.parse().ok()?);
    date.filter(|_| parts.next().is_none())
}

/// The day so many days later, as long as the calendar of the papers reaches.
fn after(start: Date, days: u32) -> Option<Date> {
    let next = |date: Date| {
        let (year, month) = (date.year(), date.month());
        let tomorrow = Date::new(year, month, date.day() + 1);
        tomorrow.or_else(|| Date::new(year, month + 1, 1)).or_else(|| Date::new(year + 1, 1, 1))
    };
    (0..days).try_fold(start, |date, _| next(date))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_are_counted_over_months_leap_days_and_years() {
        let day = |text: &str| read_date(text).unwrap();
        assert_eq!(after(day("2026-10-12"), 60), Some(day("2026-12-11")));
        assert_eq!(after(day("2028-02-28"), 2), Some(day("2028-03-01")));
        assert_eq!(after(day("2026-12-31"), 1), Some(day("2027-01-01")));
        assert_eq!(after(day("2026-12-31"), 0), Some(day("2026-12-31")));
        assert_eq!(after(day("9999-12-31"), 1), None);
    }

    #[test]
    fn only_a_day_of_the_calendar_is_a_date() {
        assert_eq!(read_date("2026-02-30"), None);
        assert_eq!(read_date("12 October"), None);
        assert_eq!(read_date("2026-10-12-1"), None);
    }
}
