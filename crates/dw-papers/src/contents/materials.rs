//! Bill of materials and labour: for the firm, at cost, down to the price the customer sees.

use dw_core::{Hours, Metres, Money};
use dw_engine::price::{LabourLine, MaterialLine, OpeningPrice, Price};

use super::price_parts;
use super::rows::{Field, field, grouped, known, table, total};
use super::view::{View, shown};
use super::words::UNKNOWN;
use crate::model::{Block, Cell, Column, Orientation, Paper, Table};

/// The bill of materials.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let price = &view.design.price;
    let mut blocks = vec![
        Block::Text(
            "Prices are at cost, before mark-up: a paper for the firm. \"Hold\" is how much of a line must not be ordered yet, \
             because its opening is not approved or a question about it is open."
                .to_owned(),
        ),
        Block::Table(materials(view)),
        Block::Table(labour(price)),
        Block::Table(from_cost_to_price(price)),
        Block::Table(openings(view)),
    ];
    if let Some(unpriced) = price_parts::unpriced(view) {
        blocks.insert(2, unpriced);
    }
    Paper {
        id: "bill-of-materials".to_owned(),
        title: "Bill of materials and labour".to_owned(),
        orientation: Orientation::Portrait,
        blocks,
    }
}

/// Materials, labour, and the price of each opening.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    let price = &view.design.price;
    vec![lines(view), labour(price), from_cost_to_price(price), openings(view)]
}

fn money(amount: Money) -> Cell {
    Cell::money(amount.amount())
}

/// Lines by section, each section with its sum, for people.
fn materials(view: &View<'_>) -> Table {
    let mut bill = lines(view);
    let columns = bill.columns.len();
    let all = bill.rows.pop();
    let mut rows = std::mem::take(&mut bill.rows).into_iter();
    for (section, lines) in sections(&view.design.price) {
        bill.rows.extend(rows.by_ref().take(lines.len() + 1));
        let sum: Money = lines.iter().map(|line| line.total).sum();
        let priced = lines.iter().any(|line| line.unit_price.is_some());
        let sum = known(priced.then_some(sum), money);
        bill.rows.push(total(columns, "", [(1, Cell::text(format!("{section} in all"))), (5, sum)]));
    }
    bill.rows.extend(all);
    bill
}

/// Lines by section with the sum of them all.
fn lines(view: &View<'_>) -> Table {
    let price = &view.design.price;
    let fields = material_fields(view);
    let mut bill = grouped("bill-of-materials", "Materials", &fields, &sections(price));
    let all = shown(money(price.materials_cost), "price", "", "materials_cost");
    bill.rows.push(total(fields.len(), "", [(1, Cell::text("Materials at cost")), (5, all)]));
    bill
}

/// The lines of each section, in the order of the bill.
fn sections(price: &Price) -> Vec<(String, Vec<&MaterialLine>)> {
    let chunks = price.materials.chunk_by(|a, b| a.section == b.section);
    let section = |lines: &[MaterialLine]| lines.first().map_or("", |line| line.section).to_owned();
    chunks.map(|lines| (section(lines), lines.iter().collect())).collect()
}

fn material_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, &'a MaterialLine>> {
    let quantity = move |line: &MaterialLine, quantity: f64| {
        if line.unit == "m" {
            view.units.length(Metres::try_new(quantity).unwrap_or_default(), 0)
        } else {
            Cell::number(quantity, 0)
        }
    };
    vec![
        field(Column::text("Model", 1.6), |line: &&MaterialLine| Cell::text(line.device.to_string())),
        field(Column::text("What it is", 5.0), |line: &&MaterialLine| Cell::text(&line.description)),
        field(Column::number("Quantity", "", 1.1), move |line: &&MaterialLine| quantity(line, line.quantity)),
        field(Column::text("Unit", 0.7), move |line: &&MaterialLine| {
            Cell::text(if line.unit == "m" { view.units.length_unit() } else { line.unit })
        }),
        field(Column::money("Price of one", 1.3), move |line: &&MaterialLine| unit_price(view, line)),
        field(Column::money("Amount", 1.5), |line: &&MaterialLine| {
            if line.unit_price.is_some() { money(line.total) } else { Cell::text(UNKNOWN) }
        }),
        field(Column::number("Hold", "", 0.9), move |line: &&MaterialLine| {
            if line.held_back > 0.0 { quantity(line, line.held_back) } else { Cell::empty() }
        }),
    ]
}

/// Price of one, or of one unit of length as the reader measures it.
fn unit_price(view: &View<'_>, line: &MaterialLine) -> Cell {
    known(line.unit_price, |price| if line.unit == "m" { view.units.price_of_length(price) } else { money(price) })
}

/// Hours, blank for none.
fn hours(hours: Hours) -> Cell {
    if hours > Hours::ZERO { Cell::number(hours.get(), 1) } else { Cell::empty() }
}

fn labour(price: &Price) -> Table {
    let fields = [
        field(Column::text("Task", 4.0), |line: &&LabourLine| Cell::text(&line.task)),
        field(Column::text("Grade", 1.5), |line: &&LabourLine| Cell::text(&line.grade)),
        field(Column::number("Normal time", "h", 1.2), |line: &&LabourLine| hours(line.hours_h)),
        field(Column::number("Out of hours", "h", 1.2), |line: &&LabourLine| hours(line.out_of_hours_h)),
        field(Column::money("Rate of an hour", 1.3), |line: &&LabourLine| money(line.rate)),
        field(Column::money("Amount", 1.5), |line: &&LabourLine| money(line.total)),
    ];
    let mut table = table("labour", "Labour", &fields, &price.labour.iter().collect::<Vec<_>>());
    let sum = |part: fn(&LabourLine) -> f64| Cell::number(price.labour.iter().map(part).sum(), 1);
    let cost = shown(money(price.labour_cost), "price", "", "labour_cost");
    let sums = [(2, sum(|line| line.hours_h.get())), (3, sum(|line| line.out_of_hours_h.get())), (5, cost)];
    table.rows.push(total(fields.len(), "Labour at cost", sums));
    table
}

/// Cost, mark-up, net price, tax, price with tax.
fn from_cost_to_price(price: &Price) -> Table {
    let linked = |amount: Money, figure: &str| shown(money(amount), "price", "", figure);
    let parts = [
        ("Materials at cost", linked(price.materials_cost, "materials_cost")),
        ("Mark-up on materials", linked(price.materials_markup, "materials_markup")),
        ("Labour at cost", linked(price.labour_cost, "labour_cost")),
        ("Mark-up on labour", linked(price.labour_markup, "labour_markup")),
    ];
    let fields = [
        field(Column::text("Part", 5.0), |part: &(&str, Cell)| Cell::text(part.0)),
        field(Column::money("Amount", 1.5), |part: &(&str, Cell)| part.1.clone()),
    ];
    let mut table = table("cost-to-price", "From cost to price", &fields, &parts);
    let sums = [
        ("Net price", linked(price.net, "net")),
        (price.tax_name.as_str(), linked(price.tax, "tax")),
        ("Price with tax", linked(price.total, "total")),
    ];
    table.rows.extend(sums.map(|(words, cell)| total(2, words, [(1, cell)])));
    table
}

/// What each opening takes, what all share, and that both make the net price.
fn openings(view: &View<'_>) -> Table {
    let price = &view.design.price;
    let fields = [
        field(Column::text("Mark", 1.0), |line: &&OpeningPrice| Cell::text(line.mark.to_string())),
        field(Column::text("Opening", 4.0), |line: &&OpeningPrice| Cell::text(view.opening_name(&line.mark))),
        field(Column::number("Labour", "h", 1.0), |line: &&OpeningPrice| {
            shown(Cell::number(line.hours_h.get(), 1), "opening", &line.mark.to_string(), "hours_h")
        }),
        field(Column::money("Materials at cost", 1.4), |line: &&OpeningPrice| money(line.materials)),
        field(Column::money("Labour at cost", 1.4), |line: &&OpeningPrice| money(line.labour)),
        field(Column::money("Net price", 1.5), |line: &&OpeningPrice| {
            shown(money(line.net), "opening", &line.mark.to_string(), "net")
        }),
    ];
    let mut table =
        table("opening-prices", "Price of each opening", &fields, &price.openings.iter().collect::<Vec<_>>());
    let all = |part: fn(&OpeningPrice) -> Money| money(price.openings.iter().map(part).sum());
    let hours = Cell::number(price.openings.iter().map(|line| line.hours_h.get()).sum(), 1);
    let sums = [(2, hours), (3, all(|line| line.materials)), (4, all(|line| line.labour)), (5, all(|line| line.net))];
    table.rows.push(total(fields.len(), "All openings", sums));
    table.rows.push(total(
        fields.len(),
        "Controllers, supplies, head-end and all else",
        [(5, shown(money(price.shared), "price", "", "shared"))],
    ));
    let net = shown(money(price.net), "price", "", "net");
    table.rows.push(total(fields.len(), "Net price", [(5, net)]));
    table
}
