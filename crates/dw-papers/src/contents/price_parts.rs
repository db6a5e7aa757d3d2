//! The price as the customer sees it: parts with their mark-up inside, net price, tax, price with tax.

use dw_core::Money;
use rust_decimal::Decimal;

use super::rows::{field, known, total};
use super::view::{View, shown};
use super::words::{self, shortened};
use crate::model::{Block, Cell, Column, Table};

/// A part of the price; no amount where the catalogue states none of its prices.
type Part = (String, Option<Money>);

/// Sections of the bill of materials and labour, each at the price to the customer; they sum to the net price.
pub(super) fn table(view: &View<'_>) -> Table {
    let price = &view.design.price;
    let mut parts = sections(view);
    parts.push(("Labour".to_owned(), Some(price.labour_cost + price.labour_markup)));
    let fields = [
        field(Column::text("Part", 5.0), |part: &Part| Cell::text(&part.0)),
        field(Column::money("Price", 1.5), |part: &Part| known(part.1, |amount| Cell::money(amount.amount()))),
    ];
    let mut table = super::rows::table("price", "Price", &fields, &parts);
    let sum = |label: &str, amount: Money, figure: &str| {
        total(2, label, [(1, shown(Cell::money(amount.amount()), "price", "", figure))])
    };
    table.rows.push(sum("Net price", price.net, "net"));
    table.rows.push(sum(&price.tax_name, price.tax, "tax"));
    table.rows.push(sum("Price with tax", price.total, "total"));
    table
}

/// What is bought at a price the catalogue does not state, and so stands in no sum.
pub(super) fn unpriced(view: &View<'_>) -> Option<Block> {
    let lines = view.design.price.materials.iter().filter(|line| line.unit_price.is_none());
    let devices: Vec<String> = lines.map(|line| line.device.to_string()).collect();
    let text = || format!("In no sum, because the catalogue states no price: {}.", shortened(&devices, 12));
    (!devices.is_empty()).then(|| Block::Text(text()))
}

/// Sections of the bill in its order, mark-up included.
fn sections(view: &View<'_>) -> Vec<Part> {
    let price = &view.design.price;
    let mut costs: Vec<(String, Money, bool)> = Vec::new();
    for line in &price.materials {
        let priced = line.unit_price.is_some();
        match costs.iter_mut().find(|cost| cost.0 == line.section) {
            Some(cost) => *cost = (cost.0.clone(), cost.1 + line.total, cost.2 || priced),
            None => costs.push((line.section.to_owned(), line.total, priced)),
        }
    }
    let sold = price.materials_cost + price.materials_markup;
    let shares = share_out(sold, &costs.iter().map(|cost| cost.1).collect::<Vec<_>>());
    costs
        .into_iter()
        .zip(shares)
        .map(|((section, _, priced), share)| (words::section(&section).to_owned(), priced.then_some(share)))
        .collect()
}

/// An amount shared out in proportion to costs, each share in whole hundredths, so that the shares sum to the amount.
///
/// **Formula** share n = round(amount · c₁..ₙ / c) − the shares before, with c₁..ₙ the costs up to n and c all costs.
/// When all costs together are nothing, the first takes the amount.
fn share_out(amount: Money, costs: &[Money]) -> Vec<Money> {
    let all: Money = costs.iter().copied().sum();
    let (mut cost, mut given) = (Money::ZERO, Money::ZERO);
    let mut shares = Vec::with_capacity(costs.len());
    for part in costs {
        cost += *part;
        let share = cost.amount().checked_div(all.amount()).unwrap_or(Decimal::ONE);
        let up_to_here = if cost == all { amount } else { amount.times(share) };
        shares.push(up_to_here - given);
        given = up_to_here;
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_are_in_proportion_and_sum_to_the_amount() {
        let cents = Money::from_cents;
        let shares = share_out(cents(10_000), &[cents(100), cents(100), cents(100)]);
        assert_eq!(shares, [cents(3_333), cents(3_334), cents(3_333)]);
        assert_eq!(share_out(cents(122), &[cents(0), cents(100)]), [cents(0), cents(122)]);
        assert_eq!(share_out(cents(5), &[cents(0), cents(0)]), [cents(5), cents(0)]);
        assert_eq!(share_out(cents(5), &[]), []);
    }
}
