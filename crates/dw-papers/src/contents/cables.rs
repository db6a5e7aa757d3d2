//! Cable schedule: every cable with its cores, the ways they take, how full those get, and what to buy.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{CableWayId, Id, Metres, Money, OpeningId};
use dw_engine::route::{CablePurchase, CableRun, CutReel, PullGroup, RoomLink, RoutedOpening, WayFill, WayStretch};

use super::rows::{Field, by_key, field, grouped, known, percent, table, total};
use super::view::{View, shown};
use super::words::{self, UNKNOWN};
use crate::model::{Block, Cell, Column, Orientation, Paper, Table};

/// The cable schedule.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let mut blocks = vec![
        Block::Text(
            "Cores are listed in the order of the colours of the cable. Lengths are as cut: along the way, with drops and slack \
             at both ends. They are estimates within 10 to 15 % (common practice): measure long runs before cutting."
                .to_owned(),
        ),
        Block::Table(runs(view)),
        Block::Table(routes(view)),
    ];
    let rest =
        [links(view), fills(view), ways(view), pulls(view), purchases(view), cut_list(view), longer_routes(view)];
    blocks.extend(rest.into_iter().filter(|table| !table.rows.is_empty()).map(Block::Table));
    Paper {
        id: "cable-schedule".to_owned(),
        title: "Cable schedule".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

/// Cables, routes, links between rooms, fill of the ways, what lies in each, pulls, cable to buy, cut list, longer routes.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    vec![
        runs(view),
        routes(view),
        links(view),
        fills(view),
        ways(view),
        pulls(view),
        purchases(view),
        cut_list(view),
        longer_routes(view),
    ]
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
        let names: Vec<&str> = route.ways.iter().map(|part| part.way.text()).collect();
        if names.is_empty() { Cell::text("none drawn") } else { Cell::text(names.join(" – ")) }
    };
    let settings = &view.design.survey.settings;
    let (drops, slack) = (settings.drop_opening_m + settings.drop_room_m, settings.slack_m + settings.slack_m);
    let fields = [
        field(Column::text("Mark", 1.0), |route: &&RoutedOpening| Cell::text(route.mark.text())),
        field(Column::text("Opening", 2.6), |route: &&RoutedOpening| Cell::text(view.opening_name(&route.mark))),
        field(Column::text("Room", 1.0), |route: &&RoutedOpening| Cell::text(route.room.text())),
        field(view.units.length_column("Route", 1.0), |route: &&RoutedOpening| {
            shown(view.units.length(route.length_m, 1), "opening", route.mark.text(), "route_m")
        }),
        field(view.units.length_column("Off drawn ways", 0.9), |route: &&RoutedOpening| {
            view.units.length(route.off_way_m, 1)
        }),
        field(view.units.length_column("Drops", 0.8), move |_: &&RoutedOpening| view.units.length(drops, 1)),
        field(view.units.length_column("Slack, both ends", 0.9), move |_: &&RoutedOpening| view.units.length(slack, 1)),
        field(view.units.length_column("Round full ways", 0.9), |route: &&RoutedOpening| {
            if route.detour_m == Metres::ZERO { Cell::empty() } else { view.units.length(route.detour_m, 1) }
        }),
        field(
            Column::text("Outdoors", 0.9),
            |route: &&RoutedOpening| {
                if route.outdoors { Cell::text("yes") } else { Cell::empty() }
            },
        ),
        field(Column::text("Ways from the room", 4.5), move |route: &&RoutedOpening| ways(route)),
    ];
    table("routes", "Routes", &fields, &view.design.routes.openings.iter().collect::<Vec<_>>())
}

/// What a link between rooms is made of.
fn link_by(link: &RoomLink) -> Cell {
    match (&link.trench, &link.device) {
        (Some(trench), _) => {
            let fibre = trench.fibre.as_ref().map_or("fibre to be chosen", |fibre| fibre.text());
            Cell::text(format!("trench, {fibre}"))
        }
        (None, Some(bridge)) => Cell::text(format!("radio bridge {bridge}")),
        (None, None) => Cell::text(UNKNOWN),
    }
}

fn links(view: &View<'_>) -> Table {
    let money = |amount: Option<Money>| amount.map_or_else(Cell::empty, |it| Cell::money(it.amount()));
    let fields = [
        field(Column::text("From", 1.0), |link: &&RoomLink| Cell::text(link.from.text())),
        field(Column::text("To", 1.0), |link: &&RoomLink| Cell::text(link.to.text())),
        field(Column::text("By", 2.2), |link: &&RoomLink| link_by(link)),
        field(view.units.length_column("Length", 1.0), |link: &&RoomLink| view.units.length(link.length_m, 0)),
        field(Column::money("Radio bridge costs", 1.2), move |link: &&RoomLink| money(link.bridge_cost)),
        field(Column::money("Trench and fibre cost", 1.2), move |link: &&RoomLink| {
            let cost = money(link.trench_cost);
            if link.trench_cost.is_some() { shown(cost, "room", link.to.text(), "network_link") } else { cost }
        }),
        field(Column::money("The other is dearer by", 1.2), move |link: &&RoomLink| money(link.dearer_by())),
    ];
    table(
        "room-links",
        "Links between rooms, at full cost over the years counted",
        &fields,
        &view.design.routes.links.iter().collect::<Vec<_>>(),
    )
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

/// A line of the sheet of a way: a stretch with its fill.
fn ways(view: &View<'_>) -> Table {
    let area = |title: &str| Column::number(title, view.units.area_unit(), 1.1);
    let fields = [
        field(view.units.length_column("From", 0.7), |it: &&WayStretch| view.units.length(it.from_m, 1)),
        field(view.units.length_column("To", 0.7), |it: &&WayStretch| view.units.length(it.to_m, 1)),
        field(Column::number("Cables", "", 0.7), |it: &&WayStretch| Cell::count(it.cables)),
        field(area("They take"), |it: &&WayStretch| view.units.area(it.taken_mm2)),
        field(Column::number("Filled", "%", 0.8), |it: &&WayStretch| known(it.share, |share| percent(share, 0))),
    ];
    let through = labels_by_way(view);
    let sheet = |fill: &WayFill| {
        format!("{}: {}", fill.way, through.get(&fill.way).map_or_else(String::new, |labels| labels.join(", ")))
    };
    let groups: Vec<(String, Vec<&WayStretch>)> =
        view.design.cables.fills.iter().map(|fill| (sheet(fill), fill.stretches.iter().collect())).collect();
    grouped("way-stretches", "Cables in each way, by stretches from its first end", &fields, &groups)
}

/// Labels of the new cables in each way, those of one opening together: "D-1/1 to 3".
fn labels_by_way<'v>(view: &View<'v>) -> BTreeMap<&'v CableWayId, Vec<String>> {
    let mut labels: BTreeMap<&OpeningId, Vec<&str>> = BTreeMap::new();
    for run in view.design.cables.runs.iter().filter(|run| !run.existing) {
        labels.entry(&run.mark).or_default().push(&run.label);
    }
    let mut through: BTreeMap<&CableWayId, Vec<String>> = BTreeMap::new();
    for route in &view.design.routes.openings {
        let Some(label) = labels.get(&route.mark).map(|labels| together(labels)) else { continue };
        let ways: BTreeSet<&CableWayId> = route.ways.iter().map(|part| &part.way).collect();
        for way in ways {
            through.entry(way).or_default().push(label.clone());
        }
    }
    through
}

/// Labels of one opening as one: "D-1/1 to 3".
fn together(labels: &[&str]) -> String {
    let last = labels.last().and_then(|label| label.rsplit('/').next()).unwrap_or_default();
    let label = match labels {
        [first, _, ..] => format!("{first} to {last}"),
        _ => labels.concat(),
    };
    label.replace(' ', "\u{a0}")
}

/// Cables that are pulled together.
fn pulls(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("From room", 1.0), |group: &&PullGroup| Cell::text(group.room.text())),
        field(Column::text("To openings", 4.0), |group: &&PullGroup| {
            Cell::text(group.openings.iter().map(Id::text).collect::<Vec<_>>().join(", "))
        }),
        field(Column::number("Cables", "", 0.7), |group: &&PullGroup| Cell::count(group.cables)),
        field(Column::number("They take", view.units.area_unit(), 1.0), |group: &&PullGroup| {
            view.units.area(group.taken_mm2)
        }),
        field(view.units.length_column("Together for", 1.0), |group: &&PullGroup| {
            view.units.length(group.together_m, 1)
        }),
        field(Column::text("In ways", 3.0), |group: &&PullGroup| {
            Cell::text(group.ways.iter().map(Id::text).collect::<Vec<_>>().join(" – "))
        }),
    ];
    let title = "Cables pulled together for more than half of the longest route";
    table("pull-groups", title, &fields, &view.design.cables.pulls.iter().collect::<Vec<_>>())
}

/// Openings that change when every route is longer.
fn longer_routes(view: &View<'_>) -> Table {
    let growth = &view.design.growth;
    let beyond = |mark: &OpeningId| growth.beyond.iter().find(|run| run.mark == *mark);
    let mut marks: Vec<&OpeningId> = growth.moved.iter().map(|it| &it.mark).collect();
    marks.extend(growth.beyond.iter().map(|it| &it.mark).chain(&growth.rearranged));
    marks.sort();
    marks.dedup();
    let rooms = |mark: &OpeningId| {
        let moved = growth.moved.iter().find(|it| it.mark == *mark).map(|it| (&it.from, Some(&it.to)));
        moved.or_else(|| beyond(mark).map(|run| (&run.room, run.then.as_ref())))
    };
    let fields = [
        field(Column::text("Mark", 1.0), |mark: &&OpeningId| Cell::text(mark.text())),
        field(Column::text("Opening", 3.0), |mark: &&OpeningId| Cell::text(view.opening_name(mark))),
        field(Column::text("Room now", 1.0), move |mark: &&OpeningId| {
            known(rooms(mark), |rooms| Cell::text(rooms.0.text()))
        }),
        field(Column::text("Room then", 1.0), move |mark: &&OpeningId| {
            if growth.rearranged.contains(mark) {
                return Cell::text("the same, arranged otherwise");
            }
            known(rooms(mark), |rooms| Cell::text(rooms.1.map_or("none", |room| room.text())))
        }),
        field(view.units.length_column("Run now, where it passes its limit", 1.4), move |mark: &&OpeningId| {
            beyond(mark).map_or_else(Cell::empty, |run| view.units.length(run.length_m, 1))
        }),
        field(view.units.length_column("Limit", 0.9), move |mark: &&OpeningId| {
            beyond(mark).map_or_else(Cell::empty, |run| view.units.length(run.limit_m, 1))
        }),
    ];
    let title = format!("What changes if every route is {:.0} % longer", growth.share * 100.0);
    table("longer-routes", &title, &fields, &marks)
}

fn purchases(view: &View<'_>) -> Table {
    let money = |amount: Option<Money>| known(amount, |it| Cell::money(it.amount()));
    let fields = [
        field(Column::text("Model", 1.3), |cable: &&CablePurchase| Cell::text(cable.device.text())),
        field(Column::text("What it is", 3.5), |cable: &&CablePurchase| Cell::text(view.describe(&cable.device))),
        field(view.units.length_column("Cut", 0.9), |cable: &&CablePurchase| view.units.length(cable.cut_m, 0)),
        field(view.units.length_column("Bought", 0.9), |cable: &&CablePurchase| {
            shown(view.units.length(cable.bought_m, 0), "cable", cable.device.text(), "bought_m")
        }),
        field(Column::text("As", 2.0), |cable: &&CablePurchase| Cell::text(packing(view, cable))),
        field(view.units.length_column("Left over", 0.9), |cable: &&CablePurchase| {
            view.units.length(cable.waste_m(), 0)
        }),
        field(view.units.length_column("No plan leaves less than", 1.1), |cable: &&CablePurchase| {
            view.units.length(cable.least_waste_m(), 0)
        }),
        field(Column::money("Purchase", 1.1), move |cable: &&CablePurchase| money(cable.cost)),
        field(Column::money("No plan costs less than", 1.1), move |cable: &&CablePurchase| money(cable.least_cost)),
        field(Column::number("Within", "%", 0.7), |cable: &&CablePurchase| known(cable.gap(), |gap| percent(gap, 2))),
    ];
    let title = "Cable to buy, within so many percent of the least cost for this data";
    table("cable-purchases", title, &fields, &view.design.cables.purchases.iter().collect::<Vec<_>>())
}

/// A cut of the cut list.
struct Cut<'a> {
    reel: usize,
    holds: Metres,
    order: usize,
    label: &'a str,
    length: Metres,
    /// What is left on the reel after it.
    left: Metres,
}

/// What is cut from each reel, in order.
fn cut_list(view: &View<'_>) -> Table {
    let fields = [
        field(Column::number("Reel", "", 0.6), |cut: &Cut<'_>| Cell::number(cut.reel as f64, 0)),
        field(view.units.length_column("Holds", 0.8), |cut: &Cut<'_>| view.units.length(cut.holds, 0)),
        field(Column::number("Cut", "", 0.6), |cut: &Cut<'_>| Cell::number(cut.order as f64, 0)),
        field(Column::text("Cable", 1.5), |cut: &Cut<'_>| Cell::text(cut.label)),
        field(view.units.length_column("Length", 1.0), |cut: &Cut<'_>| view.units.length_above(cut.length)),
        field(view.units.length_column("Left on the reel", 1.0), |cut: &Cut<'_>| view.units.length(cut.left, 1)),
    ];
    let bought = view.design.cables.purchases.iter().filter(|cable| !cable.reels.is_empty());
    let groups: Vec<(String, Vec<Cut<'_>>)> = bought
        .map(|cable| (format!("{}, {}", cable.device, view.describe(&cable.device)), cuts(&cable.reels)))
        .collect();
    grouped("cut-list", "Cut list", &fields, &groups)
}

/// The cuts of all reels of a purchase; a reel bought only to have enough is not cut.
fn cuts(reels: &[CutReel]) -> Vec<Cut<'_>> {
    let mut all = Vec::new();
    for (reel, cut_reel) in reels.iter().enumerate() {
        let (holds, mut left) = (cut_reel.length_m, cut_reel.length_m);
        for (order, (label, length)) in cut_reel.cuts.iter().enumerate() {
            left = left - *length;
            all.push(Cut { reel: reel + 1, holds, order: order + 1, label, length: *length, left });
        }
    }
    all
}

/// Reels, and what is bought beside them: "2 reels of 100 m and 413 m".
fn packing(view: &View<'_>, cable: &CablePurchase) -> String {
    let on_reels: Metres = cable.reels.iter().map(|reel| reel.length_m).sum();
    let counts = by_key(&cable.reels, |reel| reel.length_m);
    let counts = counts.into_iter().rev().map(|(length, reels)| (reels.len(), length));
    let beside = if cable.reels.is_empty() { Metres::ZERO } else { cable.bought_m - on_reels };
    reels_and_rest(view, counts, beside)
}

fn reels_and_rest(view: &View<'_>, counts: impl Iterator<Item = (usize, Metres)>, beside: Metres) -> String {
    let of_length = |(count, length): (usize, Metres)| {
        format!("{} of {}", words::count(count, "reel", "reels"), view.units.length_text(length))
    };
    let beside = (beside.get() >= 0.5).then(|| view.units.length_text(beside));
    counts.map(of_length).chain(beside).collect::<Vec<_>>().join(" and ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::contents::fixture;

    #[test]
    fn reels_and_what_is_bought_beside_them_are_named() {
        let design = fixture::design(2);
        let view = View::new(&design);
        let said = |reels: &[(usize, f64)], beside| {
            let reels = reels.iter().map(|&(count, length)| (count, Metres::new(length)));
            reels_and_rest(&view, reels, Metres::new(beside))
        };
        assert_eq!(said(&[(2, 100.0)], 413.0), "2 reels of 100 m and 413 m");
        assert_eq!(said(&[(1, 305.0), (2, 100.0)], 0.0), "1 reel of 305 m and 2 reels of 100 m");
        assert_eq!(said(&[], 413.0), "413 m");
    }

    #[test]
    fn every_cut_stands_on_its_reel_with_what_is_left_after_it() {
        let design = fixture::design(3);
        let table = cut_list(&View::new(&design));
        let list = cuts(&design.cables.purchases[0].reels);
        let left: Vec<f64> = list.iter().map(|cut| (cut.left.get() * 100.0).round()).collect();
        assert_eq!((list.len(), left), (3, vec![6952.0, 3904.0, 856.0]));
        assert_eq!(table.rows.len(), 1 + 3);
        // A cut is never printed shorter than it is: 30.48 m as 30.5 m.
        assert_eq!(table.rows[1].cells[4], Cell::number(30.5, 1));
    }

    #[test]
    fn cores_that_do_the_same_are_named_once() {
        let names = ["supply +", "supply -", "spare", "spare", "spare"].map(str::to_owned);
        assert_eq!(cores(&names), "1\u{a0}supply\u{a0}+, 2\u{a0}supply\u{a0}-, 3\u{a0}to\u{a0}5\u{a0}spare");
        assert_eq!(cores(&[]), "");
    }
}
