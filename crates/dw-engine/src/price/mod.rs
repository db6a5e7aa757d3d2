//! price: bill of materials, labour, margin and tax, reconciled to the cent.
//!
//! Money is decimal throughout. Every line is whole cents, every total is the sum of its lines, and what no single
//! opening takes, rounding included, is shared. The page `docs/calculations/price.md` shows the formulas.

mod date;
mod enclosures;
mod grades;
mod labour;
mod materials;
mod network;
mod openings;
mod others;
mod plan;
mod rates;
pub mod rules;
mod standing;
mod takeoff;
mod verify;
mod whole_life;
mod workings;

use dw_core::Money;
use dw_job::Job;
use rust_decimal::Decimal;

pub use plan::*;
pub use verify::verify;

use crate::Cx;
use crate::capacity::CapacityPlan;
use crate::equip::Equipment;
use crate::place::Placement;
use crate::power::PowerPlan;
use crate::route::{CableSchedule, Routes};
use crate::survey::Survey;
use rules::TaxMissing;
use takeoff::Design;

/// Prices the design: what is bought, what is done, mark-up, tax, and what it costs to keep.
///
/// **Formula**: net = materials + labour + mark-up on each; tax = net x rate; total = net + tax; every line and every
/// one of these to the cent. Raises `PRC-001` to `PRC-013`.
#[expect(clippy::too_many_arguments, reason = "the price reads the result of every pass, and the signature says so")]
pub fn price(
    cx: &mut Cx<'_>,
    job: &Job,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    power: &PowerPlan,
    cables: &CableSchedule,
    routes: &Routes,
    capacity: &CapacityPlan,
) -> Price {
    let design = Design { job, survey, equipment, placement, power, cables, routes, capacity };
    let money = &survey.settings.money;
    let factor = money.out_of_hours_factor;
    let exchange = rates::Exchange::of(cx, survey, job.policy.money.exchange_rate.is_some());
    let grades = grades::Grades::of(cx, exchange);

    let pieces = takeoff::pieces(cx, design);
    let materials = materials::lines(cx, design, &pieces, exchange);
    let sheet = labour::timesheet(cx, design, &pieces, &grades);
    grades.report(cx, &sheet.grades_used());
    let labour = sheet.lines(&grades, factor);

    let materials_cost: Money = materials.iter().map(|line| line.total).sum();
    let labour_cost: Money = labour.iter().map(|line| line.total).sum();
    let materials_markup = materials_cost.times(money.equipment_markup);
    let labour_markup = labour_cost.times(money.labour_markup);
    let net = materials_cost + labour_cost + materials_markup + labour_markup;
    let tax = net.times(money.tax);
    if job.policy.money.tax_percent.is_none() {
        cx.sink.report(&TaxMissing { net, currency: money.currency.clone() });
    }

    let direct = materials::by_opening(cx, design, &pieces, exchange);
    let worked = sheet.by_opening(&grades, factor);
    let openings = openings::prices(cx, design, &sheet, &direct, &worked);
    let shared = net - openings.iter().map(|opening| opening.net).sum();
    let keeping = whole_life::keeping(cx, money, &materials, &grades, exchange, net);
    standing::report(cx, job, survey, &materials);

    let price = Price {
        currency: money.currency.clone(),
        materials,
        labour,
        materials_cost,
        labour_cost,
        materials_markup,
        labour_markup,
        net,
        tax,
        tax_name: tax_name(&money.tax_name, money.tax),
        total: net + tax,
        openings,
        shared,
        yearly: keeping.yearly,
        whole_life: keeping.whole_life,
        whole_life_years: money.whole_life_years,
    };
    workings::show(cx, survey, &price, &keeping);
    price
}

/// Name of the tax with its rate: `VAT 20 %`.
fn tax_name(name: &str, share: Decimal) -> String {
    format!("{name} {} %", share.saturating_mul(Decimal::ONE_HUNDRED).normalize())
}

#[cfg(test)]
mod credibility;
#[cfg(test)]
pub(crate) mod testing;
#[cfg(test)]
mod tests;
