//! Which supply and battery carry an enclosure: the least dear pair that meets every demand, or the fault nearest to it.

use dw_core::{AmpHours, Amps, Hours, Money, Volts};
use dw_job::Catalogue;
use dw_job::catalogue::{Device, DeviceKind};

use super::battery;
use super::figures::{system_voltage, usable};
use super::loads::Totals;
use crate::survey::Settings;

/// Most battery strings in parallel on one charger. Source: *common practice*.
const MOST_STRINGS: u32 = 2;

/// A supply with the figures the choice needs; makers that leave one open are not chosen.
#[derive(Clone, Copy, Debug)]
pub(super) struct Supply<'a> {
    pub device: &'a Device,
    pub nominal: u32,
    pub volts: Volts,
    pub output: Amps,
    pub charger: Option<Amps>,
    pub largest: Option<AmpHours>,
}

impl<'a> Supply<'a> {
    /// The supply part of a device; `None` when output voltage or current is not stated.
    pub(super) fn of(device: &'a Device) -> Option<Self> {
        let supply = &device.supply;
        Some(Self {
            device,
            nominal: system_voltage(device)?,
            volts: Volts::new(usable(supply.output_voltage.map(Volts::get)).filter(|volts| *volts > 0.0)?),
            output: Amps::new(usable(supply.output.map(Amps::get))?),
            charger: usable(supply.charger.map(Amps::get)).map(Amps::new),
            largest: usable(supply.max_battery.map(AmpHours::get)).map(AmpHours::new),
        })
    }
}

/// A stocked battery with its figures.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stocked<'a> {
    pub device: &'a Device,
    pub capacity: AmpHours,
    pub make: Make,
    pub nominal: u32,
    pub end: Volts,
}

/// How a make of battery is rated.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Make {
    /// Hours of the rating.
    pub rated: Hours,
    /// Peukert exponent.
    pub peukert: f64,
}

/// Voltage of a lead-acid cell at which a slow discharge ends. Source: from memory (1.75 V).
pub(super) const END_OF_CELL: f64 = 1.75;

/// Peukert exponent of a sealed battery whose maker states none. Source: from memory (glass mat 1.05 to 1.15).
const PEUKERT: f64 = 1.15;

impl<'a> Stocked<'a> {
    fn of(device: &'a Device) -> Option<Self> {
        let data = &device.battery;
        let nominal = usable(data.nominal.map(Volts::get)).filter(|volts| *volts >= 1.0)?;
        let cells = libm::round(nominal / 2.0).max(1.0);
        Some(Self {
            device,
            capacity: AmpHours::new(usable(data.capacity.map(AmpHours::get)).filter(|ah| *ah > 0.001)?),
            make: Make {
                rated: Hours::new(usable(data.rated.map(Hours::get)).filter(|hours| *hours > 0.01).unwrap_or(20.0)),
                peukert: data.peukert.filter(|n| (1.0..=2.0).contains(n)).unwrap_or(PEUKERT),
            },
            nominal: libm::round(nominal) as u32,
            end: Volts::new(usable(data.end.map(Volts::get)).unwrap_or(END_OF_CELL * cells)),
        })
    }
}

/// Everything a catalogue offers for power.
#[derive(Debug)]
pub(super) struct Offer<'a> {
    pub supplies: Vec<Supply<'a>>,
    pub batteries: Vec<Stocked<'a>>,
    pub enclosures: Vec<&'a Device>,
    /// Nominal voltages of supplies and kits, in rising order.
    pub systems: Vec<u32>,
    /// Electric locks, in the order of ids.
    pub locks: Vec<&'a dw_core::DeviceId>,
}

impl<'a> Offer<'a> {
    pub(super) fn of(catalogue: &'a Catalogue) -> Self {
        let supplies: Vec<Supply<'a>> = catalogue.offered(DeviceKind::PowerSupply).filter_map(Supply::of).collect();
        let mut systems: Vec<u32> = supplies.iter().map(|supply| supply.nominal).collect();
        systems.extend(catalogue.offered(DeviceKind::Kit).filter_map(Supply::of).map(|supply| supply.nominal));
        systems.sort_unstable();
        systems.dedup();
        Self {
            supplies,
            batteries: catalogue.offered(DeviceKind::Battery).filter_map(Stocked::of).collect(),
            enclosures: catalogue.offered(DeviceKind::Enclosure).collect(),
            systems,
            locks: catalogue.of_kind(DeviceKind::Lock).map(|device| &device.id).collect(),
        }
    }
}

impl Offer<'_> {
    /// How the largest stocked battery is rated: what a need is told in when none fits.
    pub(super) fn usual_make(&self) -> Make {
        let largest = self.batteries.iter().max_by_key(|battery| battery.capacity);
        largest.map_or(Make { rated: Hours::new(20.0), peukert: PEUKERT }, |battery| battery.make)
    }
}

/// What an enclosure asks of its supply and battery.
#[derive(Clone, Copy, Debug)]
pub(super) struct Demand<'s> {
    pub nominal: u32,
    pub totals: Totals,
    /// Factor for the coldest the battery gets.
    pub temperature_factor: f64,
    pub settings: &'s Settings,
}

impl Demand<'_> {
    /// Time in alarm.
    pub(super) fn alarm(&self) -> Hours {
        self.settings.alarm_min.into()
    }

    /// Whether a battery is wanted at all.
    pub(super) fn wants_battery(&self) -> bool {
        self.settings.standby_h > Hours::ZERO
    }

    /// Rated capacity that lasts through standby and alarm when new and warm.
    pub(super) fn by_rate(&self, make: Make) -> AmpHours {
        let (standby, alarm) = ((self.totals.standby, self.settings.standby_h), (self.totals.active, self.alarm()));
        battery::rate_capacity(standby, alarm, make.rated, make.peukert)
    }

    /// Capacity needed, temperature, margin and ageing counted. Where a margin covers ageing the settings state an end of
    /// life of one, so that ageing is never counted twice.
    pub(super) fn needed(&self, make: Make) -> AmpHours {
        let (margin, end) = (self.settings.battery_margin, self.settings.battery_end_of_life);
        battery::corrected(self.by_rate(make), self.temperature_factor, margin, end)
    }

    /// What a supply may carry by the policy.
    pub(super) fn carries(&self, supply: &Supply<'_>) -> bool {
        supply.nominal == self.nominal
            && within(self.totals.active, supply.output * self.settings.supply_load_share)
            && within(self.totals.peak, supply.output)
    }

    /// Charging current a supply has while it carries the standby load.
    pub(super) fn charging(&self, supply: &Supply<'_>) -> Amps {
        let spare = Amps::new((supply.output.get() - self.totals.standby.get()).max(0.0));
        supply.charger.unwrap_or(Amps::ZERO).min(spare)
    }
}

/// Whether a figure is at most a limit, a rounding aside.
fn within(figure: Amps, limit: Amps) -> bool {
    figure.get() <= limit.get() + 1e-9
}

/// What is wrong with the best there is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Fault {
    /// Nothing.
    None,
    /// It recharges too slowly.
    RechargeSlow,
    /// No battery is large enough and yet allowed by the supply.
    NoBattery,
    /// No supply carries the load.
    NoSupply,
}

/// A supply and battery.
#[derive(Clone, Copy, Debug)]
pub(super) struct Selection<'a> {
    pub fault: Fault,
    pub supply: Option<Supply<'a>>,
    pub battery: Option<Stocked<'a>>,
    pub strings: u32,
    pub price: Money,
}

impl Selection<'_> {
    /// Batteries in all: strings times batteries in series.
    pub(super) fn batteries(&self) -> u32 {
        self.battery.map_or(0, |battery| self.strings * self.series(&battery))
    }

    fn series(&self, battery: &Stocked<'_>) -> u32 {
        let nominal = self.supply.map_or(battery.nominal, |supply| supply.nominal);
        (nominal / battery.nominal.max(1)).max(1)
    }

    pub(super) fn fitted(&self) -> AmpHours {
        self.battery.map_or(AmpHours::ZERO, |battery| battery.capacity * f64::from(self.strings))
    }

    /// Voltage at the end of discharge.
    pub(super) fn end(&self) -> Option<Volts> {
        self.battery.map(|battery| battery.end * f64::from(self.series(&battery)))
    }
}

/// The least dear supply and battery that meet a demand; ties go to fewer batteries, then to the earlier models. When
/// nothing meets it, the pair with the least fault.
pub(super) fn select<'a>(demand: &Demand<'_>, supplies: &[Supply<'a>], batteries: &[Stocked<'a>]) -> Selection<'a> {
    let mut best = Selection { fault: Fault::NoSupply, supply: None, battery: None, strings: 0, price: Money::ZERO };
    // Stocked sizes of one make share rating and exponent, so that the power is taken once.
    let mut known: Vec<(Make, AmpHours)> = Vec::new();
    let needed: Vec<AmpHours> = batteries
        .iter()
        .map(|battery| {
            if let Some((_, needed)) = known.iter().find(|row| row.0 == battery.make) {
                return *needed;
            }
            let needed = demand.needed(battery.make);
            known.push((battery.make, needed));
            needed
        })
        .collect();
    for supply in supplies.iter().filter(|supply| demand.carries(supply)) {
        let price = supply.device.price.unwrap_or(Money::ZERO);
        let fault = if demand.wants_battery() { Fault::NoBattery } else { Fault::None };
        keep(&mut best, Selection { fault, supply: Some(*supply), battery: None, strings: 0, price });
        if !demand.wants_battery() {
            continue;
        }
        for (battery, needed) in batteries.iter().zip(&needed) {
            if !supply.nominal.is_multiple_of(battery.nominal.max(1)) {
                continue;
            }
            let strings = battery::parallel_strings(*needed, battery.capacity).max(1);
            let fitted = battery.capacity * f64::from(strings);
            if strings > MOST_STRINGS || supply.largest.is_none_or(|largest| fitted > largest) {
                continue;
            }
            let recharge = battery::recharge_time(fitted, demand.charging(supply));
            let slow = recharge.is_none_or(|time| time.get() > demand.settings.recharge_h.get() + 1e-9);
            let fault = if slow { Fault::RechargeSlow } else { Fault::None };
            let mut selection = Selection { fault, supply: Some(*supply), battery: Some(*battery), strings, price };
            let each = battery.device.price.unwrap_or(Money::ZERO);
            selection.price = price + each * selection.batteries();
            keep(&mut best, selection);
        }
    }
    best
}

/// Keeps the better of two; the one found first when they are equal.
fn keep<'a>(best: &mut Selection<'a>, other: Selection<'a>) {
    let key = |selection: &Selection<'a>| (selection.fault, selection.price, selection.batteries());
    if best.supply.is_none() || key(&other) < key(best) {
        *best = other;
    }
}
