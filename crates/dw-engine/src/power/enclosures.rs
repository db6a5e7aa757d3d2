//! Every enclosure with its supply and batteries, and the findings about it.

use std::collections::BTreeMap;

use dw_core::{Amps, Celsius, DeviceId, EnclosureId, Hours, Metres, Volts, Watts};
use dw_job::catalogue::Device;

use super::blocks::{Group, Packer, blocks};
use super::figures::{Figures, usable};
use super::heat::{self, Mounting};
use super::plan::{EnclosurePlan, OutputClass};
use super::rules::{
    BatteryTooCold, DeviceOutsideTemperature, EnclosurePlacesShort, NoBatteryFits, NoEnclosureFits, NoSupplyFits,
    RechargeTooSlow, SupplyOutputNotClassTwo, SupplyOutputOverloaded, SupplyOutputsTooFew, SupplyWithoutMains,
};
use super::supply::{Demand, Fault, Offer, Stocked, Supply};
use super::{battery, outputs, workings};
use crate::Cx;
use crate::equip::Equipment;
use crate::place::Placement;
use crate::survey::{Survey, SurveyedRoom};

/// Longest standby told, a year, where nothing draws current. Source: a bound of ours, not a figure of the trade.
const LONGEST: Hours = Hours::new(8760.0);

/// Shortest recharge counted, so that none asked for divides by nothing. Source: a bound of ours, not a figure of the trade.
const SHORTEST: Hours = Hours::new(0.1);

/// Voltages of an enclosure's output, for the feeds from it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Output {
    /// On mains.
    pub mains: Volts,
    /// At the end of the battery; `None` when no battery is wanted or none fits.
    pub end: Option<Volts>,
    /// Highest: on float with the battery at the room's lowest temperature.
    pub float: Volts,
}

/// Highest output of a supply: a charger raises its output in the cold; without a battery the output stays as stated.
fn float(supply: &Supply<'_>, battery: bool, coldest: Celsius) -> Volts {
    // Two volts a cell.
    let cells = (f64::from(supply.nominal) / 2.0).max(1.0);
    let each = battery::float_voltage(supply.volts / cells, battery::FLOAT_COEFFICIENT, coldest) * cells;
    if battery { each.max(supply.volts) } else { supply.volts }
}

/// Plans every enclosure of every room; the outputs are in the same order.
pub(super) fn plan<'a>(
    cx: &mut Cx<'a>,
    figures: &mut Figures<'a>,
    offer: &Offer<'a>,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
) -> (Vec<EnclosurePlan>, Vec<Option<Output>>) {
    let (mut plans, mut outputs) = (Vec::new(), Vec::new());
    for (room, blocks) in blocks(figures, survey, equipment, placement, &offer.systems) {
        let Some(room) = survey.room(&room) else { continue };
        let packer = Packer { offer, settings: &survey.settings, room };
        let first = plans.len();
        for (number, group) in packer.pack(figures, blocks).into_iter().enumerate() {
            let id = EnclosureId::new(&format!("{}/E{}", room.id, number + 1));
            let demand = packer.demand(group.nominal, group.totals);
            let end = group.selection.end();
            let coldest = room.temperature_min_c;
            outputs.push(group.selection.supply.map(|supply| Output {
                mains: supply.volts,
                end,
                float: float(&supply, end.is_some(), coldest),
            }));
            plans.push(Builder { cx, figures, offer, room, group: &group, demand }.build(id));
        }
        check_room(cx, room, placement, &plans[first..]);
    }
    (plans, outputs)
}

/// One enclosure while it is worked out.
struct Builder<'b, 'a> {
    cx: &'b mut Cx<'a>,
    figures: &'b mut Figures<'a>,
    offer: &'b Offer<'a>,
    room: &'b SurveyedRoom,
    group: &'b Group<'a>,
    demand: Demand<'b>,
}

impl<'a> Builder<'_, 'a> {
    fn build(mut self, id: EnclosureId) -> EnclosurePlan {
        let (group, selection) = (self.group, &self.group.selection);
        let make = selection.battery.map_or_else(|| self.offer.usual_make(), |battery| battery.make);
        let wanted = self.demand.wants_battery();
        let mut plan = EnclosurePlan {
            id,
            room: self.room.id.clone(),
            controllers: group.blocks.iter().filter_map(|block| block.controller).collect(),
            units: group.blocks.iter().filter_map(|block| block.opening.clone()).collect(),
            enclosure: group.enclosure.map(|device| device.id.clone()),
            supply: selection.supply.map(|supply| supply.device.id.clone()),
            supplies: u32::from(selection.supply.is_some()),
            battery: selection.battery.map(|battery| battery.device.id.clone()),
            batteries: selection.batteries(),
            nominal_v: Volts::new(f64::from(group.nominal)),
            standby_a: group.totals.standby,
            active_a: group.totals.active,
            peak_a: group.totals.peak,
            needed_ah: if wanted { self.demand.needed(make) } else { dw_core::AmpHours::ZERO },
            fitted_ah: selection.fitted(),
            standby_h: Hours::ZERO,
            recharge_h: Hours::ZERO,
            charger_a: Amps::ZERO,
            battery_years: None,
            heat_w: Watts::ZERO,
            mains_w: Watts::ZERO,
            inside_c: self.room.temperature_max_c,
            loads: group.blocks.iter().flat_map(|block| block.loads.iter().cloned()).collect(),
            outputs: Vec::new(),
            without_output: Vec::new(),
        };
        workings::sums(self.cx, &plan);
        if wanted {
            workings::needed(self.cx, &plan, &self.demand, make);
        }
        if let Some(supply) = selection.supply {
            self.warm(&mut plan, &supply);
            let highest = float(&supply, selection.end().is_some(), self.room.temperature_min_c);
            (plan.outputs, plan.without_output) =
                outputs::share_out(&plan.loads, supply.device, supply.output, highest);
            judge_outputs(self.cx, &plan, supply.device);
            if let Some(fitted) = selection.battery {
                self.standby(&mut plan, &fitted, &supply);
            }
        }
        self.judge(&plan);
        plan
    }

    /// Mains power, heat and temperature inside.
    fn warm(&mut self, plan: &mut EnclosurePlan, supply: &Supply<'a>) {
        let efficiency = self.figures.efficiency(supply.device);
        let charging = if plan.battery.is_some() { self.demand.charging(supply) } else { Amps::ZERO };
        let output = (plan.active_a + charging).min(supply.output.max(plan.active_a));
        plan.mains_w = heat::mains_power(supply.volts * output, efficiency);
        // Heat builds up over hours, so the usual load counts, not the moment when every lock is in its hungrier state.
        let outside: Amps = plan.loads.iter().filter(|load| load.opening.is_some()).map(|load| load.standby_a).sum();
        let input = heat::mains_power(supply.volts * plan.standby_a, efficiency);
        plan.heat_w = Watts::new((input - supply.volts * outside).get().max(0.0));
        workings::mains(self.cx, plan, supply.volts, output, efficiency, outside);
        let Some(enclosure) = self.group.enclosure else { return };
        let side = |side: Option<Metres>| usable(side.map(Metres::get)).map(Metres::new);
        let size = &enclosure.size;
        let (Some(height), Some(width), Some(depth)) = (side(size.height), side(size.width), side(size.depth)) else {
            self.figures.lacks(enclosure, "size");
            return;
        };
        let surface = heat::cooling_surface_m2(height, width, depth, Mounting::Wall);
        if let Some(rise) = heat::temperature_rise(plan.heat_w, heat::PAINTED_STEEL, surface) {
            plan.inside_c = Celsius::try_new(self.room.temperature_max_c.get() + rise).unwrap_or(plan.inside_c);
            workings::inside(self.cx, plan, self.room.temperature_max_c, surface);
        }
    }

    /// How long the fitted battery carries the load, and how long it takes to recharge.
    fn standby(&mut self, plan: &mut EnclosurePlan, fitted: &Stocked<'a>, supply: &Supply<'a>) {
        let end_of_life = self.demand.settings.battery_end_of_life;
        let usable = plan.fitted_ah * end_of_life / self.demand.temperature_factor;
        let time = |load| battery::runtime(usable, fitted.make.rated, load, fitted.make.peukert);
        // The alarm comes after standby and takes its share of the battery first.
        let alarm = self.demand.alarm().get();
        let for_alarm = time(plan.active_a).map_or(0.0, |lasts| alarm / lasts.get().max(1e-9));
        let left = (1.0 - for_alarm).max(0.0);
        plan.standby_h = time(plan.standby_a).map_or(LONGEST, |lasts| lasts * left).min(LONGEST);
        workings::standby(self.cx, plan, &self.demand, fitted.make, usable, left);
        plan.charger_a =
            battery::charger_current(plan.standby_a, plan.fitted_ah, self.demand.settings.recharge_h.max(SHORTEST));
        workings::charger(self.cx, plan, self.demand.settings.recharge_h);
        let stated = fitted.device.life_years.filter(|years| (0.0..=100.0).contains(years));
        if let Some(years) = stated {
            plan.battery_years = Some(battery::float_life_10c(years, plan.inside_c));
            workings::battery_life(self.cx, plan, years);
        }
        let charging = self.demand.charging(supply);
        if let Some(time) = battery::recharge_time(plan.fitted_ah, charging) {
            plan.recharge_h = time;
            workings::recharge(self.cx, plan, charging);
        }
    }

    fn judge(&mut self, plan: &EnclosurePlan) {
        let (selection, settings) = (&self.group.selection, self.demand.settings);
        if self.group.enclosure.is_none() {
            self.cx.sink.report(&NoEnclosureFits {
                room: plan.room.clone(),
                enclosure: plan.id.clone(),
                units: self.group.units,
            });
        }
        match selection.fault {
            Fault::None => {}
            Fault::NoSupply => {
                let open: Vec<&Supply<'a>> =
                    self.offer.supplies.iter().filter(|supply| supply.nominal == self.group.nominal).collect();
                let kit = self.group.blocks.iter().find_map(|block| block.kit.clone());
                let of_kit = kit.as_ref().and_then(|kit| self.figures.device(kit)).and_then(Supply::of);
                let largest = of_kit.map(|supply| supply.output);
                let largest = largest.or_else(|| open.iter().map(|supply| supply.output).max());
                self.cx.sink.report(&NoSupplyFits {
                    room: plan.room.clone(),
                    enclosure: plan.id.clone(),
                    nominal: plan.nominal_v,
                    active: plan.active_a,
                    peak: plan.peak_a,
                    largest: largest.unwrap_or(Amps::ZERO),
                    share: settings.supply_load_share,
                    kit,
                });
            }
            Fault::NoBattery => {
                let stocked = self.offer.batteries.iter().map(|battery| battery.capacity).max();
                let supplies = self.offer.supplies.iter().filter(|supply| self.demand.carries(supply));
                let borne = if self.group.blocks.iter().any(|block| block.kit.is_some()) {
                    selection.supply.and_then(|supply| supply.largest)
                } else {
                    supplies.filter_map(|supply| supply.largest).max()
                };
                self.cx.sink.report(&NoBatteryFits {
                    room: plan.room.clone(),
                    enclosure: plan.id.clone(),
                    needed: plan.needed_ah,
                    standby: settings.standby_h,
                    stocked,
                    borne,
                });
            }
            Fault::RechargeSlow => self.cx.sink.report(&RechargeTooSlow {
                room: plan.room.clone(),
                enclosure: plan.id.clone(),
                takes: plan.recharge_h,
                wanted: settings.recharge_h,
                battery: plan.fitted_ah,
            }),
        }
    }
}

/// What concerns the outputs of a supply: rating, number, class 2 where the code profile knows it.
fn judge_outputs(cx: &mut Cx<'_>, plan: &EnclosurePlan, supply: &Device) {
    let (room, enclosure, supply) = (&plan.room, &plan.id, &supply.id);
    let overloaded = plan.outputs.iter().filter(|output| output.peak_a.get() > output.rating_a.get() + 1e-9);
    for output in overloaded {
        let load = output.loads.first().and_then(|one| plan.loads.get(one.load));
        let Some(load) = load else { continue };
        cx.sink.report(&SupplyOutputOverloaded {
            room: room.clone(),
            enclosure: enclosure.clone(),
            output: output.number,
            device: load.device.clone(),
            opening: load.opening.clone(),
            peak: output.peak_a,
            rating: output.rating_a,
        });
    }
    let left: u32 = plan.without_output.iter().map(|one| one.count).sum();
    if left > 0 {
        let devices = plan.without_output.iter().filter_map(|one| plan.loads.get(one.load));
        let mut devices: Vec<DeviceId> = devices.map(|load| load.device.clone()).collect();
        devices.sort();
        devices.dedup();
        let (has, rating) = (plan.outputs.len(), plan.outputs.first().map_or(Amps::ZERO, |output| output.rating_a));
        cx.sink.report(&SupplyOutputsTooFew {
            room: room.clone(),
            enclosure: enclosure.clone(),
            supply: supply.clone(),
            has,
            rating,
            left,
            devices,
        });
    }
    // All outputs of a supply are alike, so that one finding speaks for them.
    let Some(output) = plan.outputs.first().filter(|output| output.class_2 != OutputClass::Listed) else { return };
    if cx.profile.class_2_source.is_some() {
        cx.sink.report(&SupplyOutputNotClassTwo {
            room: room.clone(),
            enclosure: enclosure.clone(),
            supply: supply.clone(),
            rating: output.rating_a,
            voltage: output.highest_v,
            limit: output.limit_a,
            beyond: output.class_2 == OutputClass::Beyond,
        });
    }
}

/// What concerns the room: mains, places, temperature.
fn check_room(cx: &mut Cx<'_>, room: &SurveyedRoom, placement: &Placement, plans: &[EnclosurePlan]) {
    if !room.mains && !plans.is_empty() {
        let watts = plans.iter().map(|plan| plan.mains_w).sum();
        cx.sink.report(&SupplyWithoutMains { room: room.id.clone(), enclosures: plans.len(), watts });
    }
    if let Some(places) = room.enclosure_places.filter(|places| plans.len() > *places as usize) {
        cx.sink.report(&EnclosurePlacesShort { room: room.id.clone(), wanted: plans.len(), places });
    }
    let batteries = plans.iter().any(|plan| plan.battery.is_some());
    if batteries && battery::temperature_factor(room.temperature_min_c).is_none() {
        cx.sink.report(&BatteryTooCold { room: room.id.clone(), coldest: room.temperature_min_c });
    }
    let mut warmest: BTreeMap<DeviceId, (Celsius, &EnclosureId)> = BTreeMap::new();
    for plan in plans {
        let controllers = plan.controllers.iter().filter_map(|index| placement.controllers.get(*index));
        let placed = controllers.map(|placed| &placed.device);
        for device in placed.chain(&plan.supply).chain(&plan.battery) {
            let warm = warmest.entry(device.clone()).or_insert((plan.inside_c, &plan.id));
            if plan.inside_c > warm.0 {
                *warm = (plan.inside_c, &plan.id);
            }
        }
    }
    let (mut cold, mut hot) = (Vec::new(), Vec::new());
    for (id, (warmest, enclosure)) in warmest {
        let Some(environment) = cx.device(&id).map(|device| &device.environment) else { continue };
        if let Some(low) = environment.temperature_min.filter(|low| room.temperature_min_c < *low) {
            cold.push(((id.clone(), room.temperature_min_c, low), enclosure));
        }
        if let Some(high) = environment.temperature_max.filter(|high| warmest.get() - high.get() >= SHOWN_K) {
            hot.push(((id, warmest, high), enclosure));
        }
    }
    for mut devices in [cold, hot] {
        // The device furthest outside its range speaks for the others.
        devices.sort_by(|(a, _), (b, _)| beyond(b).total_cmp(&beyond(a)).then_with(|| a.0.cmp(&b.0)));
        if let Some(enclosure) = devices.first().map(|(_, enclosure)| (*enclosure).clone()) {
            let devices = devices.into_iter().map(|(device, _)| device).collect();
            cx.sink.report(&DeviceOutsideTemperature { room: room.id.clone(), enclosure, devices });
        }
    }
}

/// Less than this is not shown in tenths of a kelvin, and means nothing beside a rise that is good to a fifth.
const SHOWN_K: f64 = 0.05;

/// How far a device is outside its range, in kelvin.
fn beyond((_, gets, bears): &(DeviceId, Celsius, Celsius)) -> f64 {
    (gets.get() - bears.get()).abs()
}
