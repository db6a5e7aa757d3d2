//! What the design costs to keep: yearly, and over the years counted.

use dw_core::{DeviceId, Money};
use rust_decimal::Decimal;

use super::MaterialLine;
use super::grades::Grades;
use super::labour::replacing;
use super::materials::decimal;
use super::rates::Exchange;
use crate::Cx;
use crate::survey::MoneySettings;

/// Shortest life taken for a replacement (*common practice*); a shorter one in a catalogue is a slip.
const SHORTEST_LIFE: f64 = 0.25;

/// Yearly cost and whole-life cost.
pub(super) struct Keeping {
    /// What it costs a year to keep, with the mark-up on equipment.
    pub(super) yearly: Money,
    /// Net price, yearly cost and replacements, discounted.
    pub(super) whole_life: Money,
    /// What the yearly cost comes to, discounted.
    pub(super) kept: Money,
    /// What the replacements come to, discounted.
    pub(super) replaced: Money,
}

/// Yearly and whole-life cost of what is bought.
///
/// **Formula**: yearly = sum of quantity x yearly cost x (1 + mark-up); whole life = net + sum over years t of
/// yearly / (1 + d)^t + sum over devices and their ends of life t before the last year of quantity x (price x
/// (1 + mark-up) + hours x rate x (1 + mark-up on labour)) / (1 + d)^t.
/// **Assumes** today's prices, payment at the end of each year, a part of a year paid in part.
pub(super) fn keeping(
    cx: &Cx<'_>,
    money: &MoneySettings,
    lines: &[MaterialLine],
    grades: &Grades,
    exchange: Exchange,
    net: Money,
) -> Keeping {
    let equipment = Decimal::ONE + money.equipment_markup;
    let years = money.whole_life_years.clamp(0.0, 100.0);
    let mut yearly = Money::ZERO;
    let mut replaced = Money::ZERO;
    for line in lines {
        let quantity = decimal(line.quantity, 6);
        let device = cx.device(&line.device);
        let each = device.and_then(|device| device.yearly_cost).map_or(Money::ZERO, |cost| exchange.to_job(cost));
        yearly += each.times(quantity).times(equipment);
        let life = device.and_then(|device| device.life_years).unwrap_or(f64::INFINITY);
        replaced +=
            replacement(cx, money, line, grades).times(factor_of_replacements(life, years, money.discount_share));
    }
    let kept = yearly.times(factor_of_years(years, money.discount_share));
    Keeping { yearly, kept, replaced, whole_life: net + kept + replaced }
}

/// What replacing a whole line once costs the customer.
fn replacement(cx: &Cx<'_>, money: &MoneySettings, line: &MaterialLine, grades: &Grades) -> Money {
    let work: &DeviceId = &line.device;
    let labour = replacing(cx, work, grades).times(decimal(line.quantity, 6));
    line.total.times(Decimal::ONE + money.equipment_markup) + labour.times(Decimal::ONE + money.labour_markup)
}

/// Present worth of one unit of money paid at the end of each year.
fn factor_of_years(years: f64, discount: f64) -> Decimal {
    let whole = libm::floor(years) as u32;
    let full: f64 = (1..=whole).map(|year| present_worth(f64::from(year), discount)).sum();
    let part = years - f64::from(whole);
    decimal(full + part * present_worth(years, discount), 9)
}

/// Present worth of one unit of money paid at every end of life before the years counted are over.
fn factor_of_replacements(life: f64, years: f64, discount: f64) -> Decimal {
    if !life.is_finite() || life <= 0.0 {
        return Decimal::ZERO;
    }
    let life = life.max(SHORTEST_LIFE);
    let ends = (1..=400_u32).map(|number| life * f64::from(number)).take_while(|end| *end < years - 1e-9);
    decimal(ends.map(|end| present_worth(end, discount)).sum(), 9)
}

fn present_worth(year: f64, discount: f64) -> f64 {
    1.0 / libm::pow(1.0 + discount.max(0.0), year)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_annuity_has_its_textbook_present_worth() {
        // Uniform series present worth factor (P/A, i, n) = ((1 + i)^n - 1) / (i (1 + i)^n): 8.5302 at 3 %, 10 years.
        let textbook = (libm::pow(1.03, 10.0) - 1.0) / (0.03 * libm::pow(1.03, 10.0));
        assert!((super::super::materials::number(factor_of_years(10.0, 0.03)) - textbook).abs() < 1e-8);
        assert!((textbook - 8.5302).abs() < 1e-4);
        assert_eq!(factor_of_years(2.5, 0.0), Decimal::new(25, 1));
    }

    #[test]
    fn a_device_is_not_replaced_in_the_last_year() {
        assert_eq!(factor_of_replacements(5.0, 10.0, 0.0), Decimal::ONE);
        assert_eq!(factor_of_replacements(4.0, 10.0, 0.0), Decimal::TWO);
        assert_eq!(factor_of_replacements(10.0, 10.0, 0.0), Decimal::ZERO);
        assert_eq!(factor_of_replacements(0.0, 10.0, 0.0), Decimal::ZERO);
    }
}
