//! Rules of the survey pass, one file each.

use dw_core::{Rule, RuleInfo};

mod apart_names_one;
mod bridge_circle;
mod device_unknown;
mod duty_blank;
mod escape_duty_missing;
mod issued_gone;
mod no_telecom_room;
mod nobody_may_enter;
mod nothing_to_design;
mod occupant_load_missing;
mod opening_incomplete;
mod pins_contradict;
mod room_without_mains;
mod room_without_place;
mod same_space_both_sides;
mod survey_broken;
mod temperatures_crossed;

pub use apart_names_one::ApartNamesOne;
pub use bridge_circle::BridgeCircle;
pub use device_unknown::DeviceUnknown;
pub use duty_blank::DutyBlank;
pub use escape_duty_missing::EscapeDutyMissing;
pub use issued_gone::IssuedGone;
pub use no_telecom_room::NoTelecomRoom;
pub use nobody_may_enter::NobodyMayEnter;
pub use nothing_to_design::NothingToDesign;
pub use occupant_load_missing::OccupantLoadMissing;
pub use opening_incomplete::OpeningIncomplete;
pub use pins_contradict::PinsContradict;
pub use room_without_mains::RoomWithoutMains;
pub use room_without_place::RoomWithoutPlace;
pub use same_space_both_sides::SameSpaceBothSides;
pub use survey_broken::SurveyBroken;
pub use temperatures_crossed::TemperaturesCrossed;

/// Every rule of the pass.
pub const RULES: &[RuleInfo] = &[
    OpeningIncomplete::INFO,
    DutyBlank::INFO,
    EscapeDutyMissing::INFO,
    OccupantLoadMissing::INFO,
    NobodyMayEnter::INFO,
    RoomWithoutPlace::INFO,
    RoomWithoutMains::INFO,
    BridgeCircle::INFO,
    DeviceUnknown::INFO,
    SameSpaceBothSides::INFO,
    NothingToDesign::INFO,
    NoTelecomRoom::INFO,
    PinsContradict::INFO,
    IssuedGone::INFO,
    TemperaturesCrossed::INFO,
    ApartNamesOne::INFO,
    SurveyBroken::INFO,
];
