//! The working of every figure of an enclosure, a lock feed and a network feed.

use dw_core::{AmpHours, Amps, Celsius, FigureId, Hours, Id, Input, Ohms, OhmsPerMetre, RoomId, Volts, Watts};

use super::enclosures::Output;
use super::loads::Totals;
use super::network::PowerClass;
use super::network_feeds::Line;
use super::plan::{DeviceFeed, EnclosurePlan, Load, LockFeed, NetworkFeed};
use super::radial::NodeLoad;
use super::supply::{Demand, Make};
use super::{Formula, battery, heat, network, voltage};
use crate::Cx;
use crate::equip::Role;

const STANDBY_LOAD: Formula = Formula {
    title: "Load on battery in standby",
    unit: "A",
    formula: "standby = sum of loads; a fail-safe lock counts its holding current, a fail-secure lock its working current for the share of time it is released",
    source: "Sum of loads; duty of locks, 5 s a passage in the busiest hour: common practice",
};
const ACTIVE_LOAD: Formula = Formula {
    title: "Highest lasting load",
    unit: "A",
    formula: "active = sum of loads, every lock in its hungrier state",
    source: "Sum of loads",
};
const PEAK_LOAD: Formula = Formula {
    title: "Highest load with the largest inrush",
    unit: "A",
    formula: "peak = active + largest inrush above its lasting current",
    source: "Sum of loads; two devices do not switch on in the same moment: common practice",
};
const NEEDED: Formula = Formula {
    title: "Battery capacity needed",
    unit: "Ah",
    formula: "needed = by_rate * temperature_factor * margin / end_of_life; by_rate = capacity at which standby * use(standby_a) + alarm * use(active_a) = 1; use(load) = max(load / capacity, (load * rated / capacity)^peukert / rated)",
    source: "Standby + alarm method of NFPA 72; Peukert's law, rated-hour form; IEEE Std 485 for temperature, margin and ageing",
};
const FITTED: Formula = Formula {
    title: "Battery capacity fitted",
    unit: "Ah",
    formula: "fitted = capacity of a string * strings, at least what is needed",
    source: "Batteries in series add voltage, in parallel capacity; rounded up to a stocked size",
};
const STANDBY_TIME: Formula = Formula {
    title: "Standby at the end of the battery's life",
    unit: "h",
    formula: "time = min(usable / standby_a, rated * (usable / (standby_a * rated))^peukert) * share left by the alarm; usable = fitted * end_of_life / temperature_factor",
    source: "Peukert's law, rated-hour form; IEEE Std 485 table 1; no credit below the rated current",
};
const MAINS: Formula = Formula {
    title: "Power taken from the mains",
    unit: "W",
    formula: "mains = output_a * voltage / efficiency; output_a = active + charging, at most the supply's rating",
    source: "Conservation of energy",
};
const HEAT: Formula = Formula {
    title: "Heat left in the room",
    unit: "W",
    formula: "heat = standby_a * voltage / efficiency - outside * voltage",
    source: "Conservation of energy: what goes in and is not delivered outside the room, at the usual load",
};
const INSIDE: Formula = Formula {
    title: "Temperature inside the enclosure at the room's highest",
    unit: "°C",
    formula: "inside = room + heat / (transfer * surface)",
    source: "DIN VDE 0660-500 (method now in IEC TR 60890), on a wall, painted steel 5.5 W/(m²·K); about ±20 %",
};

fn show(cx: &mut Cx<'_>, plan: &EnclosurePlan, name: &str, formula: &Formula, value: f64, inputs: Vec<Input>) {
    let figure = FigureId::new("enclosure", plan.id.text(), name);
    cx.sink.show(formula.working(figure, value, inputs));
}

/// The three sums of loads.
pub(super) fn sums(cx: &mut Cx<'_>, plan: &EnclosurePlan) {
    let terms = |current: fn(&Load) -> Amps| {
        let terms = plan.loads.iter().filter(|load| current(load) > Amps::ZERO).map(|load| {
            let at = load.opening.as_ref().map(|mark| format!(" at {mark}")).unwrap_or_default();
            format!("{} x {}{at} {:.3}", load.count, load.device, current(load).get())
        });
        vec![Input::new("loads", terms.collect::<Vec<_>>().join(" + "), "A")]
    };
    show(cx, plan, "standby_a", &STANDBY_LOAD, plan.standby_a.get(), terms(|load| load.standby_a));
    show(cx, plan, "active_a", &ACTIVE_LOAD, plan.active_a.get(), terms(|load| load.active_a));
    let inrush = plan.loads.iter().map(|load| load.inrush_a).max().unwrap_or(Amps::ZERO);
    let inputs = vec![Input::new("active", plan.active_a.get(), "A"), Input::new("largest inrush", inrush.get(), "A")];
    show(cx, plan, "peak_a", &PEAK_LOAD, plan.peak_a.get(), inputs);
}

/// The capacity needed and fitted.
pub(super) fn needed(cx: &mut Cx<'_>, plan: &EnclosurePlan, demand: &Demand<'_>, make: Make) {
    let settings = demand.settings;
    let inputs = vec![
        Input::new("standby_a", plan.standby_a.get(), "A"),
        Input::new("standby", settings.standby_h.get(), "h"),
        Input::new("active_a", plan.active_a.get(), "A"),
        Input::new("alarm", demand.alarm().get(), "h"),
        Input::new("rated", make.rated.get(), "h"),
        Input::new("peukert", make.peukert, ""),
        Input::new("by_rate", demand.by_rate(make).get(), "Ah"),
        Input::new("temperature_factor", demand.temperature_factor, ""),
        Input::new("margin", settings.battery_margin, ""),
        Input::new("end_of_life", settings.battery_end_of_life, ""),
    ];
    show(cx, plan, "needed_ah", &NEEDED, plan.needed_ah.get(), inputs);
    if let Some(battery) = &plan.battery {
        let inputs = vec![
            Input::new("battery", battery.text(), ""),
            Input::new("batteries", plan.batteries, ""),
            Input::new("needed", plan.needed_ah.get(), "Ah"),
        ];
        show(cx, plan, "fitted_ah", &FITTED, plan.fitted_ah.get(), inputs);
    }
}

/// Standby of the fitted battery.
pub(super) fn standby(
    cx: &mut Cx<'_>,
    plan: &EnclosurePlan,
    demand: &Demand<'_>,
    make: Make,
    usable: AmpHours,
    left: f64,
) {
    let inputs = vec![
        Input::new("fitted", plan.fitted_ah.get(), "Ah"),
        Input::new("end_of_life", demand.settings.battery_end_of_life, ""),
        Input::new("temperature_factor", demand.temperature_factor, ""),
        Input::new("usable", usable.get(), "Ah"),
        Input::new("standby_a", plan.standby_a.get(), "A"),
        Input::new("rated", make.rated.get(), "h"),
        Input::new("peukert", make.peukert, ""),
        Input::new("share left by the alarm", left, ""),
    ];
    show(cx, plan, "standby_h", &STANDBY_TIME, plan.standby_h.get(), inputs);
}

/// Time to recharge.
pub(super) fn recharge(cx: &mut Cx<'_>, plan: &EnclosurePlan, charging: Amps) {
    let inputs = vec![Input::new("charge", plan.fitted_ah.get(), "Ah"), Input::new("charging", charging.get(), "A")];
    show(cx, plan, "recharge_h", &battery::RECHARGE_TIME, plan.recharge_h.get(), inputs);
}

/// Output the charger must give.
pub(super) fn charger(cx: &mut Cx<'_>, plan: &EnclosurePlan, recharge: Hours) {
    let inputs = vec![
        Input::new("standby_load", plan.standby_a.get(), "A"),
        Input::new("capacity", plan.fitted_ah.get(), "Ah"),
        Input::new("recharge", recharge.get(), "h"),
    ];
    show(cx, plan, "charger_a", &battery::CHARGER_CURRENT, plan.charger_a.get(), inputs);
}

/// Years the battery is good for.
pub(super) fn battery_life(cx: &mut Cx<'_>, plan: &EnclosurePlan, at_25: f64) {
    let Some(years) = plan.battery_years else { return };
    let inputs = vec![Input::new("life_at_25", at_25, "year"), Input::new("temperature", plan.inside_c.get(), "°C")];
    show(cx, plan, "battery_years", &battery::FLOAT_LIFE_10C, years, inputs);
}

/// Mains power and heat.
pub(super) fn mains(
    cx: &mut Cx<'_>,
    plan: &EnclosurePlan,
    voltage: Volts,
    output: Amps,
    efficiency: f64,
    outside: Amps,
) {
    let ends = |output: Input| {
        vec![output, Input::new("voltage", voltage.get(), "V"), Input::new("efficiency", efficiency, "")]
    };
    show(cx, plan, "mains_w", &MAINS, plan.mains_w.get(), ends(Input::new("output_a", output.get(), "A")));
    let mut inputs = ends(Input::new("standby_a", plan.standby_a.get(), "A"));
    inputs.push(Input::new("outside", outside.get(), "A"));
    show(cx, plan, "heat_w", &HEAT, plan.heat_w.get(), inputs);
}

/// Temperature inside.
pub(super) fn inside(cx: &mut Cx<'_>, plan: &EnclosurePlan, room: Celsius, surface: f64) {
    let inputs = vec![
        Input::new("room", room.get(), "°C"),
        Input::new("heat", plan.heat_w.get(), "W"),
        Input::new("transfer", heat::PAINTED_STEEL, "W/(m²·K)"),
        Input::new("surface", surface, "m²"),
    ];
    show(cx, plan, "inside_c", &INSIDE, plan.inside_c.get(), inputs);
}

const AT_LOCK_MAINS: Formula = Formula {
    title: "Voltage at the lock on mains",
    unit: "V",
    formula: "at_lock = supply - current * loop",
    source: "Ohm's law",
};
const AT_LOCK_END: Formula = Formula {
    title: "Voltage at the lock with the battery at its end",
    unit: "V",
    formula: "at_lock = end of battery - current * loop",
    source: "Ohm's law; end of a lead-acid cell as its maker states, 1.75 V from memory",
};
const AT_LOCK_SHARED: Formula = Formula {
    title: "Voltage at the lock behind the unit at the opening",
    unit: "V",
    formula: "at_lock = at_unit - current * (loop - shared); at_unit = source - shared * (current + power / at_unit)",
    source: "Kirchhoff's laws, solved by Newton's method",
};
const LOCK_NEEDS: Formula = Formula {
    title: "Least voltage the lock works at",
    unit: "V",
    formula: "needs = stated by the maker, else nominal - 10 %",
    source: "Catalogue; rated voltage ±10 % is common practice",
};
const LOCK_CURRENT: Formula = Formula {
    title: "Current on the run at the worst moment",
    unit: "A",
    formula: "current = inrush, or the lasting current where that is more",
    source: "Catalogue",
};
const NETWORK_LOAD: Formula = Formula {
    title: "Power the devices take behind the splitter",
    unit: "W",
    formula: "load = active * voltage",
    source: "Sum of loads",
};
const NETWORK_SOURCE: Formula = Formula {
    title: "Power the switch must provide for",
    unit: "W",
    formula: "source = power of the class at the source",
    source: "IEEE 802.3-2018 clause 33 and 802.3bt-2018 clause 145, class table; switches are budgeted at the source",
};
const NETWORK_BUDGET: Formula = Formula {
    title: "Network power taken from the room's switches",
    unit: "W",
    formula: "power = sum of class power at the source",
    source: "IEEE 802.3 class table",
};

const NETWORK_LEFT: Formula = Formula {
    title: "Power left at the end of the network cable",
    unit: "W",
    formula: "left = min(class_power, source_power - (source_power / source_voltage)^2 * loop); loop = length * resistance * 2 / pairs",
    source: "IEEE 802.3-2018 clause 33, 802.3bt-2018 clause 145: a device may take the power of its class and no more, however short the cable",
};

/// Everything about the feed of a lock.
pub(super) fn lock(
    cx: &mut Cx<'_>,
    feed: &LockFeed,
    resistance: OhmsPerMetre,
    (transfer, stated_by): (Ohms, &str),
    Output { mains, end, .. }: Output,
    unit: Option<Watts>,
) {
    let mut show = |name: &str, formula: &Formula, value: f64, inputs: Vec<Input>| {
        cx.sink.show(formula.working(FigureId::new("opening", feed.mark.text(), name), value, inputs));
    };
    let cable = feed.cable.as_ref().map_or("in the wall, or none is enough", |cable| cable.text());
    let inputs = vec![
        Input::new("length", feed.length_m.get(), "m"),
        Input::new("resistance", resistance.get(), "Ω/m"),
        Input::new("parallel", feed.parallel, ""),
        Input::new("transfer", transfer.get(), "Ω"),
        Input::new("transfer stated by", stated_by, ""),
        Input::new("cable", cable, ""),
    ];
    show("loop_ohm", &voltage::LOOP_RESISTANCE, feed.loop_ohm.get(), inputs);
    let over = |from: Input| {
        let current = Input::new("current", feed.current_a.get(), "A");
        let mut inputs = vec![from, current, Input::new("loop", feed.loop_ohm.get(), "Ω")];
        if let Some(power) = unit {
            inputs.push(Input::new("shared with the unit", feed.shared_ohm.get(), "Ω"));
            inputs.push(Input::new("power of the unit", power.get(), "W"));
        }
        inputs
    };
    let on_mains = if unit.is_some() { &AT_LOCK_SHARED } else { &AT_LOCK_MAINS };
    let at_end = if unit.is_some() { &AT_LOCK_SHARED } else { &AT_LOCK_END };
    show("lock_mains_v", on_mains, feed.at_mains_v.get(), over(Input::new("supply", mains.get(), "V")));
    match end {
        Some(end) => {
            show("lock_end_v", at_end, feed.at_end_v.get(), over(Input::new("end of battery", end.get(), "V")));
        }
        None => show("lock_end_v", on_mains, feed.at_end_v.get(), over(Input::new("supply", mains.get(), "V"))),
    }
    let lock = vec![Input::new("lock", feed.lock.text(), "")];
    show("lock_needs_v", &LOCK_NEEDS, feed.needs_v.get(), lock.clone());
    show("lock_current_a", &LOCK_CURRENT, feed.current_a.get(), lock);
}

const AT_DEVICE: Formula = Formula {
    title: "Voltage at the device",
    unit: "V",
    formula: "at_device = source - loop * current; current = as stated, current * at_device / nominal for a resistance, power / at_device for what regulates; source = voltage at the unit for what hangs on one",
    source: "Kirchhoff's laws, solved by Newton's method on the whole network of the enclosure",
};
const DEVICE_MARGIN: Formula = Formula {
    title: "Least margin of the device",
    unit: "V",
    formula: "margin = least of at_mains - needs, at_end - needs, bears - at_float",
    source: "Catalogue; rated voltage ±10 % is common practice where nothing is stated",
};

/// Voltage at a device in the three cases, and its margin.
pub(super) fn device(
    cx: &mut Cx<'_>,
    feed: &DeviceFeed,
    output: &Output,
    (worst, at_rest): (NodeLoad, NodeLoad),
    unit: Option<&DeviceFeed>,
) {
    let role = feed.figure_name();
    let figure = |name: &str| FigureId::new("opening", feed.mark.text(), &format!("{role}_{name}"));
    let drawn = |load: NodeLoad| {
        if load.power > Watts::ZERO {
            Input::new("power", load.power.get(), "W")
        } else if load.siemens > 0.0 {
            Input::new("load", 1.0 / load.siemens, "Ω")
        } else {
            Input::new("current", load.current.get(), "A")
        }
    };
    let inputs = |source: Volts, load: NodeLoad| {
        let source = Input::new(if unit.is_some() { "voltage at the unit" } else { "source" }, source.get(), "V");
        vec![source, Input::new("loop", feed.loop_ohm.get(), "Ω"), drawn(load)]
    };
    // A lock on a run of its own has its own workings on mains and at the end of the battery.
    if feed.role != Role::Lock {
        let source = unit.map_or(output.mains, |unit| unit.at_mains_v);
        cx.sink.show(AT_DEVICE.working(figure("mains_v"), feed.at_mains_v.get(), inputs(source, worst)));
        if let (Some(at_end), Some(end)) = (feed.at_end_v, output.end) {
            let source = unit.and_then(|unit| unit.at_end_v).unwrap_or(end);
            cx.sink.show(AT_DEVICE.working(figure("end_v"), at_end.get(), inputs(source, worst)));
        }
    }
    let source = unit.map_or(output.float, |unit| unit.at_float_v);
    cx.sink.show(AT_DEVICE.working(figure("float_v"), feed.at_float_v.get(), inputs(source, at_rest)));
    let Some(margin) = feed.margin_v else { return };
    let mut inputs =
        vec![Input::new("at_mains", feed.at_mains_v.get(), "V"), Input::new("at_float", feed.at_float_v.get(), "V")];
    let further = [("at_end", feed.at_end_v), ("needs", feed.needs_v), ("bears", feed.bears_v)];
    inputs.extend(further.into_iter().filter_map(|(name, volts)| Some(Input::new(name, volts?.get(), "V"))));
    cx.sink.show(DEVICE_MARGIN.working(figure("margin_v"), margin.get(), inputs));
}

/// What hangs on a splitter.
pub(super) fn splitter(cx: &mut Cx<'_>, feed: &NetworkFeed, totals: &Totals, volts: Volts, efficiency: f64) {
    let figure = |name| FigureId::new("opening", feed.mark.text(), name);
    let inputs = vec![Input::new("active", totals.active.get(), "A"), Input::new("voltage", volts.get(), "V")];
    cx.sink.show(NETWORK_LOAD.working(figure("network_load_w"), feed.load_w.get(), inputs));
    let inputs =
        vec![Input::new("load", feed.load_w.get(), "W"), Input::new("efficiency_percent", efficiency * 100.0, "%")];
    cx.sink.show(network::SPLITTER_INPUT.working(figure("network_device_w"), feed.device_w.get(), inputs));
}

/// Power at the source, and what the cable leaves of it.
pub(super) fn network(
    cx: &mut Cx<'_>,
    feed: &NetworkFeed,
    class: PowerClass,
    (line, pairs, loop_ohm): (&Line, u32, Ohms),
    left: Watts,
) {
    let figure = |name| FigureId::new("opening", feed.mark.text(), name);
    let inputs = vec![
        Input::new("class", class.class, ""),
        Input::new("power of the class at the device", class.device_w, "W"),
        Input::new("power needed at the device", feed.device_w.get(), "W"),
    ];
    cx.sink.show(NETWORK_SOURCE.working(figure("network_source_w"), feed.source_w.get(), inputs));
    let inputs = vec![
        Input::new("class_power", class.device_w, "W"),
        Input::new("source_power", class.source_w, "W"),
        Input::new("source_voltage", class.source_v, "V"),
        Input::new("length", feed.length_m.get(), "m"),
        Input::new("resistance", line.resistance.get(), "Ω/m"),
        Input::new("pairs", pairs, ""),
        Input::new("loop", loop_ohm.get(), "Ω"),
        Input::new("cable", line.cable.as_str(), ""),
    ];
    cx.sink.show(NETWORK_LEFT.working(figure("network_left_w"), left.get(), inputs));
}

/// Network power of a room.
pub(super) fn budget(cx: &mut Cx<'_>, room: &RoomId, needs: Watts, feeds: usize, bridge_ends: usize) {
    let figure = FigureId::new("room", room.text(), "network_power_w");
    let inputs = vec![
        Input::new("feeds", feeds as f64, ""),
        Input::new("of them ends of radio bridges", bridge_ends as f64, ""),
    ];
    cx.sink.show(NETWORK_BUDGET.working(figure, needs.get(), inputs));
}
