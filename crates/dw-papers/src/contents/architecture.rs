//! How the openings are arranged, what was compared with it, and why the next best way costs more.

use dw_core::Money;
use dw_engine::equip::arrangement_words;
use dw_engine::place::{Architecture, CostPart, OtherArchitecture};

use super::rows::{field, table, total};
use super::view::{View, shown};
use super::words::{capital, count};
use crate::model::{Block, Cell, Column};

/// Text and table; nothing where no opening left a choice.
pub(super) fn blocks(view: &View<'_>) -> Vec<Block> {
    let placement = &view.design.placement;
    let Some(architecture) = &placement.architecture else { return Vec::new() };
    let mut blocks =
        vec![Block::Heading("How the openings are arranged".to_owned()), Block::Text(chosen(architecture))];
    let others: Vec<String> = architecture.others.iter().map(|other| compared(view, other)).collect();
    if !others.is_empty() {
        blocks.push(Block::List(others));
    }
    if let Some(runner_up) = architecture.runner_up() {
        blocks.push(parts(runner_up));
    }
    blocks
}

fn chosen(architecture: &Architecture) -> String {
    format!(
        "{} could be arranged in more than one way. Chosen: {}. Compared were plans that take one arrangement wherever an \
         opening admits it, by their cost over the years counted, before mark-up and tax.",
        capital(&count(architecture.open_openings, "opening", "openings")),
        architecture.name
    )
}

/// One other architecture in a line.
fn compared(view: &View<'_>, other: &OtherArchitecture) -> String {
    let name = capital(arrangement_words(other.arrangement));
    let differ = count(other.openings_differ, "opening", "openings");
    if other.unserved > 0 {
        let unserved = count(other.unserved, "opening", "openings");
        return format!("{name}: would leave {unserved} unserved, so its cost is not compared.");
    }
    format!("{name}: {differ} arranged otherwise, {} more.", view.money_text(other.more))
}

/// The parts of the cost of the plan and the next best one.
fn parts(runner_up: &OtherArchitecture) -> Block {
    let money = |amount: Money| Cell::money(amount.amount());
    let fields = [
        field(Column::text("Part of the cost", 3.0), |part: &CostPart| Cell::text(capital(part.what))),
        field(Column::money("Chosen", 1.2), move |part: &CostPart| money(part.here)),
        field(Column::money("Next best", 1.2), move |part: &CostPart| money(part.there)),
        field(Column::money("Difference", 1.2), move |part: &CostPart| money(part.there - part.here)),
    ];
    let title = format!("Cost beside the next best: {}", arrangement_words(runner_up.arrangement));
    let mut table = table("architecture", &title, &fields, &runner_up.parts);
    let sum = |amount: fn(&CostPart) -> Money| -> Money { runner_up.parts.iter().map(amount).sum() };
    let cells = [
        (1, shown(money(sum(|part| part.here)), "job", "", "placement_cost")),
        (2, money(sum(|part| part.there))),
        (3, shown(money(runner_up.more), "job", "", "architecture_more")),
    ];
    table.rows.push(total(4, "All", cells));
    Block::Table(table)
}
