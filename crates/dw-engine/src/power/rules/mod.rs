//! Rules of the power pass, one file each.

use dw_core::{Rule, RuleInfo};

mod battery_falls_short;
mod battery_too_cold;
mod device_figure_missing;
mod device_outside_temperature;
mod device_over_voltage;
mod device_under_voltage;
mod device_voltage_differs;
mod device_window_above_end;
mod enclosure_places_short;
mod loads_not_balanced;
mod lock_margin_thin;
mod lock_under_voltage_at_end;
mod lock_under_voltage_on_mains;
mod lock_voltage_differs;
mod lock_window_above_end;
mod margin_on_ageing;
mod network_budget_exceeded;
mod network_fed_without_battery;
mod network_feed_differs;
mod network_power_short;
mod no_battery_fits;
mod no_enclosure_fits;
mod no_supply_fits;
mod output_overloaded;
mod power_limit_exceeded;
mod recharge_too_slow;
mod splitter_inrush;
mod splitter_overloaded;
mod supply_output_not_class_two;
mod supply_output_overloaded;
mod supply_outputs_too_few;
mod supply_without_mains;
mod transfer_cores_too_few;
mod transfer_too_resistive;

pub use battery_falls_short::BatteryFallsShort;
pub use battery_too_cold::BatteryTooCold;
pub use device_figure_missing::DeviceFigureMissing;
pub use device_outside_temperature::DeviceOutsideTemperature;
pub use device_over_voltage::DeviceOverVoltage;
pub use device_under_voltage::DeviceUnderVoltage;
pub use device_voltage_differs::DeviceVoltageDiffers;
pub use device_window_above_end::DeviceWindowAboveEnd;
pub use enclosure_places_short::EnclosurePlacesShort;
pub use loads_not_balanced::LoadsNotBalanced;
pub use lock_margin_thin::{LockMarginThin, ThinMargin};
pub use lock_under_voltage_at_end::LockUnderVoltageAtEnd;
pub use lock_under_voltage_on_mains::LockUnderVoltageOnMains;
pub use lock_voltage_differs::LockVoltageDiffers;
pub use lock_window_above_end::LockWindowAboveEnd;
pub use margin_on_ageing::MarginOnAgeing;
pub use network_budget_exceeded::NetworkBudgetExceeded;
pub use network_fed_without_battery::NetworkFedWithoutBattery;
pub use network_feed_differs::NetworkFeedDiffers;
pub use network_power_short::NetworkPowerShort;
pub use no_battery_fits::NoBatteryFits;
pub use no_enclosure_fits::NoEnclosureFits;
pub use no_supply_fits::NoSupplyFits;
pub use output_overloaded::OutputOverloaded;
pub use power_limit_exceeded::PowerLimitExceeded;
pub use recharge_too_slow::RechargeTooSlow;
pub use splitter_inrush::SplitterInrush;
pub use splitter_overloaded::SplitterOverloaded;
pub use supply_output_not_class_two::SupplyOutputNotClassTwo;
pub use supply_output_overloaded::SupplyOutputOverloaded;
pub use supply_outputs_too_few::SupplyOutputsTooFew;
pub use supply_without_mains::SupplyWithoutMains;
pub use transfer_cores_too_few::TransferCoresTooFew;
pub use transfer_too_resistive::TransferTooResistive;

pub use super::feeds::Shortage;

/// Every rule of the pass.
pub const RULES: &[RuleInfo] = &[
    DeviceFigureMissing::INFO,
    LockUnderVoltageOnMains::INFO,
    LockUnderVoltageAtEnd::INFO,
    LockWindowAboveEnd::INFO,
    TransferTooResistive::INFO,
    TransferCoresTooFew::INFO,
    NoBatteryFits::INFO,
    RechargeTooSlow::INFO,
    NoSupplyFits::INFO,
    SupplyWithoutMains::INFO,
    SplitterOverloaded::INFO,
    SplitterInrush::INFO,
    NetworkPowerShort::INFO,
    NetworkBudgetExceeded::INFO,
    DeviceOutsideTemperature::INFO,
    PowerLimitExceeded::INFO,
    OutputOverloaded::INFO,
    BatteryTooCold::INFO,
    NoEnclosureFits::INFO,
    MarginOnAgeing::INFO,
    NetworkFedWithoutBattery::INFO,
    EnclosurePlacesShort::INFO,
    LockMarginThin::INFO,
    DeviceUnderVoltage::INFO,
    DeviceWindowAboveEnd::INFO,
    DeviceOverVoltage::INFO,
    SupplyOutputOverloaded::INFO,
    SupplyOutputsTooFew::INFO,
    SupplyOutputNotClassTwo::INFO,
    LoadsNotBalanced::INFO,
    LockVoltageDiffers::INFO,
    BatteryFallsShort::INFO,
    NetworkFeedDiffers::INFO,
    DeviceVoltageDiffers::INFO,
];

/// How far the conductor that comes nearest would reach.
fn reach(shortage: &Shortage) -> String {
    let tried = match &shortage.tried {
        Some(cable) if shortage.parallel > 1 => format!("{cable} with {} cores in parallel", shortage.parallel),
        Some(cable) => cable.to_string(),
        None => "the cable in the wall".to_owned(),
    };
    match shortage.reaches {
        Some(reaches) => format!("{tried} would reach {reaches:.0}"),
        None => format!("{tried} reaches nowhere at that current"),
    }
}
