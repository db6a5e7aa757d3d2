//! A point on a storey's plan.

use schemars::JsonSchema;
use serde::Serialize;

use crate::{Metres, StoreyId};

/// A point on a plan: storey, and distances east and north of the plan's origin.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Point {
    /// The storey the plan belongs to.
    pub storey: StoreyId,
    /// East of the origin.
    pub x_m: Metres,
    /// North of the origin.
    pub y_m: Metres,
}
