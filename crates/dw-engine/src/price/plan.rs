//! What the price pass gives: every line bought and every hour worked, down to the total.

use dw_core::{Currency, Hours, Money, OpeningId};
use schemars::JsonSchema;
use serde::Serialize;

/// Price of the design. Lines sum to totals to the cent.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Price {
    /// Currency of every amount.
    pub currency: Currency,
    /// Bill of materials at cost, by section and device.
    pub materials: Vec<MaterialLine>,
    /// Labour at cost, by grade and task.
    pub labour: Vec<LabourLine>,
    /// Sum of the materials at cost.
    pub materials_cost: Money,
    /// Sum of the labour at cost.
    pub labour_cost: Money,
    /// Mark-up on materials.
    pub materials_markup: Money,
    /// Mark-up on labour.
    pub labour_markup: Money,
    /// Net price.
    pub net: Money,
    /// Tax.
    pub tax: Money,
    /// Name of the tax with its rate.
    pub tax_name: String,
    /// Price with tax.
    pub total: Money,
    /// What each opening takes of it, in the order of marks.
    pub openings: Vec<OpeningPrice>,
    /// Net price of everything no single opening takes: controllers, supplies, head-end.
    pub shared: Money,
    /// What it costs a year to keep.
    pub yearly: Money,
    /// Net price plus keeping and replacing over the years counted, discounted.
    pub whole_life: Money,
    /// Years counted.
    pub whole_life_years: f64,
}

/// One line of the bill of materials.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct MaterialLine {
    /// Part of the bill: "Control", "Readers", "Locks", "Power", "Cable", "Network", "People", "Head-end".
    pub section: &'static str,
    /// Device.
    pub device: dw_core::DeviceId,
    /// What it is.
    pub description: String,
    /// How many, or how many metres.
    pub quantity: f64,
    /// "each", "m" or "reel".
    pub unit: &'static str,
    /// Price of one; `None` when the catalogue states none.
    pub unit_price: Option<Money>,
    /// Quantity times price.
    pub total: Money,
    /// How many of them must not be ordered yet: their openings are not approved or have open questions.
    pub held_back: f64,
}

/// One line of labour.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LabourLine {
    /// What is done.
    pub task: String,
    /// Grade.
    pub grade: String,
    /// Hours in normal time.
    pub hours_h: Hours,
    /// Hours out of hours.
    pub out_of_hours_h: Hours,
    /// Rate for an hour.
    pub rate: Money,
    /// Hours times rate, the factor for out of hours included.
    pub total: Money,
}

/// What one opening takes.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OpeningPrice {
    /// Mark.
    pub mark: OpeningId,
    /// Hours of labour.
    pub hours_h: Hours,
    /// Materials at cost.
    pub materials: Money,
    /// Labour at cost.
    pub labour: Money,
    /// Net price with mark-up.
    pub net: Money,
}
