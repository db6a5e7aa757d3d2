//! Split of works over the whole job: the usual parties of each item, then the places that differ.
//!
//! Only items that the design has are named: a lock where one is fitted, a power transfer also where the survey saw none but
//! the design adds one, a network port where something is patched. Enclosures and rooms go by the parties of an opening
//! they serve.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{Id, OpeningId, RoomId};
use dw_engine::equip::{ControlNeed, Equipped, Role};
use dw_engine::survey::{DutySplit, Surveyed};
use dw_job::catalogue::CableUse;

use super::rows::{field, table};
use super::view::View;
use super::words::{UNKNOWN, capital, shortened};
use crate::model::{Cell, Column, Table};

/// Places that share the parties of one item.
struct Share<'a> {
    split: &'a DutySplit,
    at: At,
    places: Vec<&'a str>,
    usual: bool,
    alone: bool,
}

/// The sort of place an item is at.
#[derive(Clone, Copy)]
enum At {
    Opening,
    Enclosure,
    Room,
}

/// The parties of an item that nobody was named for.
macro_rules! nobody_for {
    ($item:literal) => {
        DutySplit { item: $item, supply: None, fit: None, wire: None, test: None }
    };
}

static TRANSFER_BY_NOBODY: DutySplit = nobody_for!("power transfer");
static SPUR_BY_NOBODY: DutySplit = nobody_for!("mains spur");
static PORT_BY_NOBODY: DutySplit = nobody_for!("network port");

/// Items of the split of works, in the order of the papers.
pub(super) const ITEMS: [&str; 8] =
    ["lock", "power transfer", "closer", "operator", "containment", "mains spur", "fire contact", "network port"];

/// Who supplies, fits, wires and tests.
type Four<'a> = [Option<&'a str>; 4];

/// A letter for each party, so that a schedule can say who does what in the width of a word.
pub(super) struct Parties<'a>(Vec<&'a str>);

impl<'a> Parties<'a> {
    /// The parties of all openings, in the order in which the schedule meets them.
    pub(super) fn of(view: &View<'a>) -> Self {
        let mut parties = Vec::new();
        let openings = &view.design.survey.openings;
        let splits = openings.iter().flat_map(|opening| ITEMS.iter().filter_map(|item| at(view, opening, item)));
        for party in splits.flat_map(four).flatten() {
            if !parties.contains(&party) {
                parties.push(party);
            }
        }
        Self(parties)
    }

    /// What the letters mean.
    pub(super) fn legend(&self) -> String {
        let named = self.0.iter().enumerate().map(|(idx, party)| format!("{}: {party}. ", letter(idx)));
        let named: String = named.collect();
        format!(
            "Four letters to an item: who supplies, who fits, who wires, who tests; a dash where nobody is named. {named}"
        )
    }

    /// Letters of an item: "A B A C".
    pub(super) fn letters(&self, split: &DutySplit) -> String {
        let place = |party: &str| self.0.iter().position(|known| *known == party);
        let letters = four(split).map(|party| party.and_then(place).map_or_else(|| UNKNOWN.to_owned(), letter));
        letters.join("\u{a0}")
    }
}

/// A to Z without I and O, which read as digits; then A1 to Z1 and so on.
fn letter(idx: usize) -> String {
    const LETTERS: &[u8; 24] = b"ABCDEFGHJKLMNPQRSTUVWXYZ";
    let letter = char::from(LETTERS[idx % LETTERS.len()]);
    if idx < LETTERS.len() { letter.to_string() } else { format!("{letter}{}", idx / LETTERS.len()) }
}

fn four(split: &DutySplit) -> Four<'_> {
    [&split.supply, &split.fit, &split.wire, &split.test].map(|party| party.as_deref())
}

/// Who does what on one item: "installer" for all four, else "installer: supply, wire; joiner: fit".
pub(super) fn in_full(split: &DutySplit) -> String {
    let mut shares: Vec<(&str, Vec<&str>)> = Vec::new();
    for (part, party) in ["supply", "fit", "wire", "test"].into_iter().zip(four(split)) {
        let party = party.unwrap_or(UNKNOWN);
        match shares.iter_mut().find(|share| share.0 == party) {
            Some(share) => share.1.push(part),
            None => shares.push((party, vec![part])),
        }
    }
    match shares.as_slice() {
        [only] => only.0.to_owned(),
        many => {
            many.iter().map(|(party, parts)| format!("{party}: {}", parts.join(", "))).collect::<Vec<_>>().join("; ")
        }
    }
}

/// Item by item who supplies, fits, wires and tests.
pub(super) fn split_of_works(view: &View<'_>) -> Table {
    let party = |title: &str, part: fn(&DutySplit) -> &Option<String>| {
        field(Column::text(title, 1.7), move |share: &Share<'_>| {
            Cell::text(part(share.split).as_deref().unwrap_or(UNKNOWN))
        })
    };
    let fields = [
        field(Column::text("Item", 1.4), |share: &Share<'_>| Cell::text(capital(share.split.item))),
        field(Column::text("Where", 2.6), |share: &Share<'_>| Cell::text(places(share))),
        party("Supplies", |split| &split.supply),
        party("Fits", |split| &split.fit),
        party("Wires", |split| &split.wire),
        party("Tests", |split| &split.test),
    ];
    table("split-of-works", "Split of works", &fields, &shares(view))
}

fn places(share: &Share<'_>) -> String {
    let (one, many) = match share.at {
        At::Opening => ("opening", "openings"),
        At::Enclosure => ("enclosure", "enclosures"),
        At::Room => ("room", "rooms"),
    };
    let number = share.places.len();
    match (share.usual, share.alone) {
        (true, true) if number > 1 => format!("all {number} {many} that have one"),
        (true, false) => format!("{number} other {}", if number == 1 { one } else { many }),
        _ => shortened(&share.places, 8),
    }
}

/// The shares of each item, those that differ before the usual one, which then reads as "others".
fn shares<'a>(view: &View<'a>) -> Vec<Share<'a>> {
    let design = view.design;
    let mut shares = Vec::new();
    for item in ITEMS {
        let openings = design.survey.openings.iter();
        let here = openings.filter_map(|opening| Some((opening.mark.text(), at(view, opening, item)?)));
        shares.extend(in_order(At::Opening, here));
        match item {
            "mains spur" => shares.extend(in_order(At::Enclosure, enclosures(view))),
            "network port" => shares.extend(in_order(At::Room, rooms(view))),
            _ => {}
        }
    }
    shares
}

/// Enclosures that a supply feeds from the mains, with the parties of their spurs.
fn enclosures<'a>(view: &View<'a>) -> impl Iterator<Item = (&'a str, &'a DutySplit)> {
    let design = view.design;
    let fed = design.power.enclosures.iter().filter(|enclosure| enclosure.supply.is_some());
    fed.map(move |enclosure| {
        let controllers = enclosure.controllers.iter().filter_map(|idx| design.placement.controllers.get(*idx));
        let served = controllers.flat_map(|controller| controller.ports.iter().flatten()).chain(&enclosure.units);
        (enclosure.id.text(), named_at(view, served, "mains spur").unwrap_or(&SPUR_BY_NOBODY))
    })
}

/// Rooms with controllers, with the parties of the network ports these are patched to.
fn rooms<'a>(view: &View<'a>) -> impl Iterator<Item = (&'a str, &'a DutySplit)> {
    let design = view.design;
    let rooms: BTreeSet<&'a RoomId> = design.placement.controllers.iter().map(|controller| &controller.room).collect();
    rooms.into_iter().map(move |room| {
        let served = design.placement.served.iter().filter(|served| served.room == *room).map(|served| &served.mark);
        (room.text(), named_at(view, served, "network port").unwrap_or(&PORT_BY_NOBODY))
    })
}

/// The parties of an item at the first of some openings that names them.
fn named_at<'a>(
    view: &View<'a>,
    mut openings: impl Iterator<Item = &'a OpeningId>,
    item: &str,
) -> Option<&'a DutySplit> {
    openings.find_map(|mark| duty(view.opening(mark)?, item))
}

fn duty<'a>(opening: &'a Surveyed, item: &str) -> Option<&'a DutySplit> {
    opening.duties.iter().find(|split| split.item == item)
}

/// The parties of an item at an opening; `None` where the design has no such item there.
pub(super) fn at<'a>(view: &View<'a>, opening: &'a Surveyed, item: &str) -> Option<&'a DutySplit> {
    let equipped = view.design.equipment.opening(&opening.mark);
    let fitted = |role: Role| equipped.is_some_and(|equipped| equipped.in_role(role).is_some());
    let named = duty(opening, item);
    match item {
        "lock" => named.filter(|_| fitted(Role::Lock)),
        "power transfer" if fitted(Role::PowerTransfer) => Some(named.unwrap_or(&TRANSFER_BY_NOBODY)),
        "power transfer" => None,
        // Who is named for the spur of an enclosure stands at every opening; only drives have a spur there.
        "mains spur" => named.filter(|_| duty(opening, "operator").is_some()),
        "network port" => named.filter(|_| equipped.is_some_and(is_patched)),
        _ => named,
    }
}

/// Whether something at the opening is patched to the network.
fn is_patched(equipped: &Equipped) -> bool {
    matches!(equipped.control, ControlNeed::OwnUnit { .. })
        || equipped.cables.iter().any(|cable| cable.purpose == CableUse::Network)
}

/// Places that have the item by its parties, the fewest first.
fn in_order<'a>(at: At, places: impl Iterator<Item = (&'a str, &'a DutySplit)>) -> Vec<Share<'a>> {
    let mut by_parties = BTreeMap::<Four<'a>, Share<'a>>::new();
    for (place, split) in places {
        let empty = Share { split, at, places: Vec::new(), usual: false, alone: false };
        by_parties.entry(four(split)).or_insert(empty).places.push(place);
    }
    let mut shares: Vec<Share<'a>> = by_parties.into_values().collect();
    shares.sort_by_key(|share| share.places.len());
    let alone = shares.len() == 1;
    if let Some(last) = shares.last_mut() {
        last.usual = true;
        last.alone = alone;
    }
    shares
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parties_are_told_by_letters_that_no_digit_looks_like() {
        let letters: Vec<String> = [0, 8, 23, 24].map(letter).into();
        assert_eq!(letters, ["A", "J", "Z", "A1"]);
        let split = DutySplit {
            item: "lock",
            supply: Some("firm".to_owned()),
            fit: Some("joiner".to_owned()),
            wire: None,
            test: Some("firm".to_owned()),
        };
        assert_eq!(Parties(vec!["firm", "joiner"]).letters(&split), "A\u{a0}B\u{a0}–\u{a0}A");
        assert_eq!(in_full(&split), "firm: supply, test; joiner: fit; –: wire");
    }
}
