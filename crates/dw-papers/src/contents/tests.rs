use dw_core::{DeviceId, Id, Money, Severity};
use dw_engine::Design;
use dw_engine::equip::Role;
use dw_engine::price::MaterialLine;
use dw_job::model::UnitSystem;
use rust_decimal::Decimal;

use super::view::View;
use super::{binder, fixture, papers, schedules, tables_of};
use crate::model::{Binder, Block, Cell, RowKind, Table, Value};

fn binder_of(design: &Design) -> Binder {
    binder(&View::new(design))
}

fn table<'a>(binder: &'a Binder, id: &str) -> &'a Table {
    tables_of(binder).find(|table| table.id == id).unwrap_or_else(|| panic!("no table {id}"))
}

fn column(table: &Table, title: &str) -> usize {
    table.columns.iter().position(|column| column.title == title).unwrap_or_else(|| panic!("no column {title}"))
}

fn amount(cell: &Cell) -> Option<Decimal> {
    if let Value::Money(amount) = cell.value { Some(amount) } else { None }
}

/// Sum of the ordinary rows of a column of money.
fn sum(table: &Table, title: &str) -> Decimal {
    let column = column(table, title);
    let rows = table.rows.iter().filter(|row| row.kind == RowKind::Normal);
    rows.filter_map(|row| row.cells.get(column)).filter_map(amount).sum()
}

/// The last row of sums that begins with these words.
fn sum_row<'a>(table: &'a Table, words: &str) -> &'a [Cell] {
    let is_it = |cells: &[Cell]| cells.iter().any(|cell| cell.value == Value::Text(words.to_owned()));
    let mut sums = table.rows.iter().filter(|row| row.kind == RowKind::Total);
    &sums.rfind(|row| is_it(&row.cells)).unwrap_or_else(|| panic!("no sum {words}")).cells
}

fn words(binder: &Binder, paper: &str) -> String {
    let paper = binder.papers.iter().find(|it| it.id == paper).unwrap();
    let cell = |cell: &Cell| if let Value::Text(text) = &cell.value { text.clone() } else { String::new() };
    let block = |block: &Block| match block {
        Block::Heading(text) | Block::Text(text) | Block::Caution(text) => text.clone(),
        Block::NewPage => String::new(),
        Block::List(items) => items.join("\n"),
        Block::Facts(facts) => facts.iter().map(|fact| fact.label.clone() + " " + &cell(&fact.cell) + "\n").collect(),
        Block::Table(table) => {
            table.rows.iter().flat_map(|row| &row.cells).map(|it| cell(it) + "\n").collect::<String>()
        }
    };
    paper.blocks.iter().map(|it| block(it).replace('\u{a0}', " ") + "\n").collect()
}

#[test]
fn prices_on_the_proposal_sum_to_the_net_price_and_never_show_the_mark_up() {
    let design = fixture::design(6);
    let binder = binder_of(&design);
    let price = table(&binder, "price");
    assert_eq!(sum(price, "Price"), design.price.net.amount());
    assert_eq!(amount(&sum_row(price, "Net price")[1]), Some(design.price.net.amount()));
    assert_eq!(amount(&sum_row(price, "VAT 20 %")[1]), Some(design.price.tax.amount()));
    assert_eq!(amount(&sum_row(price, "Price with tax")[1]), Some(design.price.total.amount()));
    assert!(!words(&binder, "proposal").to_lowercase().contains("mark-up"));
}

#[test]
fn lines_of_the_bill_sum_to_its_sections_and_to_the_cost() {
    let design = fixture::design(6);
    let binder = binder_of(&design);
    let bill = table(&binder, "bill-of-materials");
    assert_eq!(sum(bill, "Amount"), design.price.materials_cost.amount());
    let sections: Decimal = ["Control", "Readers", "Locks", "Cable", "Head-end"]
        .iter()
        .filter_map(|section| amount(&sum_row(bill, &format!("{section} in all"))[5]))
        .sum();
    assert_eq!(sections, design.price.materials_cost.amount());
    assert_eq!(sum(table(&binder, "labour"), "Amount"), design.price.labour_cost.amount());
}

#[test]
fn prices_of_openings_and_what_they_share_make_the_net_price() {
    let design = fixture::design(6);
    let binder = binder_of(&design);
    let openings = table(&binder, "opening-prices");
    let shared = amount(&sum_row(openings, "Controllers, supplies, head-end and all else")[5]).unwrap();
    assert_eq!(sum(openings, "Net price") + shared, design.price.net.amount());
    let by_kind = table(&binder, "openings-by-kind");
    assert_eq!(sum(by_kind, "Net price"), sum(openings, "Net price"));
}

#[test]
fn a_price_that_the_catalogue_does_not_state_is_a_dash_and_not_zero() {
    let binder = binder_of(&fixture::design(2));
    let bill = table(&binder, "bill-of-materials");
    let row = bill.rows.iter().find(|row| row.cells[0].value == Value::Text("H-1".to_owned())).unwrap();
    assert_eq!(row.cells[4].value, Value::Text("–".to_owned()));
    assert_eq!(row.cells[5].value, Value::Text("–".to_owned()));
}

#[test]
fn every_finding_and_assumption_stands_on_its_paper_and_those_that_hold_back_an_order_on_the_proposal() {
    let design = fixture::design(3);
    let binder = binder_of(&design);
    let (findings, proposal) = (words(&binder, "findings-and-assumptions"), words(&binder, "proposal"));
    for finding in &design.findings {
        assert!(findings.contains(&finding.headline));
        assert!(finding.notes.iter().chain(&finding.help).all(|text| findings.contains(text)));
        assert_eq!(proposal.contains(&finding.headline), finding.severity != Severity::Note);
    }
    assert!(findings.contains("opening D-1, door.escape\nopenings.csv row 3"));
    for accepted in &design.accepted {
        assert!(findings.contains(&accepted.reason) && findings.contains(&accepted.name));
    }
    for assumption in &design.assumptions {
        assert!(findings.contains(&assumption.value) && findings.contains(&assumption.because));
    }
    assert!(
        findings.contains("The local code, the authority having jurisdiction and people licensed for the work decide")
    );
}

#[test]
fn cautions_stand_wherever_escape_fire_or_mains_are_touched() {
    let design = fixture::design(3);
    let binder = binder_of(&design);
    for paper in
        ["proposal", "opening-schedule", "controller-sheets", "power-and-batteries", "findings-and-assumptions"]
    {
        let words = words(&binder, paper);
        assert!(design.heading.caution.iter().all(|caution| words.contains(caution)), "{paper}");
    }
    let schedules = schedules(&View::new(&design), binder_of(&design));
    assert!(schedules.papers[0].blocks.iter().any(|block| matches!(block, Block::Caution(_))));
}

#[test]
fn no_paper_calls_a_design_by_words_that_only_an_authority_may_use() {
    let binder = binder_of(&fixture::design(3));
    for paper in &binder.papers {
        let words = words(&binder, &paper.id).to_lowercase().replace("fail safe", "");
        assert!(!words.contains("compliant") && !words.contains("safe"), "{}", paper.id);
    }
}

#[test]
fn lengths_and_temperatures_follow_the_units_of_the_reader() {
    let number = |binder: &Binder, id: &str, title: &str| {
        let table = table(binder, id);
        let column = column(table, title);
        let Value::Number { value, .. } =
            table.rows.iter().find(|row| row.kind == RowKind::Normal).unwrap().cells[column].value
        else {
            panic!("no number");
        };
        (value, table.columns[column].unit.clone().unwrap_or_default())
    };
    let mut design = fixture::design(3);
    let metric = binder_of(&design);
    assert_eq!(number(&metric, "cable-schedule", "Length"), (30.48, "m".to_owned()));
    assert_eq!(number(&metric, "power", "Inside"), (35.0, "°C".to_owned()));
    design.survey.settings.units = UnitSystem::Us;
    let us = binder_of(&design);
    for (id, title, value, unit) in [
        ("cable-schedule", "Length", 100.0, "ft"),
        ("lock-voltages", "Length", 100.0, "ft"),
        ("power", "Inside", 95.0, "°F"),
        ("way-fill", "They take", 1.0, "in²"),
    ] {
        let found = number(&us, id, title);
        assert!((found.0 - value).abs() < 1e-9 && found.1 == unit, "{id} {title}: {found:?}");
    }
    assert!(us.title_block.units.starts_with("feet"));
}

#[test]
fn openings_that_differ_from_the_usual_split_of_works_are_named_and_a_blank_is_a_dash() {
    let binder = binder_of(&fixture::design(6));
    let split = table(&binder, "split-of-works");
    let rows = cells(split);
    assert_eq!(rows[0], ["Lock", "D-1", "installer", "joiner", "installer", "installer"]);
    assert_eq!(rows[1], ["Lock", "6 other openings", "installer", "installer", "installer", "installer"]);
    let spurs: Vec<&Vec<String>> = rows.iter().filter(|row| row[0] == "Mains spur").collect();
    assert_eq!(spurs[0], &["Mains spur", "D-2", "–", "electrician", "electrician", "electrician"]);
    assert_eq!(spurs[2][1..3], ["TR-1/E1", "electrician"], "the enclosure goes by an opening it serves");
    let ports: Vec<&str> = rows.iter().filter(|row| row[0] == "Network port").map(|row| row[1].as_str()).collect();
    assert_eq!(ports, ["TR-1"], "nobody is named for the port of the room");
}

#[test]
fn the_split_of_works_names_what_the_design_has_and_nothing_else() {
    let mut design = fixture::design(6);
    let at_d3 = design.equipment.openings.iter_mut().find(|equipped| equipped.mark.text() == "D-3").unwrap();
    for fitted in at_d3.devices.iter_mut().filter(|fitted| fitted.role == Role::Lock) {
        fitted.role = Role::PowerTransfer;
    }
    let binder = binder_of(&design);
    let rows = cells(table(&binder, "split-of-works"));
    assert!(rows.contains(
        &["Lock", "5 other openings", "installer", "installer", "installer", "installer"].map(str::to_owned).to_vec()
    ));
    assert!(rows.contains(&["Power transfer", "D-3", "–", "–", "–", "–"].map(str::to_owned).to_vec()), "{rows:?}");
}

#[test]
fn the_quantities_count_what_is_bought_beside_openings_and_rooms() {
    let mut design = fixture::design(6);
    let line = design.price.materials[0].clone();
    design.price.materials.push(MaterialLine {
        section: "People",
        device: DeviceId::new("CARD"),
        quantity: 212.0,
        ..line
    });
    let binder = binder_of(&design);
    let rows = cells(table(&binder, "quantities"));
    assert!(rows.iter().any(|row| ["CARD", "212"].iter().all(|text| row.iter().any(|cell| cell == text))), "{rows:?}");
}

/// Every cell of a table as it reads.
fn cells(table: &Table) -> Vec<Vec<String>> {
    let text = |cell: &Cell| match &cell.value {
        Value::Text(text) => text.clone(),
        Value::Number { value, .. } => format!("{value}"),
        _ => String::new(),
    };
    table.rows.iter().map(|row| row.cells.iter().map(text).collect()).collect()
}

#[test]
fn a_controller_sheet_shows_every_port_and_every_core() {
    let design = fixture::design(6);
    let words = words(&binder_of(&design), "controller-sheets");
    assert!(words.contains("TR-1/C2: Controller for 4 openings") && words.contains("2 of 4"));
    assert!(words.contains("finger templates"));
    assert_eq!(words.lines().filter(|line| *line == "spare").count(), 2);
    for opening in design.survey.openings.iter().filter(|opening| opening.name.starts_with("Office")) {
        assert!(words.contains(&format!("{}/1", opening.mark)));
    }
    assert!(words.contains("1 supply +, 2 supply -, 3 data A, 4 data B, 5 tamper, 6 screen, 7 to 8 spare"));
}

#[test]
fn openings_that_share_no_controller_stand_on_the_controller_sheets_with_what_that_costs() {
    let mut design = fixture::design(6);
    let demands =
        |binder: &Binder| tables_of(binder).filter(|table| table.id == "apart" && !table.rows.is_empty()).count();
    assert_eq!(demands(&binder_of(&design)), 0);
    let marks: Vec<_> = design.survey.openings.iter().take(2).map(|opening| opening.mark.clone()).collect();
    design.placement.apart = vec![dw_engine::place::SharesNone {
        openings: marks.clone(),
        controllers: vec![Some("TR-1/C1".to_owned()), Some("TR-1/C2".to_owned())],
        because: Some("both ways into the vault".to_owned()),
    }];
    design.placement.apart_costs = Some(Money::from_cents(28_000));
    let binder = binder_of(&design);
    assert_eq!(table(&binder, "apart").rows.len(), 2);
    let words = words(&binder, "controller-sheets");
    assert_eq!(words.matches("both ways into the vault").count(), 2);
    assert!(words.contains("Cost beyond the best plan found without these demands"));
}

#[test]
fn the_proposal_holds_until_its_last_day_and_an_undated_job_still_has_papers() {
    let mut design = fixture::design(2);
    let valid = |design: &Design| {
        let binder = binder_of(design);
        let blocks = &binder.papers[0].blocks;
        let facts = blocks.iter().find_map(|block| if let Block::Facts(facts) = block { Some(facts) } else { None });
        facts.unwrap().iter().find(|fact| fact.label == "Valid until").unwrap().cell.value.clone()
    };
    assert_eq!(valid(&design), Value::Date(crate::model::Date::new(2026, 12, 11).unwrap()));
    design.heading.date = "soon".to_owned();
    assert_eq!(valid(&design), Value::Text("–".to_owned()));
    assert!(papers(&design).is_ok());
}

#[test]
fn the_binder_explains_the_figures_it_prints_and_no_others() {
    let binder = binder_of(&fixture::design(3));
    let ids: Vec<&str> = binder.workings.iter().map(|working| working.id.as_str()).collect();
    assert_eq!(ids, ["opening/D-1/lock_end_v"]);
    assert_eq!(binder.workings[0].inputs.len(), 3);
    assert_eq!(binder.workings[0].result.cell, Cell::number(19.9, 1));
}

#[test]
fn a_locale_that_is_no_language_tag_is_told_and_replaced() {
    let mut design = fixture::design(2);
    design.survey.settings.locale = "English, please".to_owned();
    let binder = binder_of(&design);
    assert_eq!(binder.locale.tag(), "en-GB");
    assert!(words(&binder, "findings-and-assumptions").contains("English, please"));
}

#[test]
fn the_same_design_gives_the_same_files_with_fixed_names() {
    let design = fixture::design(2);
    let files = papers(&design).unwrap();
    let names: Vec<&str> = files.iter().map(|file| file.name.as_str()).collect();
    for name in [
        "binder.pdf",
        "proposal.pdf",
        "opening-schedule.pdf",
        "bill-of-materials.pdf",
        "cable-schedule.pdf",
        "controller-sheets.pdf",
        "power-and-batteries.pdf",
        "findings-and-assumptions.pdf",
        "schedules.xlsx",
        "opening-schedule.csv",
        "bill-of-materials.csv",
        "cable-schedule.csv",
        "controllers.csv",
        "power.csv",
        "findings.csv",
        "assumptions.csv",
    ] {
        assert!(names.contains(&name), "{name} is missing of {names:?}");
    }
    let distinct: std::collections::BTreeSet<&str> = names.iter().copied().collect();
    assert_eq!(distinct.len(), names.len());
    assert_eq!(papers(&design).unwrap(), files);
}

#[test]
fn an_empty_design_still_has_all_papers() {
    let mut design = fixture::design(1);
    design.survey.openings.clear();
    design.survey.rooms.clear();
    design.equipment.openings.clear();
    design.placement.controllers.clear();
    design.placement.served.clear();
    design.placement.cost = Money::ZERO;
    design.placement.gap = f64::NAN;
    design.routes.openings.clear();
    design.cables.runs.clear();
    design.power.enclosures.clear();
    design.power.locks.clear();
    design.price.materials.clear();
    design.price.openings.clear();
    design.findings.clear();
    design.assumptions.clear();
    design.heading.caution.clear();
    assert!(papers(&design).unwrap().iter().all(|file| !file.bytes.is_empty()));
}

#[test]
fn the_links_paper_has_buses_addresses_and_the_bridge_in_the_units_of_the_reader() {
    let mut design = fixture::design(2);
    let text = words(&binder_of(&design), "links");
    for wanted in [
        "TR-1/C1 bus 1",
        "reader of D-1/1; controller",
        "10.20.0.4",
        "10.20.0.5 to 10.20.0.30",
        "poplars",
        "16-QAM 1/2",
    ] {
        assert!(text.contains(wanted), "{wanted}");
    }
    let trunk = |design: &Design| {
        let binder = binder_of(design);
        let buses = table(&binder, "buses");
        buses.rows[0].cells[column(buses, "Trunk")].value.clone()
    };
    let number = |value: Value| if let Value::Number { value, .. } = value { value } else { f64::NAN };
    assert!((number(trunk(&design)) - 30.48).abs() < 1e-9);
    design.survey.settings.units = UnitSystem::Us;
    assert!((number(trunk(&design)) - 100.0).abs() < 1e-9);
}

#[test]
fn the_card_order_says_what_is_ordered_and_asks_for_what_is_not_known() {
    let mut design = fixture::design(3);
    let told = words(&binder_of(&design), "card-order");
    for expected in ["Layout w26", "Facility code 90", "First number 1201", "Last number 1640", "The supplier states"] {
        assert!(told.contains(expected), "{expected}: {told}");
    }
    assert!(told.contains("Which kind of card") && !told.contains("Which layout"));
    let order = design.capacity.card_order.as_mut().unwrap();
    (order.layout, order.facility, order.ranges_in_use) = (None, None, 0);
    order.blocks.clear();
    let told = words(&binder_of(&design), "card-order");
    for expected in ["Which layout", "Which facility code", "Which numbers are in use", "Layout –"] {
        assert!(told.contains(expected), "{expected}: {told}");
    }
    design.capacity.card_order = None;
    assert!(binder_of(&design).papers.iter().all(|paper| paper.id != "card-order"));
}

#[test]
fn links_between_rooms_show_what_bridge_and_trench_cost_and_which_is_taken() {
    let mut design = fixture::design(2);
    let shown = |design: &Design| {
        let binder = binder_of(design);
        let links = table(&binder, "room-links");
        let cell = |title: &str| links.rows[0].cells[column(links, title)].clone();
        let money =
            ["Radio bridge costs", "Trench and fibre cost", "The other is dearer by"].map(|title| amount(&cell(title)));
        (cell("By").value, money)
    };
    let cents = |cents: i64| Some(Decimal::new(cents, 2));
    let costs = [cents(3_000_000), cents(2_774_400), cents(225_600)];
    assert_eq!(shown(&design), (Value::Text("trench, F-2".to_owned()), costs));
    let link = &mut design.routes.links[0];
    (link.trench, link.device, link.trench_cost) = (None, Some(DeviceId::new("RB")), None);
    assert_eq!(shown(&design), (Value::Text("radio bridge RB".to_owned()), [cents(3_000_000), None, None]));
}
