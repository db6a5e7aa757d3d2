//! Split of works over the whole job: the usual parties of each item, then the openings that differ.

use std::collections::BTreeMap;

use dw_core::OpeningId;
use dw_engine::survey::DutySplit;

use super::rows::{field, table};
use super::view::View;
use super::words::{UNKNOWN, capital, shortened};
use crate::model::{Cell, Column, Table};

/// Openings that share the parties of one item.
struct Share<'a> {
    split: &'a DutySplit,
    openings: Vec<&'a OpeningId>,
    usual: bool,
    alone: bool,
}

/// Who supplies, fits, wires and tests.
type Parties<'a> = [Option<&'a str>; 4];

/// Item by item who supplies, fits, wires and tests.
pub(super) fn split_of_works(view: &View<'_>) -> Table {
    let party = |title: &str, part: fn(&DutySplit) -> &Option<String>| {
        field(Column::text(title, 1.7), move |share: &Share<'_>| {
            Cell::text(part(share.split).as_deref().unwrap_or(UNKNOWN))
        })
    };
    let fields = [
        field(Column::text("Item", 1.4), |share: &Share<'_>| Cell::text(capital(share.split.item))),
        field(Column::text("Openings", 2.6), |share: &Share<'_>| Cell::text(openings(share))),
        party("Supplies", |split| &split.supply),
        party("Fits", |split| &split.fit),
        party("Wires", |split| &split.wire),
        party("Tests", |split| &split.test),
    ];
    table("split-of-works", "Split of works", &fields, &shares(view))
}

fn openings(share: &Share<'_>) -> String {
    match (share.usual, share.alone) {
        (true, true) => format!("all {} that have one", share.openings.len()),
        (true, false) => format!("{} others", share.openings.len()),
        (false, _) => shortened(&share.openings, 8),
    }
}

/// The shares of each item, those that differ before the usual one, which then reads as "others".
fn shares<'a>(view: &View<'a>) -> Vec<Share<'a>> {
    let mut items: Vec<(&str, BTreeMap<Parties<'a>, Share<'a>>)> = Vec::new();
    for opening in &view.design.survey.openings {
        for split in &opening.duties {
            let idx = items.iter().position(|item| item.0 == split.item).unwrap_or_else(|| {
                items.push((split.item, BTreeMap::new()));
                items.len() - 1
            });
            let parties = [&split.supply, &split.fit, &split.wire, &split.test].map(|party| party.as_deref());
            let share = items[idx].1.entry(parties);
            let share = share.or_insert_with(|| Share { split, openings: Vec::new(), usual: false, alone: false });
            share.openings.push(&opening.mark);
        }
    }
    items.into_iter().flat_map(|(_, shares)| in_order(shares.into_values().collect())).collect()
}

fn in_order(mut shares: Vec<Share<'_>>) -> Vec<Share<'_>> {
    shares.sort_by_key(|share| share.openings.len());
    let alone = shares.len() == 1;
    if let Some(last) = shares.last_mut() {
        last.usual = true;
        last.alone = alone;
    }
    shares
}
