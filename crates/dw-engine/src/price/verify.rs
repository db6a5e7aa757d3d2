//! Judges a price on its own: every line is worked out again, every total added again as whole cents from last to first.

use dw_core::{Money, Place};
use rust_decimal::{Decimal, RoundingStrategy};

use super::Price;
use super::rules::{LineWrong, OpeningsDoNotAdd, TotalDoesNotAdd};
use crate::Cx;
use crate::survey::Survey;

/// Raises `PRC-901` for a total, `PRC-902` for a line and `PRC-903` for openings that do not add up.
pub fn verify(cx: &mut Cx<'_>, survey: &Survey, price: &Price) {
    lines(cx, survey, price);
    totals(cx, survey, price);
    openings(cx, survey, price);
}

fn lines(cx: &mut Cx<'_>, survey: &Survey, price: &Price) {
    for line in &price.materials {
        let unit = line.unit_price.unwrap_or_default().amount();
        let expected = to_cent(product(unit, exact(line.quantity)));
        compare(cx, &line.device.to_string(), line.total, expected);
    }
    let factor = survey.settings.money.out_of_hours_factor;
    for line in &price.labour {
        let paid = exact(line.hours_h.get()).saturating_add(product(exact(line.out_of_hours_h.get()), factor));
        let expected = to_cent(product(line.rate.amount(), paid));
        compare(cx, &format!("{}, {}", line.task, line.grade), line.total, expected);
    }
}

fn compare(cx: &mut Cx<'_>, line: &str, written: Money, expected: Decimal) {
    if written.amount() != expected {
        cx.sink.report(&LineWrong { line: line.to_owned(), written, expected: Money::new(expected) });
    }
}

fn totals(cx: &mut Cx<'_>, survey: &Survey, price: &Price) {
    let money = &survey.settings.money;
    let share = |amount: Money, share: Decimal| to_cent(product(amount.amount(), share));
    let materials = added(price.materials.iter().rev().map(|line| line.total));
    let labour = added(price.labour.iter().rev().map(|line| line.total));
    let net = [price.labour_markup, price.materials_markup, price.labour_cost, price.materials_cost];
    let checks = [
        ("materials at cost", price.materials_cost, materials),
        ("labour at cost", price.labour_cost, labour),
        ("mark-up on materials", price.materials_markup, Some(share(price.materials_cost, money.equipment_markup))),
        ("mark-up on labour", price.labour_markup, Some(share(price.labour_cost, money.labour_markup))),
        ("net price", price.net, added(net.into_iter())),
        ("tax", price.tax, Some(share(price.net, money.tax))),
        ("price with tax", price.total, added([price.tax, price.net].into_iter())),
    ];
    for (what, written, expected) in checks {
        if expected != Some(written.amount()) {
            let expected = Money::new(expected.unwrap_or_default());
            cx.sink.report(&TotalDoesNotAdd { what, written, expected });
        }
    }
}

/// Openings and shared give the net price, and the hours at openings are among the hours of the lines.
fn openings(cx: &mut Cx<'_>, survey: &Survey, price: &Price) {
    let shares = price.openings.iter().rev().map(|opening| opening.net).chain([price.shared]);
    let sum = added(shares);
    if sum != Some(price.net.amount()) {
        let (written, expected) = (Money::new(sum.unwrap_or_default()), price.net);
        cx.sink.report(&OpeningsDoNotAdd {
            place: Place::job(),
            what: "net of openings and shared".to_owned(),
            written,
            expected,
        });
    }
    let money = &survey.settings.money;
    for opening in &price.openings {
        let materials = product(opening.materials.amount(), Decimal::ONE.saturating_add(money.equipment_markup));
        let labour = product(opening.labour.amount(), Decimal::ONE.saturating_add(money.labour_markup));
        let expected = to_cent(materials.saturating_add(labour));
        if expected != opening.net.amount() {
            cx.sink.report(&OpeningsDoNotAdd {
                place: Place::of(&opening.mark),
                what: format!("net of {}", opening.mark),
                written: opening.net,
                expected: Money::new(expected),
            });
        }
    }
    let at_openings: Decimal = price.openings.iter().map(|opening| exact(opening.hours_h.get())).sum();
    let booked = price.labour.iter().map(|line| exact(line.hours_h.get() + line.out_of_hours_h.get()));
    let booked: Decimal = booked.sum();
    if at_openings > booked {
        cx.sink.report(&OpeningsDoNotAdd {
            place: Place::job(),
            what: "hours at openings against hours of the lines".to_owned(),
            written: Money::new(at_openings),
            expected: Money::new(booked),
        });
    }
}

/// The sum as whole cents; `None` when an amount is not whole cents.
fn added(amounts: impl Iterator<Item = Money>) -> Option<Decimal> {
    let mut cents: i128 = 0;
    for amount in amounts {
        let amount = amount.amount().normalize();
        let short = 2_u32.checked_sub(amount.scale())?;
        cents = cents.checked_add(amount.mantissa().checked_mul(10_i128.pow(short))?)?;
    }
    Decimal::try_from_i128_with_scale(cents, 2).ok()
}

fn product(a: Decimal, b: Decimal) -> Decimal {
    a.saturating_mul(b)
}

fn to_cent(amount: Decimal) -> Decimal {
    amount.round_dp_with_strategy(2, RoundingStrategy::MidpointAwayFromZero)
}

/// Metres and hours to the thousandth, as lines count them.
fn exact(quantity: f64) -> Decimal {
    Decimal::from_f64_retain(quantity).unwrap_or_default().round_dp(3)
}
