//! Rules of the price pass.

mod adapt_hours_missing;
mod approvals_missing;
mod device_price_missing;
mod exchange_rate_missing;
mod labour_hours_missing;
mod labour_rate_missing;
mod line_wrong;
mod network_ports_short;
mod not_orderable;
mod openings_do_not_add;
mod question_open;
mod supplied_by_others;
mod surge_protector_missing;
mod task_incomplete;
mod tax_missing;
mod total_does_not_add;

use dw_core::{Id, OpeningId, Rule, RuleInfo};

pub use adapt_hours_missing::AdaptHoursMissing;
pub use approvals_missing::ApprovalsMissing;
pub use device_price_missing::DevicePriceMissing;
pub use exchange_rate_missing::ExchangeRateMissing;
pub use labour_hours_missing::LabourHoursMissing;
pub use labour_rate_missing::LabourRateMissing;
pub use line_wrong::LineWrong;
pub use network_ports_short::NetworkPortsShort;
pub use not_orderable::NotOrderable;
pub use openings_do_not_add::OpeningsDoNotAdd;
pub use question_open::QuestionOpen;
pub use supplied_by_others::SuppliedByOthers;
pub use surge_protector_missing::SurgeProtectorMissing;
pub use task_incomplete::TaskIncomplete;
pub use tax_missing::TaxMissing;
pub use total_does_not_add::TotalDoesNotAdd;

/// Every rule of the pass, by code.
pub const RULES: &[RuleInfo] = &[
    DevicePriceMissing::INFO,
    LabourRateMissing::INFO,
    ExchangeRateMissing::INFO,
    LabourHoursMissing::INFO,
    TaskIncomplete::INFO,
    NotOrderable::INFO,
    QuestionOpen::INFO,
    ApprovalsMissing::INFO,
    TaxMissing::INFO,
    AdaptHoursMissing::INFO,
    NetworkPortsShort::INFO,
    SurgeProtectorMissing::INFO,
    SuppliedByOthers::INFO,
    TotalDoesNotAdd::INFO,
    LineWrong::INFO,
    OpeningsDoNotAdd::INFO,
];

/// A number of openings in words: "1 opening", "12 openings".
fn counted(openings: usize) -> String {
    format!("{openings} {}", if openings == 1 { "opening" } else { "openings" })
}

/// Marks in a row, the first twelve by name.
fn named(openings: &[OpeningId]) -> String {
    const NAMED: usize = 12;
    let marks: Vec<&str> = openings.iter().take(NAMED).map(Id::text).collect();
    match openings.len().saturating_sub(NAMED) {
        0 => marks.join(", "),
        rest => format!("{} and {rest} more", marks.join(", ")),
    }
}
