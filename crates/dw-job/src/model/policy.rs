//! Policy: what the customer and the firm want of every opening, and the money.

use dw_core::{Currency, DeviceId, Hours, Metres, Money};

use super::{CardPolicy, FailMode, Works};
use crate::text::{record, section, words};

words! {
    /// Units for people to read.
    pub enum UnitSystem {
        /// Metres and square millimetres.
        Metric "metric",
        /// Feet, inches and wire gauge.
        Us "us",
    }
}

section! {
    /// The heading of a job: customer, site, papers.
    pub struct Heading {
        /// Job number.
        number: Option<String>,
        /// Title of the undertaking.
        title: Option<String>,
        /// Customer.
        customer: Option<String>,
        /// Site.
        site: Option<String>,
        /// Address of the site, one line.
        address: Option<String>,
        /// Date of the papers, `2026-11-25`.
        date: Option<String>,
        /// Revision letter or number.
        revision: Option<String>,
        /// Who prepared it.
        prepared_by: Option<String>,
        /// Who checked it.
        checked_by: Option<String>,
        /// Language and country of the papers: `en-GB`, `en-US`, `de-DE`.
        locale: Option<String>,
        /// Units for people to read.
        units: Option<UnitSystem>,
        /// Days the proposal holds.
        validity_days: Option<u32>,
        /// What the proposal does not include, one item a line.
        exclusions: Vec<String>,
    }
}

words! {
    /// How data may travel.
    pub enum Transport {
        /// Copper cable to a telecom room.
        Wire "wire",
        /// Network cable to a switch.
        Network "network",
        /// Radio bridge.
        Radio "radio",
    }
}

words! {
    /// Who runs the head-end.
    pub enum HeadEndKind {
        /// The customer's own computer.
        OwnComputer "own-computer",
        /// A dedicated appliance.
        Appliance "appliance",
        /// Hosted by the installer.
        Hosted "hosted",
    }
}

section! {
    /// Money: currency, margin, tax, rates.
    pub struct MoneyPolicy {
        /// Currency of the price.
        currency: Option<Currency>,
        /// Units of the job's currency for one of the catalogue's, when they differ.
        exchange_rate: Option<f64>,
        /// Mark-up on equipment, percent.
        equipment_markup_percent: Option<f64>,
        /// Mark-up on labour, percent.
        labour_markup_percent: Option<f64>,
        /// Tax on the total, percent.
        tax_percent: Option<f64>,
        /// Name of the tax.
        tax_name: Option<String>,
        /// Factor on labour out of hours.
        out_of_hours_factor: Option<f64>,
        /// Years over which whole-life cost is counted.
        whole_life_years: Option<f64>,
        /// Interest for whole-life cost, percent a year.
        discount_percent: Option<f64>,
        /// What a metre of trench costs the firm, with duct and reinstatement, in the currency of the price.
        trench_price_per_metre: Option<Money>,
    }
}

section! {
    /// Power and standby.
    pub struct PowerPolicy {
        /// Standby on battery.
        standby: Option<Hours>,
        /// Duty in alarm after standby.
        alarm: Option<dw_core::Minutes>,
        /// Time to recharge.
        recharge: Option<Hours>,
        /// Margin on the battery, percent.
        battery_margin_percent: Option<f64>,
        /// Capacity left at the end of the battery's life, percent of rated.
        battery_end_of_life_percent: Option<f64>,
        /// Load on a supply at most, percent of its rating.
        supply_load_percent: Option<f64>,
        /// Conductor temperature for voltage drop.
        conductor_temperature: Option<dw_core::Celsius>,
        /// Lock voltage the firm prefers: 12 or 24.
        lock_voltage: Option<dw_core::Volts>,
    }
}

section! {
    /// Cable practice.
    pub struct CablePolicy {
        /// Slack at each end.
        slack: Option<Metres>,
        /// Drop from the way to the device at the opening.
        drop_opening: Option<Metres>,
        /// Drop from the way to the enclosure in the room.
        drop_room: Option<Metres>,
        /// Waste on bought cable, percent.
        waste_percent: Option<f64>,
        /// Share of a way's cross-section that cables may take, percent.
        fill_percent: Option<f64>,
        /// Longest span between two supports.
        max_span: Option<Metres>,
        /// How much longer all routes are taken once more, percent, to show what the plan would be then.
        length_growth_percent: Option<f64>,
        /// Cable families allowed, by catalogue family name; all when none is named.
        families: Vec<String>,
        /// Spare cores in each cable to an opening.
        spare_cores: Option<u32>,
    }
}

section! {
    /// Policy of the job.
    pub struct Policy {
        /// Ports that stay free, percent of those fitted, room by room; 90 at most.
        spare_percent: Option<f64>,
        /// Growth of people where a group gives none, percent.
        growth_percent: Option<f64>,
        /// Code profile, by name.
        code_profile: Option<String>,
        /// Factors demanded at zone level 0, 1, 2, 3, 4.
        factors_by_level: Vec<u32>,
        /// How data may travel; all when none is named.
        transport: Vec<Transport>,
        /// Who runs the head-end.
        head_end: Option<HeadEndKind>,
        /// What locks do when power is lost where an opening does not say.
        fail_mode: Option<FailMode>,
        /// Largest share of wrong acceptances in a search among everybody enrolled.
        max_false_match: Option<f64>,
        /// Days of events a controller must keep without its network.
        offline_days: Option<f64>,
        /// Devices the firm will not use.
        refused_devices: Vec<DeviceId>,
        /// Money.
        money: MoneyPolicy,
        /// Power.
        power: PowerPolicy,
        /// Cable.
        cable: CablePolicy,
        /// New cards.
        cards: CardPolicy,
        /// Split of works where an opening does not say.
        works: Works,
    }
}

record! {
    /// A device bought by number besides those at openings: visitor desks, enrolment stations, cards, screening.
    pub struct Extra: "extra" by row {
        /// The device.
        device: Option<DeviceId>,
        /// How many.
        count: Option<u32>,
        /// Where it goes, in words.
        location: Option<String>,
    }
}
