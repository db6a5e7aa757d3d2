//! Cards: what the new ones carry, and which numbers are in use.

use dw_core::GroupId;
use serde_json::json;

use crate::text::{Scalar, ScalarNode, record, section};

/// A facility code or number of a card.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct CardNumber(pub u64);

/// Highest number read: up to here every whole number is exact wherever a document is read, 2^53 - 1.
const MOST: u64 = (1 << 53) - 1;

impl Scalar for CardNumber {
    fn from_scalar(node: &ScalarNode) -> Result<Self, String> {
        let plain = node.shown().replace('_', "");
        let number = plain.trim().parse().ok().filter(|number| *number <= MOST);
        number.map(Self).ok_or_else(|| format!("a whole number from 0 to {MOST}"))
    }
    fn shown(&self) -> toml_edit::Value {
        i64::try_from(self.0).unwrap_or(i64::MAX).into()
    }
    fn schema() -> serde_json::Value {
        json!({ "type": "integer", "minimum": 0, "maximum": MOST })
    }
}

section! {
    /// New cards: what they carry, as agreed with their supplier.
    pub struct CardPolicy {
        /// Layout, as the supplier states it: `w26`, `w34`, `w37-35`, `w37-16-19`, or every bit described, such as
        /// `26 bits, facility 1-8, number 9-24, even 0 over 1-12, odd 25 over 13-24`.
        layout: Option<String>,
        /// Facility code.
        facility: Option<CardNumber>,
        /// First number; after the highest in use when absent.
        first_number: Option<CardNumber>,
        /// Spare cards beyond growth, percent.
        spare_percent: Option<f64>,
        /// Kind of card and how it is protected, in words; never a key.
        technology: Option<String>,
    }
}

record! {
    /// Cards in use already: their numbers are not issued again.
    pub struct CardRange: "card_range" by row {
        /// Whose they are, in words.
        holder: Option<String>,
        /// Layout, written as in the policy.
        layout: Option<String>,
        /// Facility code.
        facility: Option<CardNumber>,
        /// First number.
        first: Option<CardNumber>,
        /// Last number.
        last: Option<CardNumber>,
        /// The group that keeps these cards and needs no new ones.
        kept_by: Option<GroupId>,
    }
}
