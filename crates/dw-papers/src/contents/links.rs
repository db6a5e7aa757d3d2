//! Links: lines of readers, the network by room, addresses, who opens connections to whom, radio bridges.

use dw_core::Id;
use dw_engine::link::{
    BridgeSheet, Bus, BusReader, DataLine, FirewallRow, NetworkDevice, NetworkNote, Obstacle, PlannedSubnet,
    RoomNetwork,
};

use super::rows::{field, grouped, known, table};
use super::view::{View, shown};
use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Table};

/// Heading, whether there is nothing to show, and the table.
type Part = (&'static str, bool, fn(&View<'_>) -> Table);

/// The paper; only its opening words where the design has neither lines nor network.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let plan = &view.design.link;
    let mut blocks = vec![Block::Text(
        "Readers by line, devices by address, and who may open a connection to whom. Addresses and VLANs are a plan for whoever \
         runs the network to confirm; what a country allows on the air is for its authority to say."
            .to_owned(),
    )];
    let parts: [Part; 8] = [
        ("Buses", plan.buses.is_empty(), buses),
        ("Readers on buses", plan.buses.is_empty(), bus_readers),
        ("Readers on two data lines", plan.data_lines.is_empty(), data_lines),
        ("Network by room", plan.rooms.is_empty(), rooms),
        ("Subnets", plan.subnets.is_empty(), subnets),
        ("Addresses", plan.devices.is_empty(), devices),
        ("Permitted connections", plan.firewall.is_empty(), firewall),
        ("What the network must provide", plan.notes.is_empty(), notes),
    ];
    for (heading, is_empty, table) in parts {
        if !is_empty {
            blocks.push(Block::Heading(heading.to_owned()));
            blocks.push(Block::Table(table(view)));
        }
    }
    for sheet in &plan.bridges {
        blocks.push(Block::Heading(format!(
            "Radio bridge to {} from {}",
            view.room(&sheet.room),
            view.room(&sheet.from)
        )));
        blocks.push(Block::Facts(bridge_facts(view, sheet)));
        if !sheet.obstacles.is_empty() {
            blocks.push(Block::Table(obstacles(view, &[sheet])));
        }
    }
    Paper { id: "links".to_owned(), title: "Links".to_owned(), orientation: Orientation::Landscape, blocks }
}

/// Buses and their readers, data lines, network, addresses, connections, bridges and what stands in their paths.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    let sheets: Vec<&BridgeSheet> = view.design.link.bridges.iter().collect();
    vec![
        buses(view),
        bus_readers(view),
        data_lines(view),
        rooms(view),
        subnets(view),
        devices(view),
        firewall(view),
        bridges(view),
        obstacles(view, &sheets),
    ]
}

fn buses(view: &View<'_>) -> Table {
    let milliseconds = |title: &str, name: &'static str, value: fn(&dw_engine::link::Polling) -> f64| {
        field(Column::number(title, "ms", 0.8), move |bus: &&Bus| {
            known(bus.polling.as_ref(), |polling| shown(Cell::number(value(polling), 0), "bus", &bus.label, name))
        })
    };
    let fields = [
        field(Column::text("Bus", 1.5), |bus: &&Bus| Cell::text(&bus.label)),
        field(Column::number("Readers", "", 0.7), |bus: &&Bus| Cell::number(bus.readers.len() as f64, 0)),
        field(view.units.length_column("Trunk", 0.7), |bus: &&Bus| view.units.length(bus.trunk_m, 1)),
        field(view.units.length_column("At most", 0.7), |bus: &&Bus| {
            shown(view.units.length(bus.longest_m, 0), "bus", &bus.label, "longest_m")
        }),
        field(view.units.length_column("Longest branch", 0.8), |bus: &&Bus| view.units.length(bus.branch_m, 1)),
        field(Column::number("Unit loads of 32", "", 0.8), |bus: &&Bus| {
            shown(Cell::number(bus.unit_loads, 1), "bus", &bus.label, "unit_loads")
        }),
        field(Column::number("Bias, each wire", "Ω", 0.8), |bus: &&Bus| Cell::number(bus.bias_ohm.get(), 0)),
        field(Column::text("Terminators of 120 Ω", 2.2), |bus: &&Bus| Cell::text(bus.terminators.join("; "))),
        field(Column::number("Set to", "bit/s", 0.8), |bus: &&Bus| {
            known(bus.polling, |_| Cell::number(f64::from(bus.bit_rate), 0))
        }),
        milliseconds("Round", "cycle_ms", |polling| polling.cycle_ms),
        milliseconds("Longest wait", "wait_ms", |polling| polling.wait_ms),
        milliseconds("One reader dead", "wait_one_dead_ms", |polling| polling.wait_one_dead_ms),
    ];
    table("buses", "Buses", &fields, &view.design.link.buses.iter().collect::<Vec<_>>())
}

fn bus_readers(view: &View<'_>) -> Table {
    let fields = [
        field(Column::number("Address", "", 0.7), |reader: &&BusReader| Cell::count(reader.address)),
        field(Column::text("Mark", 1.0), |reader: &&BusReader| Cell::text(reader.mark.text())),
        field(Column::text("Opening", 2.4), |reader: &&BusReader| Cell::text(view.opening_name(&reader.mark))),
        field(Column::text("Reader", 1.3), |reader: &&BusReader| Cell::text(reader.device.text())),
        field(Column::number("Port", "", 0.6), |reader: &&BusReader| Cell::count(reader.port)),
        field(Column::text("Cable", 1.0), |reader: &&BusReader| Cell::text(&reader.cable)),
        field(view.units.length_column("Length", 0.8), |reader: &&BusReader| view.units.length(reader.length_m, 1)),
    ];
    let groups: Vec<(String, Vec<&BusReader>)> =
        view.design.link.buses.iter().map(|bus| (bus.label.clone(), bus.readers.iter().collect())).collect();
    grouped("bus-readers", "Readers on buses", &fields, &groups)
}

fn data_lines(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("Mark", 1.0), |line: &&DataLine| Cell::text(line.mark.text())),
        field(Column::text("Opening", 2.4), |line: &&DataLine| Cell::text(view.opening_name(&line.mark))),
        field(Column::text("Reader", 1.3), |line: &&DataLine| Cell::text(line.reader.text())),
        field(Column::text("Read by", 1.2), |line: &&DataLine| Cell::text(&line.decides)),
        field(Column::text("Cable", 1.0), |line: &&DataLine| Cell::text(&line.cable)),
        field(Column::number("Gauge", "AWG", 0.7), |line: &&DataLine| known(line.awg, Cell::count)),
        field(view.units.length_column("Length", 0.8), |line: &&DataLine| view.units.length(line.length_m, 1)),
        field(view.units.length_column("With caution", 0.9), |line: &&DataLine| view.units.length(line.cautious_m, 0)),
        field(view.units.length_column("At most", 0.8), |line: &&DataLine| view.units.length(line.longest_m, 0)),
        field(Column::number("26 bits take", "ms", 0.8), |line: &&DataLine| Cell::number(line.frame_ms, 1)),
    ];
    table("data-lines", "Readers on two data lines", &fields, &view.design.link.data_lines.iter().collect::<Vec<_>>())
}

fn rooms(view: &View<'_>) -> Table {
    let mbit = |value: f64| Cell::number(value / 1e6, 2);
    let fields = [
        field(Column::text("Room", 1.0), |one: &&RoomNetwork| Cell::text(one.room.text())),
        field(Column::text("Network comes by", 1.6), |one: &&RoomNetwork| {
            let link = view.design.routes.links.iter().find(|link| link.to == one.room && link.trench.is_some());
            let fibre = || link.map(|link| format!("fibre from {}", link.from));
            let radio = one.over_radio_from.as_ref().map(|from| format!("radio from {from}"));
            Cell::text(radio.or_else(fibre).unwrap_or_else(|| "the customer's lines".to_owned()))
        }),
        field(Column::number("Ports needed", "", 0.8), |one: &&RoomNetwork| Cell::count(one.ports)),
        field(Column::number("With spare", "", 0.8), |one: &&RoomNetwork| Cell::count(one.ports_with_spare)),
        field(Column::number("Free", "", 0.7), |one: &&RoomNetwork| known(one.free, Cell::count)),
        field(Column::number("Events, busiest hour", "", 1.0), |one: &&RoomNetwork| {
            Cell::number(one.events_per_hour, 0)
        }),
        field(Column::number("Pictures, busiest hour", "", 1.0), |one: &&RoomNetwork| {
            Cell::number(one.pictures_per_hour, 0)
        }),
        field(Column::number("Traffic then", "Mbit/s", 0.9), |one: &&RoomNetwork| {
            shown(mbit(one.load_bit_per_s), "room", one.room.text(), "network_load")
        }),
        field(Column::number("Way out carries", "Mbit/s", 0.9), |one: &&RoomNetwork| mbit(one.uplink_bit_per_s)),
        field(Column::number("Backlog after an outage", "min", 1.0), |one: &&RoomNetwork| {
            known(one.backlog_min, |minutes| shown(Cell::number(minutes, 1), "room", one.room.text(), "backlog_s"))
        }),
    ];
    table("room-network", "Network by room", &fields, &view.design.link.rooms.iter().collect::<Vec<_>>())
}

fn subnets(view: &View<'_>) -> Table {
    let span = |ends: &Option<(String, String)>| {
        ends.as_ref().map_or_else(Cell::empty, |(first, last)| Cell::text(format!("{first} to {last}")))
    };
    let fields = [
        field(Column::number("VLAN", "", 0.6), |it: &&PlannedSubnet| Cell::count(it.vlan)),
        field(Column::text("For", 1.4), |it: &&PlannedSubnet| Cell::text(&it.name)),
        field(Column::text("Range", 1.4), |it: &&PlannedSubnet| Cell::text(it.range.to_string())),
        field(Column::number("Devices", "", 0.7), |it: &&PlannedSubnet| Cell::count(it.devices)),
        field(Column::number("Planned for", "", 0.8), |it: &&PlannedSubnet| Cell::count(it.planned)),
        field(Column::text("Router", 1.2), |it: &&PlannedSubnet| Cell::text(&it.router)),
        field(Column::text("Kept for devices", 2.2), move |it: &&PlannedSubnet| span(&it.kept)),
        field(Column::text("On lease", 2.2), move |it: &&PlannedSubnet| span(&it.leased)),
    ];
    table("subnets", "Subnets", &fields, &view.design.link.subnets.iter().collect::<Vec<_>>())
}

fn devices(view: &View<'_>) -> Table {
    let plan = &view.design.link;
    let fields = [
        field(Column::text("Device", 1.6), |it: &&NetworkDevice| Cell::text(&it.label)),
        field(Column::text("Model", 1.2), |it: &&NetworkDevice| Cell::text(it.device.text())),
        field(Column::text("Opening", 2.2), |it: &&NetworkDevice| {
            Cell::text(it.mark.as_ref().map_or("", |mark| view.opening_name(mark)))
        }),
        field(Column::text("Switch in", 1.0), |it: &&NetworkDevice| {
            it.room.as_ref().map_or_else(Cell::empty, |room| Cell::text(room.text()))
        }),
        field(view.units.length_column("Fixed link", 0.8), |it: &&NetworkDevice| view.units.length(it.link_m, 1)),
        field(Column::number("VLAN", "", 0.6), move |it: &&NetworkDevice| {
            known(it.subnet.and_then(|index| plan.subnets.get(index)), |subnet| Cell::count(subnet.vlan))
        }),
        field(Column::text("Address", 1.3), |it: &&NetworkDevice| {
            Cell::text(it.address.as_deref().unwrap_or(if it.subnet.is_some() { "any, on lease" } else { "–" }))
        }),
    ];
    table("addresses", "Addresses", &fields, &plan.devices.iter().collect::<Vec<_>>())
}

fn firewall(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("Opened by", 2.0), |row: &&FirewallRow| Cell::text(&row.from)),
        field(Column::text("To", 2.0), |row: &&FirewallRow| Cell::text(&row.to)),
        field(Column::text("Port", 1.2), |row: &&FirewallRow| Cell::text(row.port)),
        field(Column::text("For", 3.0), |row: &&FirewallRow| Cell::text(row.purpose)),
    ];
    let title = "Permitted connections; all else is refused";
    table("connections", title, &fields, &view.design.link.firewall.iter().collect::<Vec<_>>())
}

fn notes(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("About", 1.0), |note: &&NetworkNote| Cell::text(note.topic)),
        field(Column::text("To do", 4.0), |note: &&NetworkNote| Cell::text(&note.text)),
        field(Column::text("Source", 2.6), |note: &&NetworkNote| Cell::text(note.source)),
    ];
    table("network-notes", "What the network must provide", &fields, &view.design.link.notes.iter().collect::<Vec<_>>())
}

/// A figure of a bridge, linked to its working.
fn figure(sheet: &BridgeSheet, name: &str, value: f64, digits: u8) -> Cell {
    shown(Cell::number(value, digits), "bridge", sheet.room.text(), name)
}

fn bridge_facts(view: &View<'_>, sheet: &BridgeSheet) -> Vec<Fact> {
    let length = |metres| view.units.length(metres, 1);
    let unit = view.units.length_unit();
    vec![
        Fact::new("Bridge", Cell::text(format!("{}: {}", sheet.device, view.describe(&sheet.device)))),
        Fact::new("Path", length(sheet.length_m)).in_unit(unit),
        Fact::new("Frequency", Cell::number(sheet.frequency_mhz, 0)).in_unit("MHz"),
        Fact::new("Channel", Cell::count(sheet.channel_mhz)).in_unit("MHz"),
        Fact::new("Radiated power", figure(sheet, "eirp_dbm", sheet.eirp_dbm, 1)).in_unit("dBm"),
        Fact::new("Loss over the free path", figure(sheet, "free_space_db", sheet.free_space_db, 1)).in_unit("dB"),
        Fact::new("Loss in air and rain", Cell::number(sheet.weather_db, 2)).in_unit("dB"),
        Fact::new("Level received", figure(sheet, "level_dbm", sheet.level_dbm, 1)).in_unit("dBm"),
        Fact::new("Margin over the slowest rate", figure(sheet, "margin_db", sheet.margin_db, 1)).in_unit("dB"),
        Fact::new("Margin wanted", Cell::number(sheet.margin_wanted_db, 1)).in_unit("dB"),
        Fact::new("Modulation with that margin", Cell::text(sheet.modulation.unwrap_or("none"))),
        Fact::new("Carries", figure(sheet, "throughput", sheet.throughput_bit_per_s / 1e6, 1)).in_unit("Mbit/s"),
        Fact::new("Antenna there, above datum", length(sheet.antenna_m)).in_unit(unit),
        Fact::new("Antenna at the other end", length(sheet.antenna_from_m)).in_unit(unit),
        Fact::new("First Fresnel zone in the middle", length(sheet.fresnel_m)).in_unit(unit),
    ]
}

fn bridges(view: &View<'_>) -> Table {
    let number = |title: &str, unit: &str, digits: u8, name: &'static str, value: fn(&BridgeSheet) -> f64| {
        field(Column::number(title, unit, 0.8), move |it: &&BridgeSheet| figure(it, name, value(it), digits))
    };
    let fields = [
        field(Column::text("Room", 1.0), |it: &&BridgeSheet| Cell::text(it.room.text())),
        field(Column::text("From", 1.0), |it: &&BridgeSheet| Cell::text(it.from.text())),
        field(Column::text("Model", 1.2), |it: &&BridgeSheet| Cell::text(it.device.text())),
        field(view.units.length_column("Path", 0.8), |it: &&BridgeSheet| view.units.length(it.length_m, 1)),
        number("Radiated", "dBm", 1, "eirp_dbm", |it| it.eirp_dbm),
        number("Path loss", "dB", 1, "free_space_db", |it| it.free_space_db),
        number("Level", "dBm", 1, "level_dbm", |it| it.level_dbm),
        number("Margin", "dB", 1, "margin_db", |it| it.margin_db),
        number("Carries", "Mbit/s", 1, "throughput", |it| it.throughput_bit_per_s / 1e6),
    ];
    table("radio-bridges", "Radio bridges", &fields, &view.design.link.bridges.iter().collect::<Vec<_>>())
}

fn obstacles(view: &View<'_>, sheets: &[&BridgeSheet]) -> Table {
    type In<'a> = (&'a BridgeSheet, usize, &'a Obstacle);
    let items: Vec<In<'_>> = sheets
        .iter()
        .flat_map(|sheet| sheet.obstacles.iter().enumerate().map(|(index, obstacle)| (*sheet, index + 1, obstacle)))
        .collect();
    let fields = [
        field(Column::text("Bridge to", 1.0), |it: &In<'_>| Cell::text(it.0.room.text())),
        field(Column::text("In the path", 2.4), |it: &In<'_>| Cell::text(&it.2.what)),
        field(view.units.length_column("From the room", 1.0), |it: &In<'_>| view.units.length(it.2.distance_m, 0)),
        field(view.units.length_column("Top, grown", 1.0), |it: &In<'_>| view.units.length(it.2.top_m, 1)),
        field(view.units.length_column("Path there", 1.0), |it: &In<'_>| view.units.length(it.2.path_m, 1)),
        field(view.units.length_column("Path needed", 1.0), |it: &In<'_>| {
            let name = format!("needed_m_{}", it.1);
            shown(view.units.length(it.2.needed_m, 1), "bridge", it.0.room.text(), &name)
        }),
    ];
    table("path-obstacles", "What stands in the path", &fields, &items)
}
