//! The card order: how many cards, what they carry, which numbers each group gets, what the supplier must state, and what
//! has to be asked first.

use dw_core::Id;
use dw_engine::capacity::{CardOrder, NumberBlock};

use super::rows::{field, known, table};
use super::view::{View, shown};
use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Table};

/// What a supplier states with every delivery (*common practice*).
const SUPPLIER_STATES: [&str; 6] = [
    "the layout, bit by bit, and that every card delivered carries it",
    "the facility code, and whether it is reserved for this customer",
    "first and last number delivered, in sequence, none missing and none twice, with a list",
    "that the number printed on a card is the number it sends, or a list of both",
    "kind of chip, frequency and protection; who holds the keys, which never stand in these papers",
    "how the same series is ordered again, and that no other customer gets these numbers",
];

/// The card order, where there is one.
pub(super) fn paper(view: &View<'_>) -> Option<Paper> {
    let order = view.design.capacity.card_order.as_ref()?;
    let mut blocks = vec![Block::Facts(facts(order))];
    let questions = questions(order);
    if !questions.is_empty() {
        blocks.push(Block::Heading("To be answered before ordering".to_owned()));
        blocks.push(Block::List(questions));
    }
    if !order.blocks.is_empty() {
        blocks.push(Block::Table(numbers(order)));
    }
    blocks.push(Block::Heading("The supplier states".to_owned()));
    blocks.push(Block::List(SUPPLIER_STATES.iter().map(|item| (*item).to_owned()).collect()));
    blocks.push(Block::Text(
        "A card is known by layout, facility code and number together. No number is issued a second time, not even after a \
         card is lost."
            .to_owned(),
    ));
    Some(Paper {
        id: "card-order".to_owned(),
        title: "Card order".to_owned(),
        orientation: Orientation::Portrait,
        blocks,
    })
}

/// Numbers of every group.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    view.design.capacity.card_order.iter().map(numbers).collect()
}

fn facts(order: &CardOrder) -> Vec<Fact> {
    let count = |label: &str, count: u32| Fact::new(label, Cell::count(count));
    let text = |label: &str, text: Option<&String>| Fact::new(label, known(text, Cell::text));
    let number = |label: &str, number: Option<u64>| Fact::new(label, known(number, digits));
    let numbers = order.numbers();
    vec![
        Fact::new("Cards to order", shown(Cell::count(order.quantity), "job", "", "cards_to_issue")),
        count("People, growth included", order.people),
        count("Keep the card they have", order.kept),
        count("Spares", order.spares),
        text("Kind of card and protection", order.technology.as_ref()),
        text("Layout", order.layout.as_ref()),
        number("Facility code", order.facility),
        number("First number", numbers.map(|it| it.0)),
        number("Last number", numbers.map(|it| it.1)),
    ]
}

/// A number as it is printed on a card, without marks between its digits.
fn digits(number: u64) -> Cell {
    Cell::text(number.to_string())
}

/// What customer or supplier must answer first.
fn questions(order: &CardOrder) -> Vec<String> {
    let asked = [
        (order.technology.is_none(), "Which kind of card, at which frequency, and who holds its keys?"),
        (order.layout.is_none(), "Which layout do the readers expect, bit by bit? Its length alone does not say."),
        (
            order.facility.is_none() && order.blocks.is_empty(),
            "Which facility code is this customer's, and is it used at other sites?",
        ),
        (order.ranges_in_use == 0, "Which numbers are in use already, here and at sites that will share this system?"),
        (
            order.layout.is_some() && order.blocks.is_empty(),
            "Numbers cannot be given yet: see the findings CAP-010 to CAP-013.",
        ),
    ];
    asked.into_iter().filter(|row| row.0).map(|row| row.1.to_owned()).collect()
}

fn numbers(order: &CardOrder) -> Table {
    let fields = [
        field(Column::text("Group", 2.0), |block: &NumberBlock| Cell::text(block.group.text())),
        field(Column::number("Cards", "", 1.0), |block: &NumberBlock| {
            Cell::number((block.last - block.first + 1) as f64, 0)
        }),
        field(Column::number("Spares among them", "", 1.0), |block: &NumberBlock| Cell::count(block.spares)),
        field(Column::text("First number", 1.2), |block: &NumberBlock| digits(block.first)),
        field(Column::text("Last number", 1.2), |block: &NumberBlock| digits(block.last)),
    ];
    table("card-numbers", "Numbers of each group", &fields, &order.blocks)
}
