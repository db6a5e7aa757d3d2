//! What the capacity pass gives: what is held where, and what runs out first.

use dw_core::{DeviceId, OpeningId};
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
