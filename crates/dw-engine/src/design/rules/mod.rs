//! Rules about a design as a whole, one file each.

use dw_core::{Rule, RuleInfo};

mod acceptance_incomplete;
mod acceptance_useless;

pub use acceptance_incomplete::AcceptanceIncomplete;
pub use acceptance_useless::AcceptanceUseless;

/// Every rule about a design as a whole.
pub const RULES: &[RuleInfo] = &[AcceptanceIncomplete::INFO, AcceptanceUseless::INFO];
