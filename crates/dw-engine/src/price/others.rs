//! Split of works: what others supply, fit or test is not in our price.
//!
//! A party counts as ourselves when its name holds the word "installer"; an item nobody was named for is priced, since
//! the survey pass asks for the name.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::OpeningId;

use super::rules::SuppliedByOthers;
use super::takeoff::Piece;
use crate::Cx;
use crate::equip::{Fitted, Role};
use crate::survey::Surveyed;

/// Word in the name of a party that means ourselves.
const OURSELVES: &str = "installer";

/// What others supply: party and item, with the openings.
#[derive(Default)]
pub(super) struct LeftOut {
    supplied: BTreeMap<(String, &'static str), BTreeSet<OpeningId>>,
}

impl LeftOut {
    /// The piece with what others do taken off it.
    pub(super) fn apply(&mut self, opening: &Surveyed, fitted: &Fitted, piece: Piece) -> Piece {
        let Some(item) = item(fitted.role) else { return piece };
        let Some(duty) = opening.duties.iter().find(|duty| duty.item == item) else { return piece };
        let ours = |party: &Option<String>| party.as_ref().is_none_or(|name| name.to_lowercase().contains(OURSELVES));
        if let Some(party) = duty.supply.as_ref().filter(|_| !ours(&duty.supply)) {
            self.supplied.entry((party.clone(), item)).or_default().insert(opening.mark.clone());
        }
        Piece { bought: ours(&duty.supply), fitted: ours(&duty.fit), commissioned: ours(&duty.test), ..piece }
    }

    /// Tells once for each party and item.
    pub(super) fn report(self, cx: &mut Cx<'_>) {
        for ((party, item), openings) in self.supplied {
            cx.sink.report(&SuppliedByOthers { party, item, openings: openings.into_iter().collect() });
        }
    }
}

/// The item of the split of works that a role belongs to.
fn item(role: Role) -> Option<&'static str> {
    match role {
        Role::Lock => Some("lock"),
        Role::PowerTransfer => Some("power transfer"),
        _ => None,
    }
}
