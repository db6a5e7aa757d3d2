//! Why each device was chosen: for programs only, because the exclusions of a large job would fill a book.

use std::sync::Arc;

use dw_core::{DeviceId, Id, Money, OpeningId};
use dw_engine::equip::Choice;

use super::rows::{field, known, table};
use super::view::View;
use super::words;
use crate::model::{Cell, Column, Table};

/// A choice with the openings that share it.
struct Shared<'a> {
    choice: &'a Arc<Choice>,
    openings: Vec<&'a OpeningId>,
}

/// Choices in the order in which openings meet them.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    let device = |device: Option<&DeviceId>| known(device, |device| Cell::text(device.text()));
    let money = |amount: Money| Cell::money(amount.amount());
    let fields = [
        field(Column::text("Part", 1.0), |it: &Shared<'_>| Cell::text(words::part(it.choice.role))),
        field(Column::text("Chosen", 1.0), move |it: &Shared<'_>| device(it.choice.chosen.as_ref())),
        field(Column::money("Whole-life cost", 1.0), move |it: &Shared<'_>| {
            known(it.choice.chosen.as_ref(), |_| money(it.choice.whole_life))
        }),
        field(Column::text("Pinned", 0.6), |it: &Shared<'_>| Cell::text(if it.choice.pinned { "yes" } else { "no" })),
        field(Column::text("Next best", 1.0), move |it: &Shared<'_>| {
            it.choice.runner_up.as_ref().map_or_else(Cell::empty, |next| Cell::text(next.device.text()))
        }),
        field(Column::money("Its whole-life cost", 1.0), move |it: &Shared<'_>| {
            it.choice.runner_up.as_ref().map_or_else(Cell::empty, |next| money(next.whole_life))
        }),
        field(Column::text("Openings", 2.0), |it: &Shared<'_>| Cell::text(marks(&it.openings))),
        field(Column::text("Excluded, and why", 4.0), |it: &Shared<'_>| Cell::text(exclusions(it.choice))),
    ];
    vec![table("choices", "Choices", &fields, &shared(view))]
}

fn shared<'a>(view: &View<'a>) -> Vec<Shared<'a>> {
    let mut seen = std::collections::BTreeMap::<*const Choice, usize>::new();
    let mut all: Vec<Shared<'a>> = Vec::new();
    for equipped in &view.design.equipment.openings {
        for choice in &equipped.choices {
            let idx = *seen.entry(Arc::as_ptr(choice)).or_insert(all.len());
            if idx == all.len() {
                all.push(Shared { choice, openings: Vec::new() });
            }
            all[idx].openings.push(&equipped.mark);
        }
    }
    all
}

fn marks(openings: &[&OpeningId]) -> String {
    openings.iter().map(|mark| mark.text()).collect::<Vec<_>>().join(", ")
}

fn exclusions(choice: &Choice) -> String {
    let lines = choice.excluded.iter().map(|excluded| format!("{}: {}", excluded.device, excluded.reason));
    lines.collect::<Vec<_>>().join("\n")
}
