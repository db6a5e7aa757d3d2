//! Cable schedule: every cable with its cores, the ways they take, how full those get, and what to buy.

use dw_core::{FigureId, Id, InputValue, Metres};
use dw_engine::route::{CablePurchase, CableRun, RoomLink, RoutedOpening, WayFill};

use super::rows::{Field, by_key, field, grouped, known, percent, table, total};
use super::view::{View, shown};
use super::words::{self, UNKNOWN};
use crate::model::{Block, Cell, Column, Orientation, Paper, Table};

/// The cable schedule.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let mut blocks = vec![
        Block::Text(
            "Cores are listed in the order of the colours of the cable. Lengths are as cut: along the way, with drops and slack \
             at both ends."
                .to_owned(),
        ),
        Block::Table(runs(view)),
        Block::Table(routes(view)),
    ];
    let rest = [links(view), fills(view), purchases(view)];
    blocks.extend(rest.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table));
    Paper {
        id: "cable-schedule".to_owned(),
        title: "Cable schedule".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

/// Cables, routes, radio links, fill of the ways, cable to buy.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    vec![runs(view), routes(view), links(view), fills(view), purchases(view)]
}

fn runs(view: &View<'_>) -> Table {
    let groups = by_key(&view.design.cables.runs, |run| run.room.clone());
    let rooms: Vec<(String, Vec<&CableRun>)> = groups
        .into_iter()
        .map(|(room, runs)| {
            let name = view.design.survey.room(&room).map_or("", |room| room.name.as_str());
            (format!("From {room}{}{name}", if name.is_empty() { "" } else { ", " }), runs)
        })
        .collect();
    let fields = run_fields(view);
    let mut table = grouped("cable-schedule", "Cables", &fields, &rooms);
    let all: Metres = view.design.cables.runs.iter().map(|run| run.length_m).sum();
    table.rows.push(total(fields.len(), "Total", [(5, view.units.length(all, 0))]));
    table
}

fn run_fields<'a>(view: &'a View<'a>) -> Vec<Field<'a, &'a CableRun>> {
    vec![
        field(Column::text("Label", 1.0), |run: &&CableRun| Cell::text(&run.label)),
        field(Column::text("To opening", 1.9), |run: &&CableRun| Cell::text(view.opening_name(&run.mark))),
        field(Column::text("For", 1.1), |run: &&CableRun| Cell::text(words::cable_use(run.purpose))),
        field(Column::text("Cable", 1.2), |run: &&CableRun| cable(run)),
        field(Column::number("Cores", "", 0.7), |run: &&CableRun| Cell::number(run.cores.len() as f64, 0)),
        field(view.units.length_column("Length", 0.9), |run: &&CableRun| view.units.length(run.length_m, 1)),
        field(Column::text("What each core does", 5.0), |run: &&CableRun| Cell::text(cores(&run.cores))),
    ]
}

/// Model of a cable, or that one in the wall serves.
pub(super) fn cable(run: &CableRun) -> Cell {
    match &run.device {
        _ if run.existing => Cell::text("existing"),
        Some(device) => Cell::text(device.text()),
        None => Cell::text(UNKNOWN),
    }
}

/// Cores by number, neighbours that do the same together, no line ending within one: "1 supply +, 2 supply -, 3 to 4 spare".
pub(super) fn cores(cores: &[String]) -> String {
    let mut texts = Vec::new();
    let mut idx = 0;
    while let Some(name) = cores.get(idx) {
        let alike = cores[idx..].iter().take_while(|core| *core == name).count();
        let (first, last) = (idx + 1, idx + alike);
        let numbers = if alike == 1 { first.to_string() } else { format!("{first} to {last}") };
        texts.push(format!("{numbers} {name}").replace(' ', "\u{a0}"));
        idx = last;
    }
    texts.join(", ")
}

fn routes(view: &View<'_>) -> Table {
    let ways = |route: &RoutedOpening| {
        let names: Vec<&str> = route.ways.iter().map(Id::text).collect();
        if names.is_empty() { Cell::text("none drawn") } else { Cell::text(names.join(" – ")) }
    };
    let fields = [
        field(Column::text("Mark", 1.0), |route: &&RoutedOpening| Cell::text(route.mark.text())),
        field(Column::text("Opening", 2.6), |route: &&RoutedOpening| Cell::text(view.opening_name(&route.mark))),
        field(Column::text("Room", 1.0), |route: &&RoutedOpening| Cell::text(route.room.text())),
        field(view.units.length_column("Route", 1.0), |route: &&RoutedOpening| {
            shown(view.units.length(route.length_m, 1), "opening", route.mark.text(), "route_m")
        }),
        field(view.units.length_column("Off drawn ways", 1.0), |route: &&RoutedOpening| {
            view.units.length(route.off_way_m, 1)
        }),
        field(Column::text("Ways from the room", 5.0), move |route: &&RoutedOpening| ways(route)),
    ];
    table("routes", "Routes", &fields, &view.design.routes.openings.iter().collect::<Vec<_>>())
}

fn links(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("From", 1.0), |link: &&RoomLink| Cell::text(link.from.text())),
        field(Column::text("To", 1.0), |link: &&RoomLink| Cell::text(link.to.text())),
        field(Column::text("Radio bridge", 1.5), |link: &&RoomLink| {
            known(link.device.as_ref(), |d| Cell::text(d.text()))
        }),
        field(view.units.length_column("Distance", 1.0), |link: &&RoomLink| view.units.length(link.length_m, 0)),
    ];
    table("room-links", "Radio links between rooms", &fields, &view.design.routes.links.iter().collect::<Vec<_>>())
}

fn fills(view: &View<'_>) -> Table {
    let area = |title: &str| Column::number(title, view.units.area_unit(), 1.3);
    let fields = [
        field(Column::text("Way", 1.5), |fill: &&WayFill| Cell::text(fill.way.text())),
        field(Column::number("Cables of this design", "", 1.3), |fill: &&WayFill| Cell::count(fill.cables)),
        field(area("They take"), |fill: &&WayFill| view.units.area(fill.taken_mm2)),
        field(area("Cross-section"), |fill: &&WayFill| known(fill.area_mm2, |area| view.units.area(area))),
        field(Column::number("Filled, old cables included", "%", 1.3), |fill: &&WayFill| {
            shown(known(fill.share, |share| percent(share, 0)), "way", fill.way.text(), "fill")
        }),
        field(Column::number("May be filled", "%", 1.3), |_: &&WayFill| {
            percent(view.design.survey.settings.fill_share, 0)
        }),
    ];
    table("way-fill", "Fill of the cable ways", &fields, &view.design.cables.fills.iter().collect::<Vec<_>>())
}

fn purchases(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("Model", 1.3), |cable: &&CablePurchase| Cell::text(cable.device.text())),
        field(Column::text("What it is", 4.5), |cable: &&CablePurchase| Cell::text(view.describe(&cable.device))),
        field(view.units.length_column("Cut", 1.0), |cable: &&CablePurchase| view.units.length(cable.cut_m, 0)),
        field(view.units.length_column("Bought", 1.0), |cable: &&CablePurchase| {
            shown(view.units.length(cable.bought_m, 0), "cable", cable.device.text(), "bought_m")
        }),
        field(Column::text("As", 2.0), |cable: &&CablePurchase| Cell::text(packing(view, cable))),
        field(view.units.length_column("Left over", 1.0), |cable: &&CablePurchase| {
            view.units.length(cable.bought_m - cable.cut_m, 0)
        }),
    ];
    table("cable-purchases", "Cable to buy", &fields, &view.design.cables.purchases.iter().collect::<Vec<_>>())
}

/// Whole reels, and what is bought beside them: "2 reels of 100 m and 413 m".
fn packing(view: &View<'_>, cable: &CablePurchase) -> String {
    let Some(reels) = cable.reels else { return String::new() };
    let figure = FigureId::new("cable", cable.device.text(), "bought_m");
    let workings = view.design.workings.as_slice();
    let found = workings.binary_search_by(|working| working.figure.cmp(&figure)).ok();
    let inputs = found.map_or(&[][..], |idx| &workings[idx].inputs);
    let reel = inputs.iter().find(|input| input.name == "reel").map(|input| &input.value);
    let Some(InputValue::Number(reel_m)) = reel else { return words::count(reels as usize, "reel", "reels") };
    let reel = Metres::try_new(*reel_m).unwrap_or(Metres::ZERO);
    let beside = cable.bought_m.get() - f64::from(reels) * reel.get();
    reels_and_rest(view, reels, reel, Metres::try_new(beside.max(0.0)).unwrap_or(Metres::ZERO))
}

fn reels_and_rest(view: &View<'_>, reels: u32, reel: Metres, beside: Metres) -> String {
    let reels = (reels > 0)
        .then(|| format!("{} of {}", words::count(reels as usize, "reel", "reels"), view.units.length_text(reel)));
    let beside = (beside.get() >= 0.5).then(|| view.units.length_text(beside));
    reels.into_iter().chain(beside).collect::<Vec<_>>().join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contents::fixture;

    #[test]
    fn reels_and_what_is_bought_beside_them_are_named() {
        let design = fixture::design(2);
        let view = View::new(&design);
        let said = |reels, beside| reels_and_rest(&view, reels, Metres::new(100.0), Metres::new(beside));
        assert_eq!(said(2, 413.0), "2 reels of 100 m and 413 m");
        assert_eq!(said(1, 0.0), "1 reel of 100 m");
        assert_eq!(said(0, 413.0), "413 m");
    }

    #[test]
    fn cores_that_do_the_same_are_named_once() {
        let names = ["supply +", "supply -", "spare", "spare", "spare"].map(str::to_owned);
        assert_eq!(cores(&names), "1\u{a0}supply\u{a0}+, 2\u{a0}supply\u{a0}-, 3\u{a0}to\u{a0}5\u{a0}spare");
        assert_eq!(cores(&[]), "");
    }
}
