//! Rules of the link pass.

mod backlog_slow;
mod base_range_full;
mod bus_branches;
mod bus_overloaded;
mod bus_too_long;
mod channel_too_long;
mod data_lines_long;
mod data_lines_timing;
mod data_lines_too_long;
mod dead_reader_delays;
mod lines_unsupervised;
mod network_policy_wrong;
mod obstacle_astray;
mod plan_inconsistent;
mod poll_too_slow;
mod ports_without_spare;
mod radio_figure_missing;
mod radio_level_low;
mod radio_margin_thin;
mod radio_path_not_surveyed;
mod radio_path_obstructed;
mod radio_power_over_limit;
mod uplink_overloaded;

use dw_core::{OpeningId, Place, Rule, RuleInfo};

pub use backlog_slow::BacklogSlow;
pub use base_range_full::BaseRangeFull;
pub use bus_branches::BusBranches;
pub use bus_overloaded::BusOverloaded;
pub use bus_too_long::BusTooLong;
pub use channel_too_long::ChannelTooLong;
pub use data_lines_long::DataLinesLong;
pub use data_lines_timing::DataLinesTiming;
pub use data_lines_too_long::DataLinesTooLong;
pub use dead_reader_delays::DeadReaderDelays;
pub use lines_unsupervised::LinesUnsupervised;
pub use network_policy_wrong::NetworkPolicyWrong;
pub use obstacle_astray::ObstacleAstray;
pub use plan_inconsistent::PlanInconsistent;
pub use poll_too_slow::PollTooSlow;
pub use ports_without_spare::PortsWithoutSpare;
pub use radio_figure_missing::RadioFigureMissing;
pub use radio_level_low::RadioLevelLow;
pub use radio_margin_thin::RadioMarginThin;
pub use radio_path_not_surveyed::RadioPathNotSurveyed;
pub use radio_path_obstructed::RadioPathObstructed;
pub use radio_power_over_limit::RadioPowerOverLimit;
pub use uplink_overloaded::UplinkOverloaded;

use super::Bus;

/// Every rule of the pass, by code.
pub const RULES: &[RuleInfo] = &[
    DataLinesTooLong::INFO,
    DataLinesLong::INFO,
    DataLinesTiming::INFO,
    BusTooLong::INFO,
    BusOverloaded::INFO,
    BusBranches::INFO,
    PollTooSlow::INFO,
    DeadReaderDelays::INFO,
    ChannelTooLong::INFO,
    PortsWithoutSpare::INFO,
    UplinkOverloaded::INFO,
    BacklogSlow::INFO,
    NetworkPolicyWrong::INFO,
    BaseRangeFull::INFO,
    RadioLevelLow::INFO,
    RadioMarginThin::INFO,
    RadioPathObstructed::INFO,
    RadioPowerOverLimit::INFO,
    RadioFigureMissing::INFO,
    RadioPathNotSurveyed::INFO,
    LinesUnsupervised::INFO,
    ObstacleAstray::INFO,
    PlanInconsistent::INFO,
];

/// Where a bus is: its opening when it serves one alone, else itself.
fn at(bus: &Bus) -> Place {
    match openings(bus).as_slice() {
        [only] => only.clone(),
        _ => Place::named("bus", &bus.label),
    }
}

/// The openings of a bus, each once.
fn openings(bus: &Bus) -> Vec<Place> {
    let mut marks: Vec<&OpeningId> = bus.readers.iter().map(|reader| &reader.mark).collect();
    marks.dedup();
    marks.into_iter().map(Place::of).collect()
}

/// A rate as a person says it.
fn mbit(bit_per_s: f64) -> String {
    format!("{:.1} Mbit/s", bit_per_s / 1e6)
}
