//! What each opening takes of the price; the rest is shared.

use dw_core::{FigureId, Id, Input, Money, Working};
use rust_decimal::Decimal;

use super::OpeningPrice;
use super::labour::{Timesheet, hours, shown};
use super::takeoff::Design;
use crate::Cx;

/// The price of every opening surveyed: its own devices, the metres cut for it, the hours spent at it.
///
/// **Formula**: net = materials x (1 + mark-up on equipment) + labour x (1 + mark-up on labour), to the cent.
pub(super) fn prices(
    cx: &mut Cx<'_>,
    design: Design<'_>,
    sheet: &Timesheet,
    materials: &[Money],
    labour: &[Money],
) -> Vec<OpeningPrice> {
    let money = &design.survey.settings.money;
    let (equipment, work) = (Decimal::ONE + money.equipment_markup, Decimal::ONE + money.labour_markup);
    let mut prices = Vec::with_capacity(design.survey.openings.len());
    for (index, opening) in design.survey.openings.iter().enumerate() {
        let (materials, labour, spent) = (materials[index], labour[index], &sheet.openings[index]);
        let net = (Money::new(materials.amount().saturating_mul(equipment))
            + Money::new(labour.amount().saturating_mul(work)))
        .to_cents();
        let price = OpeningPrice { mark: opening.mark.clone(), hours_h: hours(spent.total()), materials, labour, net };
        cx.sink.show(Working {
            figure: FigureId::new("opening", opening.mark.text(), "hours_h"),
            title: "Hours of labour at the opening",
            value: price.hours_h.get().into(),
            unit: "h",
            formula: "devices + cable + tasks",
            inputs: vec![
                Input::new("devices", shown(spent.devices), "h"),
                Input::new("cable", shown(spent.cable), "h"),
                Input::new("tasks", shown(spent.tasks), "h"),
            ],
            source: "hours of the catalogue",
        });
        cx.sink.show(Working {
            figure: FigureId::new("opening", opening.mark.text(), "net"),
            title: "Net price of the opening, without its share of what is shared",
            value: net.into(),
            unit: "",
            formula: "materials * (1 + equipment_markup) + labour * (1 + labour_markup)",
            inputs: vec![
                Input::new("materials", materials, ""),
                Input::new("equipment_markup", money.equipment_markup.to_string(), ""),
                Input::new("labour", labour, ""),
                Input::new("labour_markup", money.labour_markup.to_string(), ""),
            ],
            source: "prices and rates of the catalogue; mark-up of the policy",
        });
        prices.push(price);
    }
    prices
}
