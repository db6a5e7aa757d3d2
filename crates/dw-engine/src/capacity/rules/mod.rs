//! Rules of the capacity pass.

mod card_layout_unclear;
mod card_number_out_of_range;
mod card_numbers_exhausted;
mod card_numbers_twice;
mod card_store_short;
mod credential_missing;
mod head_end_missing;
mod head_end_openings_exceeded;
mod headroom_low;
mod licence_missing;
mod limit_not_stated;
mod offline_log_short;
mod plan_inconsistent;
mod template_store_short;

use dw_core::{OpeningId, Place, Rule, RuleInfo};

pub use card_layout_unclear::CardLayoutUnclear;
pub use card_number_out_of_range::CardNumberOutOfRange;
pub use card_numbers_exhausted::CardNumbersExhausted;
pub use card_numbers_twice::CardNumbersTwice;
pub use card_store_short::CardStoreShort;
pub use credential_missing::CredentialMissing;
pub use head_end_missing::HeadEndMissing;
pub use head_end_openings_exceeded::HeadEndOpeningsExceeded;
pub use headroom_low::HeadroomLow;
pub use licence_missing::LicenceMissing;
pub use limit_not_stated::LimitNotStated;
pub use offline_log_short::OfflineLogShort;
pub use plan_inconsistent::PlanInconsistent;
pub use template_store_short::TemplateStoreShort;

use super::Holder;

/// Every rule of the pass, by code.
pub const RULES: &[RuleInfo] = &[
    CardStoreShort::INFO,
    TemplateStoreShort::INFO,
    OfflineLogShort::INFO,
    HeadEndMissing::INFO,
    HeadEndOpeningsExceeded::INFO,
    LicenceMissing::INFO,
    LimitNotStated::INFO,
    HeadroomLow::INFO,
    CredentialMissing::INFO,
    CardLayoutUnclear::INFO,
    CardNumberOutOfRange::INFO,
    CardNumbersTwice::INFO,
    CardNumbersExhausted::INFO,
    PlanInconsistent::INFO,
];

/// Where a holder is: its opening when it serves one alone, else itself.
fn at(holder: &Holder) -> Place {
    match holder.openings.as_slice() {
        [only] => Place::of(only),
        _ => Place::named("controller", &holder.label),
    }
}

/// The openings of a holder that serves several.
fn others(holder: &Holder) -> Vec<Place> {
    if holder.openings.len() > 1 {
        holder.openings.iter().map(|mark: &OpeningId| Place::of(mark)).collect()
    } else {
        Vec::new()
    }
}

/// A number of openings in words: "1 opening", "12 openings".
fn counted(openings: u32) -> String {
    format!("{openings} {}", if openings == 1 { "opening" } else { "openings" })
}
