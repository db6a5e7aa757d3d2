//! Power and battery sheets: every enclosure with its loads, the voltage at every lock, what the network feeds.

use dw_core::{Amps, DeviceId, Id, OpeningId, Volts};
use dw_engine::power::{
    DeviceFeed, EnclosurePlan, Load, LockFeed, NetworkFeed, OutputClass, OutputLoad, SourceCase, SupplyOutput,
};

use super::rows::{Field, by_key, field, grouped, known, table, total};
use super::view::{View, shown};
use super::words::UNKNOWN;
use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Table};

/// The power and battery sheets.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let plan = &view.design.power;
    let mut blocks = vec![Block::Facts(policy(view)), Block::Table(enclosures(view))];
    blocks.extend(view.cautions());
    for enclosure in &plan.enclosures {
        blocks.push(Block::Heading(format!("{}: {}", enclosure.id, view.room(&enclosure.room))));
        blocks.push(Block::Facts(facts(view, enclosure)));
        blocks.push(Block::Table(loads(view, enclosure)));
        if !enclosure.outputs.is_empty() {
            blocks.push(Block::Table(outputs(enclosure)));
        }
        if let Some(text) = left_over(enclosure) {
            blocks.push(Block::Text(text));
        }
    }
    blocks.push(Block::Heading("Voltage at the locks".to_owned()));
    blocks.push(Block::Text(
        "At the worst moment of each lock: its inrush, or its lasting current where that is more, over the conductors at their \
         warmest. The margin is what is left above the least voltage the lock works at when the battery is at its end."
            .to_owned(),
    ));
    blocks.push(Block::Table(locks(view)));
    blocks.push(Block::Heading("Voltage at every device".to_owned()));
    blocks.push(Block::Text(
        "On mains and with the battery at its end everything on a run is at work; on float everything is at rest and the room \
         at its coldest. The case named leaves the least margin, to the least voltage the device works at or, on float, to the \
         highest it bears."
            .to_owned(),
    ));
    blocks.push(Block::Table(devices(view)));
    if !plan.network_feeds.is_empty() {
        blocks.push(Block::Heading("Fed over the network".to_owned()));
        blocks.push(Block::Table(network(view)));
    }
    Paper {
        id: "power-and-batteries".to_owned(),
        title: "Power and batteries".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

/// Enclosures, loads, outputs, lock voltages, device voltages, network feeds.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    vec![enclosures(view), all_loads(view), all_outputs(view), locks(view), devices(view), network(view)]
}

/// What was asked of every enclosure.
fn policy(view: &View<'_>) -> Vec<Fact> {
    let settings = &view.design.survey.settings;
    let share = |share: f64| Cell::number(share * 100.0, 0);
    vec![
        Fact::new("Standby asked", Cell::number(settings.standby_h.get(), 1)).in_unit("h"),
        Fact::new("Alarm duty after standby", Cell::number(settings.alarm_min.get(), 0)).in_unit("min"),
        Fact::new("Recharge within", Cell::number(settings.recharge_h.get(), 0)).in_unit("h"),
        Fact::new("Margin on batteries", share(settings.battery_margin - 1.0)).in_unit("%"),
        Fact::new("Capacity left at the end of life", share(settings.battery_end_of_life)).in_unit("%"),
        Fact::new("Load on a supply at most", share(settings.supply_load_share)).in_unit("% of its rating"),
        Fact::new("Conductors counted at", view.units.temperature(settings.conductor_temperature_c))
            .in_unit(view.units.temperature_unit()),
    ]
}

/// A figure of an enclosure, linked to its working.
fn figure(enclosure: &EnclosurePlan, name: &str, value: f64, digits: u8) -> Cell {
    shown(Cell::number(value, digits), "enclosure", enclosure.id.text(), name)
}

fn enclosures(view: &View<'_>) -> Table {
    let number = |title: &str, unit: &str, digits: u8, name: &'static str, value: fn(&EnclosurePlan) -> f64| {
        field(Column::number(title, unit, 0.8), move |e: &&EnclosurePlan| figure(e, name, value(e), digits))
    };
    let fields = [
        field(Column::text("Enclosure", 1.1), |e: &&EnclosurePlan| Cell::text(e.id.text())),
        field(Column::text("Model", 1.2), |e: &&EnclosurePlan| known(e.enclosure.as_ref(), |d| Cell::text(d.text()))),
        field(Column::text("Supplies", 1.3), |e: &&EnclosurePlan| several(e.supplies, e.supply.as_ref())),
        field(Column::text("Batteries", 1.3), |e: &&EnclosurePlan| batteries(e)),
        number("System", "V", 0, "nominal_v", |e| e.nominal_v.get()),
        number("Standby", "A", 2, "standby_a", |e| e.standby_a.get()),
        number("Lasting", "A", 2, "active_a", |e| e.active_a.get()),
        number("Peak", "A", 2, "peak_a", |e| e.peak_a.get()),
        number("Needed", "Ah", 1, "needed_ah", |e| e.needed_ah.get()),
        number("Fitted", "Ah", 1, "fitted_ah", |e| e.fitted_ah.get()),
        number("Standby given", "h", 1, "standby_h", |e| e.standby_h.get()),
        number("Recharge", "h", 1, "recharge_h", |e| e.recharge_h.get()),
        number("Heat", "W", 0, "heat_w", |e| e.heat_w.get()),
        number("Mains", "W", 0, "mains_w", |e| e.mains_w.get()),
        field(Column::number("Inside", view.units.temperature_unit(), 0.8), |e: &&EnclosurePlan| {
            shown(view.units.temperature(e.inside_c), "enclosure", e.id.text(), "inside_c")
        }),
    ];
    table("power", "Enclosures", &fields, &view.design.power.enclosures.iter().collect::<Vec<_>>())
}

/// "2 × DW-P24-5", or a dash when none was found.
fn several(count: u32, device: Option<&DeviceId>) -> Cell {
    known(device, |device| Cell::text(if count == 1 { device.to_string() } else { format!("{count} × {device}") }))
}

fn batteries(enclosure: &EnclosurePlan) -> Cell {
    if enclosure.batteries == 0 && enclosure.battery.is_none() {
        return Cell::text(if enclosure.needed_ah.get() > 0.0 { UNKNOWN } else { "none asked" });
    }
    several(enclosure.batteries, enclosure.battery.as_ref())
}

/// One enclosure as its installer needs it.
fn facts(view: &View<'_>, enclosure: &EnclosurePlan) -> Vec<Fact> {
    let named = |device: Option<&DeviceId>, count: u32| {
        known(device, |device| {
            let several = if count == 1 { String::new() } else { format!("{count} × ") };
            Cell::text(format!("{several}{device}: {}", view.describe(device)))
        })
    };
    let controllers: Vec<&str> = enclosure
        .controllers
        .iter()
        .filter_map(|idx| view.design.placement.controllers.get(*idx))
        .map(|controller| controller.label.as_str())
        .collect();
    let units: Vec<&str> = enclosure.units.iter().map(Id::text).collect();
    let mut facts = vec![
        Fact::new("Enclosure", named(enclosure.enclosure.as_ref(), 1)),
        Fact::new("Supply", named(enclosure.supply.as_ref(), enclosure.supplies)),
        Fact::new("Batteries", named(enclosure.battery.as_ref(), enclosure.batteries)),
        Fact::new(
            "Controllers in it",
            Cell::text(if controllers.is_empty() { "none".to_owned() } else { controllers.join(", ") }),
        ),
        Fact::new("Battery needed", figure(enclosure, "needed_ah", enclosure.needed_ah.get(), 1)).in_unit("Ah"),
        Fact::new("Battery fitted", figure(enclosure, "fitted_ah", enclosure.fitted_ah.get(), 1)).in_unit("Ah"),
        Fact::new("Standby at the end of battery life", figure(enclosure, "standby_h", enclosure.standby_h.get(), 1))
            .in_unit("h"),
        Fact::new("Recharge", figure(enclosure, "recharge_h", enclosure.recharge_h.get(), 1)).in_unit("h"),
    ];
    if enclosure.battery.is_some() {
        let output = figure(enclosure, "charger_a", enclosure.charger_a.get(), 2);
        facts.push(Fact::new("Output to carry standby and recharge in the time asked", output).in_unit("A"));
    }
    if let Some(years) = enclosure.battery_years {
        let years = figure(enclosure, "battery_years", years, 1);
        facts.push(Fact::new("Replace the batteries, counted from installation, within", years).in_unit("years"));
    }
    if !units.is_empty() {
        facts.insert(4, Fact::new("Feeds units and locks of", Cell::text(units.join(", "))));
    }
    facts
}

/// Loads of one model in an enclosure, together.
struct Alike<'a> {
    device: &'a DeviceId,
    openings: Vec<&'a OpeningId>,
    count: u32,
    standby: Amps,
    active: Amps,
    inrush: Amps,
}

fn alike<'a>(loads: impl IntoIterator<Item = &'a Load>) -> Vec<Alike<'a>> {
    let models = by_key(loads, |load| &load.device);
    let together = |(device, loads): (&'a DeviceId, Vec<&'a Load>)| Alike {
        device,
        openings: loads.iter().filter_map(|load| load.opening.as_ref()).collect(),
        count: loads.iter().fold(0, |sum, load| load.count.saturating_add(sum)),
        standby: loads.iter().map(|load| load.standby_a).sum(),
        active: loads.iter().map(|load| load.active_a).sum(),
        inrush: loads.iter().map(|load| load.inrush_a).max().unwrap_or_default(),
    };
    models.into_iter().map(together).collect()
}

fn draws(load: &Load) -> bool {
    [load.standby_a, load.active_a, load.inrush_a].into_iter().any(|current| current > Amps::ZERO)
}

fn load_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, Alike<'a>>> {
    vec![
        field(Column::text("Model", 1.2), |load: &Alike<'_>| Cell::text(load.device.text())),
        field(Column::text("What it is", 3.2), |load: &Alike<'a>| Cell::text(view.describe(load.device))),
        field(Column::text("Openings", 3.0), |load: &Alike<'_>| {
            Cell::text(load.openings.iter().map(|mark| mark.text()).collect::<Vec<_>>().join(", "))
        }),
        field(Column::number("Quantity", "", 0.8), |load: &Alike<'_>| Cell::count(load.count)),
        field(Column::number("Standby", "A", 0.9), |load: &Alike<'_>| Cell::number(load.standby.get(), 3)),
        field(Column::number("Lasting", "A", 0.9), |load: &Alike<'_>| Cell::number(load.active.get(), 3)),
        field(Column::number("Inrush above it, of one", "A", 1.1), |load: &Alike<'_>| {
            Cell::number(load.inrush.get(), 3)
        }),
    ]
}

/// Loads of one enclosure by model; what draws nothing, such as a door contact, is left out.
fn loads(view: &View<'_>, enclosure: &EnclosurePlan) -> Table {
    let fields = load_fields(view);
    let mut table = table(
        "loads",
        &format!("Loads of {}", enclosure.id),
        &fields,
        &alike(enclosure.loads.iter().filter(|load| draws(load))),
    );
    let sums = [
        (4, figure(enclosure, "standby_a", enclosure.standby_a.get(), 3)),
        (5, figure(enclosure, "active_a", enclosure.active_a.get(), 3)),
    ];
    table.rows.push(total(fields.len(), "Total", sums));
    table
}

/// Loads of every enclosure, each opening's on its own.
fn all_loads(view: &View<'_>) -> Table {
    let groups: Vec<(String, Vec<Alike<'_>>)> = view
        .design
        .power
        .enclosures
        .iter()
        .map(|enclosure| (enclosure.id.to_string(), enclosure.loads.iter().flat_map(|load| alike([load])).collect()))
        .collect();
    grouped("loads", "Loads", &load_fields(view), &groups)
}

/// An output beside the enclosure it is in.
type OutputOf<'a> = (&'a EnclosurePlan, &'a SupplyOutput);

fn outputs_of(enclosure: &EnclosurePlan) -> Vec<OutputOf<'_>> {
    enclosure.outputs.iter().map(|output| (enclosure, output)).collect()
}

fn output_fields<'a>() -> Vec<Field<'a, OutputOf<'a>>> {
    let amps = |title: &str, value: fn(&SupplyOutput) -> Amps| {
        field(Column::number(title, "A", 0.9), move |of: &OutputOf<'_>| Cell::number(value(of.1).get(), 2))
    };
    vec![
        field(Column::number("Output", "", 0.7), |of: &OutputOf<'_>| Cell::count(of.1.number)),
        field(Column::text("What hangs on it", 5.0), |(enclosure, output): &OutputOf<'_>| {
            Cell::text(if output.loads.is_empty() { "free".to_owned() } else { hanging(enclosure, &output.loads) })
        }),
        amps("Lasting", |output| output.lasting_a),
        amps("With inrush", |output| output.peak_a),
        amps("Rating", |output| output.rating_a),
        field(Column::number("Highest voltage", "V", 0.9), |of: &OutputOf<'_>| Cell::number(of.1.highest_v.get(), 2)),
        field(Column::number("Class 2 limit", "A", 0.9), |of: &OutputOf<'_>| {
            known(of.1.limit_a, |limit| Cell::number(limit.get(), 2))
        }),
        field(Column::text("Class 2", 1.6), |of: &OutputOf<'_>| Cell::text(class_2(of.1.class_2))),
    ]
}

/// Outputs of the supply of one enclosure.
fn outputs(enclosure: &EnclosurePlan) -> Table {
    let title = format!("Outputs of the supply of {}", enclosure.id);
    table("outputs", &title, &output_fields(), &outputs_of(enclosure))
}

/// Outputs of every supply.
fn all_outputs(view: &View<'_>) -> Table {
    let enclosures = &view.design.power.enclosures;
    let groups: Vec<_> = enclosures.iter().map(|enclosure| (enclosure.id.to_string(), outputs_of(enclosure))).collect();
    grouped("outputs", "Outputs of supplies", &output_fields(), &groups)
}

/// Devices on an output, as an installer reads them: model and opening, with a number where there are several.
fn hanging(enclosure: &EnclosurePlan, on: &[OutputLoad]) -> String {
    let name = |on: &OutputLoad| {
        let load = enclosure.loads.get(on.load)?;
        let several = if on.count == 1 { String::new() } else { format!("{} × ", on.count) };
        let mark = load.opening.as_ref().map_or(String::new(), |mark| format!(" of {mark}"));
        Some(format!("{several}{}{mark}", load.device))
    };
    on.iter().filter_map(name).collect::<Vec<_>>().join(", ")
}

/// What found no output, in words.
fn left_over(enclosure: &EnclosurePlan) -> Option<String> {
    let left = hanging(enclosure, &enclosure.without_output);
    (!left.is_empty()).then(|| format!("No output is left for {left}."))
}

fn class_2(class: OutputClass) -> &'static str {
    match class {
        OutputClass::Listed => "within, listed",
        OutputClass::NotListed => "within, listing not stated",
        OutputClass::Beyond => "beyond",
    }
}

fn locks(view: &View<'_>) -> Table {
    let volts = |title: &str, name: &'static str, value: fn(&LockFeed) -> Volts| {
        field(Column::number(title, "V", 0.9), move |feed: &&LockFeed| {
            shown(Cell::number(value(feed).get(), 2), "opening", feed.mark.text(), name)
        })
    };
    let fields = [
        field(Column::text("Mark", 1.0), |feed: &&LockFeed| Cell::text(feed.mark.text())),
        field(Column::text("Opening", 2.0), |feed: &&LockFeed| Cell::text(view.opening_name(&feed.mark))),
        field(Column::text("Lock", 1.3), |feed: &&LockFeed| Cell::text(feed.lock.text())),
        field(Column::text("Fed from", 1.2), |feed: &&LockFeed| {
            Cell::text(feed.enclosure.as_ref().map_or("splitter at the opening", |id| id.text()))
        }),
        field(Column::text("Cable", 1.3), |feed: &&LockFeed| paralleled(feed.cable.as_ref(), feed.parallel)),
        field(view.units.length_column("Length", 0.9), |feed: &&LockFeed| view.units.length(feed.length_m, 1)),
        field(Column::number("Loop", "Ω", 0.8), |feed: &&LockFeed| {
            shown(Cell::number(feed.loop_ohm.get(), 2), "opening", feed.mark.text(), "loop_ohm")
        }),
        field(Column::number("Current", "A", 0.8), |feed: &&LockFeed| {
            shown(Cell::number(feed.current_a.get(), 2), "opening", feed.mark.text(), "lock_current_a")
        }),
        volts("On mains", "lock_mains_v", |feed| feed.at_mains_v),
        volts("Battery at its end", "lock_end_v", |feed| feed.at_end_v),
        volts("Needed", "lock_needs_v", |feed| feed.needs_v),
        field(Column::number("Margin", "V", 0.9), |feed: &&LockFeed| {
            let least = feed.at_mains_v.min(feed.at_end_v);
            Cell::number((least - feed.needs_v).get(), 2)
        }),
    ];
    table("lock-voltages", "Locks", &fields, &view.design.power.locks.iter().collect::<Vec<_>>())
}

fn devices(view: &View<'_>) -> Table {
    let volts = |title: &str, name: &'static str, value: fn(&DeviceFeed) -> Option<Volts>| {
        field(Column::number(title, "V", 0.8), move |feed: &&DeviceFeed| {
            let figure = format!("{}_{name}", feed.figure_name());
            known(value(feed), |volts| shown(Cell::number(volts.get(), 2), "opening", feed.mark.text(), &figure))
        })
    };
    let fields = [
        field(Column::text("Mark", 0.9), |feed: &&DeviceFeed| Cell::text(feed.mark.text())),
        field(Column::text("Device", 1.3), |feed: &&DeviceFeed| Cell::text(feed.device.text())),
        field(Column::text("Fed from", 1.4), |feed: &&DeviceFeed| Cell::text(fed_from(feed))),
        field(Column::text("Cable", 1.4), |feed: &&DeviceFeed| paralleled(feed.cable.as_ref(), feed.parallel)),
        field(view.units.length_column("Length", 0.8), |feed: &&DeviceFeed| view.units.length(feed.length_m, 1)),
        field(Column::number("Loop", "Ω", 0.7), |feed: &&DeviceFeed| Cell::number(feed.loop_ohm.get(), 2)),
        field(Column::number("Current", "A", 0.7), |feed: &&DeviceFeed| Cell::number(feed.current_a.get(), 2)),
        volts("On mains", "mains_v", |feed| Some(feed.at_mains_v)),
        volts("On float", "float_v", |feed| Some(feed.at_float_v)),
        volts("Battery at its end", "end_v", |feed| feed.at_end_v),
        field(Column::number("Needed", "V", 0.8), |feed: &&DeviceFeed| {
            known(feed.needs_v, |volts| Cell::number(volts.get(), 2))
        }),
        field(Column::number("Borne", "V", 0.8), |feed: &&DeviceFeed| {
            known(feed.bears_v, |volts| Cell::number(volts.get(), 2))
        }),
        field(Column::text("Least margin", 1.0), |feed: &&DeviceFeed| Cell::text(governs(feed.governs))),
        volts("Margin", "margin_v", |feed| feed.margin_v),
    ];
    table("device-voltages", "Devices", &fields, &view.design.power.devices.iter().collect::<Vec<_>>())
}

fn fed_from(feed: &DeviceFeed) -> String {
    let from = feed.enclosure.as_ref().map_or("splitter at the opening", |id| id.text());
    if feed.on_unit { format!("{from}, behind the unit") } else { from.to_owned() }
}

/// The case that leaves the least margin, in words.
fn governs(case: SourceCase) -> &'static str {
    match case {
        SourceCase::Mains => "on mains",
        SourceCase::Float => "on float",
        SourceCase::End => "battery at its end",
    }
}

/// A cable, with conductors in parallel where one is not enough.
fn paralleled(cable: Option<&DeviceId>, parallel: u32) -> Cell {
    match cable {
        Some(device) if parallel > 1 => Cell::text(format!("{device}, {parallel} in parallel")),
        Some(device) => Cell::text(device.text()),
        None => Cell::text(UNKNOWN),
    }
}

fn network(view: &View<'_>) -> Table {
    let watts = |title: &str, name: &'static str, value: fn(&NetworkFeed) -> f64| {
        field(Column::number(title, "W", 1.0), move |feed: &&NetworkFeed| {
            shown(Cell::number(value(feed), 1), "opening", feed.mark.text(), name)
        })
    };
    let fields = [
        field(Column::text("Mark", 1.0), |feed: &&NetworkFeed| Cell::text(feed.mark.text())),
        field(Column::text("Opening", 2.4), |feed: &&NetworkFeed| Cell::text(view.opening_name(&feed.mark))),
        field(Column::text("Switch in", 1.0), |feed: &&NetworkFeed| Cell::text(feed.room.text())),
        field(Column::text("Splitter", 1.3), |feed: &&NetworkFeed| {
            feed.splitter.as_ref().map_or_else(Cell::empty, |device| Cell::text(device.text()))
        }),
        field(view.units.length_column("Cable", 1.0), |feed: &&NetworkFeed| view.units.length(feed.length_m, 1)),
        watts("Devices take", "network_load_w", |feed| feed.load_w.get()),
        watts("At the end of the cable", "network_device_w", |feed| feed.device_w.get()),
        watts("At the switch", "network_source_w", |feed| feed.source_w.get()),
        field(Column::number("Class (IEEE 802.3)", "", 1.0), |feed: &&NetworkFeed| known(feed.class, Cell::count)),
    ];
    table("network-feeds", "Network feeds", &fields, &view.design.power.network_feeds.iter().collect::<Vec<_>>())
}
