//! Rules of the route pass, one file each.

use dw_core::{Rule, RuleInfo};

mod area_left_out;
mod copper_between_buildings;
mod figure_missing;
mod full_ways_left;
mod longer_than_reel;
mod no_cable_fits;
mod old_cable_elsewhere;
mod out_of_reach;
mod point_in_blocked_area;
mod radio_not_allowed;
mod radio_out_of_range;
mod route_broken;
mod schedule_broken;
mod span_too_long;
mod span_uncarried;
mod trench_price_missing;
mod way_area_missing;
mod way_crosses_blocked_area;
mod way_full_detour;
mod way_incomplete;
mod way_over_fill;
mod way_too_short;
mod ways_not_connected;

pub use area_left_out::AreaLeftOut;
pub use copper_between_buildings::CopperBetweenBuildings;
pub use figure_missing::FigureMissing;
pub use full_ways_left::FullWaysLeft;
pub use longer_than_reel::LongerThanReel;
pub use no_cable_fits::NoCableFits;
pub use old_cable_elsewhere::OldCableElsewhere;
pub use out_of_reach::OutOfReach;
pub use point_in_blocked_area::PointInBlockedArea;
pub use radio_not_allowed::RadioNotAllowed;
pub use radio_out_of_range::RadioOutOfRange;
pub use route_broken::RouteBroken;
pub use schedule_broken::ScheduleBroken;
pub use span_too_long::SpanTooLong;
pub use span_uncarried::SpanUncarried;
pub use trench_price_missing::TrenchPriceMissing;
pub use way_area_missing::WayAreaMissing;
pub use way_crosses_blocked_area::WayCrossesBlockedArea;
pub use way_full_detour::WayFullDetour;
pub use way_incomplete::WayIncomplete;
pub use way_over_fill::WayOverFill;
pub use way_too_short::WayTooShort;
pub use ways_not_connected::WaysNotConnected;

/// Every rule of the pass.
pub const RULES: &[RuleInfo] = &[
    OutOfReach::INFO,
    WaysNotConnected::INFO,
    WayIncomplete::INFO,
    RadioOutOfRange::INFO,
    RadioNotAllowed::INFO,
    NoCableFits::INFO,
    WayOverFill::INFO,
    WayAreaMissing::INFO,
    CopperBetweenBuildings::INFO,
    FigureMissing::INFO,
    OldCableElsewhere::INFO,
    LongerThanReel::INFO,
    WayTooShort::INFO,
    SpanTooLong::INFO,
    SpanUncarried::INFO,
    AreaLeftOut::INFO,
    PointInBlockedArea::INFO,
    WayCrossesBlockedArea::INFO,
    WayFullDetour::INFO,
    FullWaysLeft::INFO,
    TrenchPriceMissing::INFO,
    RouteBroken::INFO,
    ScheduleBroken::INFO,
];

/// A number with its words: "1 cable hangs", "3 cables hang".
fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}
