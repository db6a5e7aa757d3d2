//! Plain, harmless values of the results every pass's tests start from; a test changes what it is about.

use std::collections::BTreeMap;

use dw_core::{Celsius, Currency, Hours, Metres, Minutes, Money, OpeningId, StoreyId};
use dw_job::model::{EscapeDuty, ExitRequest, HeadEndKind, OpeningKind, ReaderPlace, Status, UnitSystem, WorkKind};
use rust_decimal::Decimal;

use crate::place::Placement;
use crate::survey::{MoneySettings, Population, Settings, Survey, Surveyed};

/// A survey of nothing with usual policy.
pub(crate) fn survey() -> Survey {
    Survey { settings: settings(), openings: Vec::new(), rooms: Vec::new(), groups: BTreeMap::new() }
}

fn settings() -> Settings {
    Settings {
        spare_percent: 20,
        growth_share: 0.1,
        factors_by_level: [0, 1, 1, 2, 3],
        transport: Vec::new(),
        head_end: HeadEndKind::OwnComputer,
        fail_mode: None,
        max_false_match: 0.001,
        offline_days: 3.0,
        standby_h: Hours::new(4.0),
        alarm_min: Minutes::new(5.0),
        recharge_h: Hours::new(24.0),
        battery_margin: 1.2,
        battery_end_of_life: 1.0,
        supply_load_share: 0.8,
        conductor_temperature_c: Celsius::new(20.0),
        lock_voltage_v: None,
        slack_m: Metres::new(1.0),
        drop_opening_m: Metres::new(3.0),
        drop_room_m: Metres::new(2.0),
        waste_share: 0.08,
        fill_share: 0.4,
        max_span_m: Metres::new(50.0),
        length_growth_share: 0.15,
        cable_families: Vec::new(),
        spare_cores: 0,
        money: money(),
        units: UnitSystem::Metric,
        locale: "en-GB".to_owned(),
    }
}

/// Euro, no mark-up, no tax.
fn money() -> MoneySettings {
    MoneySettings {
        currency: Currency::new("EUR").unwrap(),
        exchange_rate: Decimal::ONE,
        equipment_markup: Decimal::ZERO,
        labour_markup: Decimal::ZERO,
        tax: Decimal::ZERO,
        tax_name: "Tax".to_owned(),
        out_of_hours_factor: Decimal::new(15, 1),
        whole_life_years: 10.0,
        discount_share: 0.03,
        trench_metre: None,
    }
}

/// A new single door, approved, nobody's.
pub(crate) fn surveyed(mark: &OpeningId) -> Surveyed {
    Surveyed {
        mark: mark.clone(),
        name: mark.to_string(),
        kind: OpeningKind::Single,
        storey: StoreyId::new("ground"),
        x_m: Metres::ZERO,
        y_m: Metres::ZERO,
        work: WorkKind::New,
        out_of_hours: false,
        status: Status::Approved,
        orderable: true,
        zone: None,
        from_level: 0,
        to_level: 1,
        factors_in: 1,
        factors_out: 0,
        demanded: Vec::new(),
        refused: Vec::new(),
        exposure: Vec::new(),
        handing: None,
        reader_place: ReaderPlace::WallBox,
        reader_width_m: None,
        picture: false,
        fire_rating_min: Minutes::ZERO,
        escape: EscapeDuty::None,
        occupant_load: 0,
        fire_release: false,
        fail_mode: None,
        exit_request: ExitRequest::None,
        watch_position: false,
        four_state: false,
        tampers: 0,
        sounder: false,
        users: Population::default(),
        peak_flow: 0,
        duties: Vec::new(),
    }
}

/// A placement of nothing.
pub(crate) fn placement() -> Placement {
    Placement {
        controllers: Vec::new(),
        served: Vec::new(),
        unserved: Vec::new(),
        cost: Money::ZERO,
        bound: Money::ZERO,
        gap: 0.0,
        clashes: Vec::new(),
        staying_put: None,
        stopped: false,
        architecture: None,
        apart: Vec::new(),
        apart_costs: None,
    }
}
