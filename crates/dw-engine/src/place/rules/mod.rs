//! Rules of the place pass, one file each.

use dw_core::{Rule, RuleInfo};

mod demands_clash;
mod figure_missing;
mod moved_since_issue;
mod pin_out_of_reach;
mod placement_broken;
mod ports_too_few;
mod reach_too_thin;
mod room_full;
mod room_limit_costs;
mod search_stopped;
mod staying_put_costs;
mod switch_bought;

pub use demands_clash::DemandsClash;
pub use figure_missing::FigureMissing;
pub use moved_since_issue::MovedSinceIssue;
pub use pin_out_of_reach::PinOutOfReach;
pub use placement_broken::PlacementBroken;
pub use ports_too_few::PortsTooFew;
pub use reach_too_thin::ReachTooThin;
pub use room_full::RoomFull;
pub use room_limit_costs::RoomLimitCosts;
pub use search_stopped::SearchStopped;
pub use staying_put_costs::StayingPutCosts;
pub use switch_bought::SwitchBought;

/// Every rule of the pass.
pub const RULES: &[RuleInfo] = &[
    PinOutOfReach::INFO,
    RoomFull::INFO,
    DemandsClash::INFO,
    MovedSinceIssue::INFO,
    StayingPutCosts::INFO,
    FigureMissing::INFO,
    PortsTooFew::INFO,
    RoomLimitCosts::INFO,
    SwitchBought::INFO,
    SearchStopped::INFO,
    ReachTooThin::INFO,
    PlacementBroken::INFO,
];
