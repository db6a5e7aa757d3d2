//! What the capacity pass gives: what is held where, and what runs out first.

use dw_core::{DeviceId, GroupId, OpeningId};
use schemars::JsonSchema;
use serde::Serialize;

/// Capacity of everything that stores people or events.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct CapacityPlan {
    /// Controllers and units that decide by themselves.
    pub holders: Vec<Holder>,
    /// Head-end chosen; `None` when none fits.
    pub head_end: Option<DeviceId>,
    /// How many head-ends.
    pub head_ends: u32,
    /// Licences with their counts.
    pub licences: Vec<(DeviceId, u32)>,
    /// Openings under control.
    pub openings: u32,
    /// Cards to issue, growth included, by device.
    pub credentials: Vec<(DeviceId, u32)>,
    /// What the new cards carry; `None` where no reader takes cards or everybody keeps theirs.
    pub card_order: Option<CardOrder>,
}

/// Cards to order and what they carry.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct CardOrder {
    /// Cards to order: people with growth, less the cards they keep, and spares.
    pub quantity: u32,
    /// People with growth.
    pub people: u32,
    /// People who keep the card they have.
    pub kept: u32,
    /// Spare cards.
    pub spares: u32,
    /// Kind of card and protection as agreed; `None` when not stated.
    pub technology: Option<String>,
    /// Layout as stated.
    pub layout: Option<String>,
    /// Facility code as stated.
    pub facility: Option<u64>,
    /// Ranges in use that the job states.
    pub ranges_in_use: u32,
    /// Numbers of each group, in sequence; empty where layout or facility code are not clear, or the numbers do not fit.
    pub blocks: Vec<NumberBlock>,
}

impl CardOrder {
    /// First and last number of all, where they are known.
    pub fn numbers(&self) -> Option<(u64, u64)> {
        Some((self.blocks.first()?.first, self.blocks.last()?.last))
    }
}

/// Numbers one group gets.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct NumberBlock {
    /// The group.
    pub group: GroupId,
    /// Spares among them.
    pub spares: u32,
    /// First number.
    pub first: u64,
    /// Last number.
    pub last: u64,
}

/// A controller or unit and what it must hold.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Holder {
    /// Label of the controller, or mark of the opening of a unit.
    pub label: String,
    /// Model.
    pub device: DeviceId,
    /// Openings it serves.
    pub openings: Vec<OpeningId>,
    /// What is stored: needed and limit.
    pub stores: Vec<Store>,
    /// Events a day that it keeps; 0 for a reader that stores templates only.
    pub events_per_day: f64,
    /// Days of events kept without the network; `None` when the model states no event limit or nothing passes.
    pub offline_days: Option<f64>,
}

/// One thing stored.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Store {
    /// What: "cards", "finger templates".
    pub what: &'static str,
    /// How many are needed, growth included.
    pub needed: u32,
    /// How many fit; `None` when the model states no limit.
    pub limit: Option<u32>,
}
