//! What the survey pass gives: every value resolved, nothing silently guessed.

use std::collections::BTreeMap;

use dw_core::{
    Celsius, Currency, GroupId, Hours, Metres, Minutes, Money, OpeningId, RoomId, StoreyId, Volts, Watts, ZoneId,
};
use dw_job::model::{
    EscapeDuty, ExitRequest, Exposure, Factor, FailMode, Handing, HeadEndKind, OpeningKind, ReaderPlace, Status,
    Transport, UnitSystem, WorkKind,
};
use rust_decimal::Decimal;
use schemars::JsonSchema;
use serde::Serialize;

/// The survey made complete.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Survey {
    /// Policy with every value resolved.
    pub settings: Settings,
    /// Openings in the order of their marks.
    pub openings: Vec<Surveyed>,
    /// Telecom rooms in the order of their ids.
    pub rooms: Vec<SurveyedRoom>,
    /// People by group.
    pub groups: BTreeMap<GroupId, Population>,
}

impl Survey {
    /// The opening with this mark.
    pub fn opening(&self, mark: &OpeningId) -> Option<&Surveyed> {
        self.openings.binary_search_by(|opening| opening.mark.cmp(mark)).ok().map(|idx| &self.openings[idx])
    }

    /// The room with this id.
    pub fn room(&self, id: &RoomId) -> Option<&SurveyedRoom> {
        self.rooms.binary_search_by(|room| room.id.cmp(id)).ok().map(|idx| &self.rooms[idx])
    }
}

/// Policy with every value resolved; shares are fractions of one.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Settings {
    /// Ports that stay free, percent of those fitted, room by room.
    pub spare_percent: u32,
    /// Growth of people where a group gives none, as a share.
    pub growth_share: f64,
    /// Factors demanded at zone level 0 to 4.
    pub factors_by_level: [u32; 5],
    /// How data may travel.
    pub transport: Vec<Transport>,
    /// Who runs the head-end.
    pub head_end: HeadEndKind,
    /// What locks do when power is lost where neither opening nor rule says; `None` leaves it to cost.
    pub fail_mode: Option<FailMode>,
    /// Largest share of wrong acceptances in a search among everybody enrolled.
    pub max_false_match: f64,
    /// Days of events a controller keeps without its network.
    pub offline_days: f64,
    /// Standby on battery.
    pub standby_h: Hours,
    /// Alarm duty after standby.
    pub alarm_min: Minutes,
    /// Time to recharge.
    pub recharge_h: Hours,
    /// Margin on the battery, as a factor (1.2 for 20 %).
    pub battery_margin: f64,
    /// Capacity left at the end of the battery's life, as a share of rated. 1 when the margin covers ageing.
    pub battery_end_of_life: f64,
    /// Load on a supply at most, as a share of its rating.
    pub supply_load_share: f64,
    /// Conductor temperature for voltage drop.
    pub conductor_temperature_c: Celsius,
    /// Lock voltage preferred.
    pub lock_voltage_v: Option<Volts>,
    /// Slack at each end of a cable.
    pub slack_m: Metres,
    /// Drop from the way to the devices at an opening.
    pub drop_opening_m: Metres,
    /// Drop from the way to the enclosure in a room.
    pub drop_room_m: Metres,
    /// Waste on bought cable, as a share.
    pub waste_share: f64,
    /// Share of a way's cross-section that cables may take.
    pub fill_share: f64,
    /// Longest span between two supports.
    pub max_span_m: Metres,
    /// How much longer all routes are taken once more, as a share.
    pub length_growth_share: f64,
    /// Cable families allowed; empty for all.
    pub cable_families: Vec<String>,
    /// Spare cores in each cable to an opening.
    pub spare_cores: u32,
    /// Money.
    pub money: MoneySettings,
    /// Units for people to read.
    pub units: UnitSystem,
    /// Language and country of the papers.
    pub locale: String,
}

/// How prices are made.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct MoneySettings {
    /// Currency of the price.
    pub currency: Currency,
    /// Units of the job's currency for one of the catalogue's.
    #[schemars(with = "String")]
    pub exchange_rate: Decimal,
    /// Mark-up on equipment, as a share.
    #[schemars(with = "String")]
    pub equipment_markup: Decimal,
    /// Mark-up on labour, as a share.
    #[schemars(with = "String")]
    pub labour_markup: Decimal,
    /// Tax on the total, as a share.
    #[schemars(with = "String")]
    pub tax: Decimal,
    /// Name of the tax.
    pub tax_name: String,
    /// Factor on labour out of hours.
    #[schemars(with = "String")]
    pub out_of_hours_factor: Decimal,
    /// Years over which whole-life cost is counted.
    pub whole_life_years: f64,
    /// Interest a year, as a share.
    pub discount_share: f64,
    /// What a metre of trench costs the firm, in the currency of the price; `None` when the policy states none.
    pub trench_metre: Option<Money>,
}

impl MoneySettings {
    /// Units of the currency of the price for one of the catalogue's; one where they are the same or no rate is known.
    pub fn rate_from(&self, catalogue: Option<&Currency>) -> Decimal {
        let differs = catalogue.is_some_and(|currency| *currency != self.currency);
        if differs && self.exchange_rate > Decimal::ZERO { self.exchange_rate } else { Decimal::ONE }
    }
}

/// People of a group, or of all groups that use an opening.
#[derive(Clone, Debug, Default, PartialEq, Serialize, JsonSchema)]
pub struct Population {
    /// People today.
    pub today: u32,
    /// People with growth.
    pub planned: u32,
    /// Share with soiled hands.
    pub soiled_share: f64,
    /// Share wearing gloves.
    pub gloves_share: f64,
    /// Share handling chemicals.
    pub chemicals_share: f64,
    /// Share over sixty.
    pub over_sixty_share: f64,
    /// Vehicles, with growth.
    pub vehicles: u32,
    /// Passages a day, all people together.
    pub passages_per_day: f64,
    /// Finger templates to enrol, all people together.
    pub finger_templates: u32,
}

/// A telecom room with every value resolved. A limit of `None` is no limit.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct SurveyedRoom {
    /// Id.
    pub id: RoomId,
    /// Name on paper.
    pub name: String,
    /// Storey.
    pub storey: StoreyId,
    /// East.
    pub x_m: Metres,
    /// North.
    pub y_m: Metres,
    /// Most controllers.
    pub max_controllers: Option<u32>,
    /// Places for enclosures.
    pub enclosure_places: Option<u32>,
    /// Free network ports.
    pub network_ports: Option<u32>,
    /// Power left for devices fed over the network.
    pub network_power_w: Option<Watts>,
    /// Whether mains is there.
    pub mains: bool,
    /// Highest temperature in use.
    pub temperature_max_c: Celsius,
    /// Lowest temperature in use.
    pub temperature_min_c: Celsius,
    /// Where its network comes from over a radio bridge or through a trench; `None` where it has one of its own.
    pub uplink: Option<Uplink>,
}

/// What can bring the network to a room from another; at least one of the two lengths is stated.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Uplink {
    /// Room at the other end.
    pub from: RoomId,
    /// Distance of a radio bridge.
    pub bridge_m: Option<Metres>,
    /// Length of a trench.
    pub trench_m: Option<Metres>,
}

/// An opening with every value resolved.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct Surveyed {
    /// Mark.
    pub mark: OpeningId,
    /// Name on paper.
    pub name: String,
    /// Kind.
    pub kind: OpeningKind,
    /// Storey.
    pub storey: StoreyId,
    /// East.
    pub x_m: Metres,
    /// North.
    pub y_m: Metres,
    /// Hand of the door, where the survey gives it.
    pub handing: Option<Handing>,
    /// Sort of work.
    pub work: WorkKind,
    /// Whether work is only possible out of hours.
    pub out_of_hours: bool,
    /// How far along it is.
    pub status: Status,
    /// Whether it may be ordered: approved, and no question about it is open.
    pub orderable: bool,
    /// Zone one enters.
    pub zone: Option<ZoneId>,
    /// Protection level on the side one comes from.
    pub from_level: u32,
    /// Protection level on the side one enters.
    pub to_level: u32,
    /// Factors demanded on the way in.
    pub factors_in: u32,
    /// Factors demanded on the way out.
    pub factors_out: u32,
    /// Factors that must be among them.
    pub demanded: Vec<Factor>,
    /// Factors the customer will not have here.
    pub refused: Vec<Factor>,
    /// Weather and use.
    pub exposure: Vec<Exposure>,
    /// Where the reader can sit.
    pub reader_place: ReaderPlace,
    /// Width there.
    pub reader_width_m: Option<Metres>,
    /// Whether a picture is taken.
    pub picture: bool,
    /// Fire resistance; zero for none.
    pub fire_rating_min: Minutes,
    /// Part in escape.
    pub escape: EscapeDuty,
    /// People who would use it to escape.
    pub occupant_load: u32,
    /// Whether the fire alarm must release it.
    pub fire_release: bool,
    /// What the lock must do when power is lost, where somebody said so.
    pub fail_mode: Option<FailMode>,
    /// How people inside ask to leave.
    pub exit_request: ExitRequest,
    /// Whether the leaf's position is watched.
    pub watch_position: bool,
    /// Whether inputs tell four states apart.
    pub four_state: bool,
    /// Tamper inputs.
    pub tampers: u32,
    /// Whether a sounder tells at the door.
    pub sounder: bool,
    /// People who use it.
    pub users: Population,
    /// People an hour at the busiest.
    pub peak_flow: u32,
    /// Who does what.
    pub duties: Vec<DutySplit>,
}

/// Who supplies, fits, wires and tests one item; `None` where nobody was named.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DutySplit {
    /// The item: "lock", "mains spur".
    pub item: &'static str,
    /// Who supplies.
    pub supply: Option<String>,
    /// Who fits.
    pub fit: Option<String>,
    /// Who wires.
    pub wire: Option<String>,
    /// Who tests.
    pub test: Option<String>,
}
