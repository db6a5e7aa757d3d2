//! Rules of the equip pass, one file each.

use dw_core::{Rule, RuleInfo};

mod arrangement_not_possible;
mod biometrics_caution;
mod body_not_shared;
mod control_does_not_add_up;
mod device_breaks_demand;
mod device_figure_missing;
mod door_does_not_latch;
mod equipment_out_of_step;
mod existing_cable_too_few_cores;
mod existing_cannot_stay;
mod exit_read_on_escape;
mod face_in_the_sun;
mod factors_not_met;
mod fail_safe_strike_on_fire_door;
mod fail_secure_on_escape;
mod false_matches_too_many;
mod fire_door_not_latching;
mod hands_unfit;
mod lock_beyond_output;
mod lock_holds_escape;
mod lock_provisional;
mod mains_wanted;
mod metal_detector_caution;
mod nothing_fits;
mod older_users;
mod pair_not_settled;
mod panic_hardware_on_route;
mod panic_hardware_wanted;
mod passage_too_slow;
mod pin_against_advice;
mod pin_breaks_rule;
mod power_transfer_missing;
mod reader_too_wide;
mod released_electrically;
mod temperature_near_limit;
mod unit_on_attack_side;
mod vehicle_entrapment;

pub use arrangement_not_possible::ArrangementNotPossible;
pub use biometrics_caution::BiometricsCaution;
pub use body_not_shared::BodyNotShared;
pub use control_does_not_add_up::ControlDoesNotAddUp;
pub use device_breaks_demand::DeviceBreaksDemand;
pub use device_figure_missing::DeviceFigureMissing;
pub use door_does_not_latch::DoorDoesNotLatch;
pub use equipment_out_of_step::EquipmentOutOfStep;
pub use existing_cable_too_few_cores::ExistingCableTooFewCores;
pub use existing_cannot_stay::ExistingCannotStay;
pub use exit_read_on_escape::ExitReadOnEscape;
pub use face_in_the_sun::FaceInTheSun;
pub use factors_not_met::FactorsNotMet;
pub use fail_safe_strike_on_fire_door::FailSafeStrikeOnFireDoor;
pub use fail_secure_on_escape::FailSecureOnEscape;
pub use false_matches_too_many::FalseMatchesTooMany;
pub use fire_door_not_latching::FireDoorNotLatching;
pub use hands_unfit::HandsUnfit;
pub use lock_beyond_output::LockBeyondOutput;
pub use lock_holds_escape::LockHoldsEscape;
pub use lock_provisional::LockProvisional;
pub use mains_wanted::MainsWanted;
pub use metal_detector_caution::MetalDetectorCaution;
pub use nothing_fits::NothingFits;
pub use older_users::OlderUsers;
pub use pair_not_settled::PairNotSettled;
pub use panic_hardware_on_route::PanicHardwareOnRoute;
pub use panic_hardware_wanted::PanicHardwareWanted;
pub use passage_too_slow::PassageTooSlow;
pub use pin_against_advice::PinAgainstAdvice;
pub use pin_breaks_rule::PinBreaksRule;
pub use power_transfer_missing::PowerTransferMissing;
pub use reader_too_wide::ReaderTooWide;
pub use released_electrically::ReleasedElectrically;
pub use temperature_near_limit::TemperatureNearLimit;
pub use unit_on_attack_side::UnitOnAttackSide;
pub use vehicle_entrapment::VehicleEntrapment;

/// Every rule of the pass.
pub const RULES: &[RuleInfo] = &[
    NothingFits::INFO,
    PinBreaksRule::INFO,
    PinAgainstAdvice::INFO,
    LockHoldsEscape::INFO,
    FailSecureOnEscape::INFO,
    FireDoorNotLatching::INFO,
    FailSafeStrikeOnFireDoor::INFO,
    PanicHardwareWanted::INFO,
    PanicHardwareOnRoute::INFO,
    LockProvisional::INFO,
    PowerTransferMissing::INFO,
    ReaderTooWide::INFO,
    HandsUnfit::INFO,
    FaceInTheSun::INFO,
    FalseMatchesTooMany::INFO,
    FactorsNotMet::INFO,
    PassageTooSlow::INFO,
    ExistingCableTooFewCores::INFO,
    DeviceFigureMissing::INFO,
    BiometricsCaution::INFO,
    MetalDetectorCaution::INFO,
    VehicleEntrapment::INFO,
    PairNotSettled::INFO,
    DoorDoesNotLatch::INFO,
    MainsWanted::INFO,
    ExistingCannotStay::INFO,
    ExitReadOnEscape::INFO,
    OlderUsers::INFO,
    UnitOnAttackSide::INFO,
    ReleasedElectrically::INFO,
    LockBeyondOutput::INFO,
    BodyNotShared::INFO,
    TemperatureNearLimit::INFO,
    ArrangementNotPossible::INFO,
    EquipmentOutOfStep::INFO,
    DeviceBreaksDemand::INFO,
    ControlDoesNotAddUp::INFO,
];

/// What every finding that touches escape or fire says.
pub(super) const AUTHORITY: &str = "The local code, the authority having jurisdiction and licensed practice decide; this tool only says whether it finds a conflict with the rules it checks";

/// The source the code profile names, and who decides.
pub(super) fn cited(source: Option<&String>) -> Vec<String> {
    let mut notes: Vec<String> = source.map(|source| format!("Code profile: {source}")).into_iter().collect();
    notes.push(AUTHORITY.to_owned());
    notes
}
