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
        let splits = view.design.survey.openings.iter().flat_map(|opening| &opening.duties);
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
    ITEMS.iter().flat_map(|item| in_order(shares_of(view, item))).collect()
}

/// Openings that have the item, by its parties.
fn shares_of<'a>(view: &View<'a>, item: &str) -> Vec<Share<'a>> {
    let mut shares = BTreeMap::<Four<'a>, Share<'a>>::new();
    for opening in &view.design.survey.openings {
        for split in opening.duties.iter().filter(|split| split.item == item) {
            let empty = Share { split, openings: Vec::new(), usual: false, alone: false };
            shares.entry(four(split)).or_insert(empty).openings.push(&opening.mark);
        }
    }
    shares.into_values().collect()
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
