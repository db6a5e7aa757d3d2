//! How the totals came about.

use dw_core::{FigureId, Input, InputValue, Working};

use super::Price;
use super::whole_life::Keeping;
use crate::Cx;
use crate::survey::Survey;

/// Shows every total of the price.
pub(super) fn show(cx: &mut Cx<'_>, survey: &Survey, price: &Price, keeping: &Keeping) {
    let money = &survey.settings.money;
    let lines = |count: usize| Input::new("lines", count as f64, "");
    let of_openings: dw_core::Money = price.openings.iter().map(|opening| opening.net).sum();
    let share = |name: &'static str, share: rust_decimal::Decimal| Input::new(name, share.to_string(), "");
    let mut total = |name, title, value: dw_core::Money, formula, inputs| {
        cx.sink.show(Working {
            figure: FigureId::new("price", "", name),
            title,
            value: InputValue::from(format!("{value} {}", price.currency.code())),
            unit: "",
            formula,
            inputs,
            source: "prices, rates and hours of the catalogue; mark-up, tax and interest of the policy",
        });
    };
    total(
        "materials_cost",
        "Materials at cost",
        price.materials_cost,
        "sum of lines",
        vec![lines(price.materials.len())],
    );
    total("labour_cost", "Labour at cost", price.labour_cost, "sum of lines", vec![lines(price.labour.len())]);
    total(
        "materials_markup",
        "Mark-up on materials",
        price.materials_markup,
        "materials_cost * equipment_markup",
        vec![Input::new("materials_cost", price.materials_cost, ""), share("equipment_markup", money.equipment_markup)],
    );
    total(
        "labour_markup",
        "Mark-up on labour",
        price.labour_markup,
        "labour_cost * labour_markup",
        vec![Input::new("labour_cost", price.labour_cost, ""), share("labour_markup", money.labour_markup)],
    );
    total(
        "net",
        "Net price",
        price.net,
        "materials_cost + materials_markup + labour_cost + labour_markup",
        vec![
            Input::new("materials_cost", price.materials_cost, ""),
            Input::new("materials_markup", price.materials_markup, ""),
            Input::new("labour_cost", price.labour_cost, ""),
            Input::new("labour_markup", price.labour_markup, ""),
        ],
    );
    total("tax", "Tax", price.tax, "net * rate", vec![Input::new("net", price.net, ""), share("rate", money.tax)]);
    total(
        "total",
        "Price with tax",
        price.total,
        "net + tax",
        vec![Input::new("net", price.net, ""), Input::new("tax", price.tax, "")],
    );
    total(
        "shared",
        "Net price of what no single opening takes",
        price.shared,
        "net - openings",
        vec![Input::new("net", price.net, ""), Input::new("openings", of_openings, "")],
    );
    total(
        "yearly",
        "Cost of a year to keep",
        price.yearly,
        "sum of quantity * yearly_cost * (1 + equipment_markup)",
        vec![lines(price.materials.len()), share("equipment_markup", money.equipment_markup)],
    );
    total(
        "whole_life",
        "Net price, keeping and replacing over the years counted, discounted",
        price.whole_life,
        "net + sum of yearly / (1 + discount)^t + sum of replacements / (1 + discount)^t",
        vec![
            Input::new("net", price.net, ""),
            Input::new("kept", keeping.kept, ""),
            Input::new("replaced", keeping.replaced, ""),
            Input::new("years", price.whole_life_years, ""),
            Input::new("discount", money.discount_share, ""),
        ],
    );
}
