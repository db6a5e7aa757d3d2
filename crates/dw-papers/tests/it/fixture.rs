//! A binder filled by hand for an invented river ferry terminal, and a large one for speed.

use dw_papers::locale::Locale;
use dw_papers::model::{Binder, Block, Cell, Column, Date, Fact, Orientation, Paper, Row, Table, TitleBlock, Working};
use rust_decimal::Decimal;

/// Openings of the terminal by place: mark, name, door, hardware, reader.
const PLACES: [(&str, [&str; 4]); 5] = [
    ("Passenger hall, ground floor", ["Ticket office", "Crew entrance", "Baggage store", "Staff corridor"]),
    ("Workshop", ["Oil store", "Engine bench", "Paint locker", "Tool crib"]),
    ("Control tower, second floor", ["Control room", "Radio room", "Equipment room", "Roof hatch"]),
    ("Car park on Quay Road", ["Entry barrier", "Exit barrier", "Cycle gate", "Pay station cabinet"]),
    ("Pump house across the water", ["Main door", "Switch room", "Chemical dosing store", "River gate"]),
];

/// The whole issue: proposal, opening schedule, bill of materials, power sheet, findings.
pub(crate) fn ferry_terminal(tag: &str) -> Binder {
    issue(tag, 52)
}

/// The same with another number of rows in the opening schedule.
pub(crate) fn issue(tag: &str, n_openings: usize) -> Binder {
    Binder {
        title_block: title_block(),
        locale: Locale::new(tag).unwrap(),
        document_id: "FT-2607/P2".to_owned(),
        papers: vec![proposal(), opening_schedule(n_openings), bill_of_materials(), power_sheet(), findings()],
        workings: (1..=24).map(working).collect(),
    }
}

fn title_block() -> TitleBlock {
    TitleBlock {
        customer: "Lower Reach Ferry Trust".to_owned(),
        site: "South Bank Terminal, Quay Road".to_owned(),
        job_number: "FT-2607".to_owned(),
        job_title: "Access control for the ferry terminal".to_owned(),
        revision: "P2".to_owned(),
        issue_date: Date::new(2026, 4, 3),
        prepared_by: "Design office".to_owned(),
        checked_by: String::new(),
        status: "For approval".to_owned(),
        units: "Metres, square millimetres, volts, amperes, ampere-hours, hours".to_owned(),
        currency: "EUR".to_owned(),
    }
}

fn proposal() -> Paper {
    let money = |cents| Cell::money(Decimal::new(cents, 2));
    let list = |items: &[&str]| Block::List(items.iter().map(|item| (*item).to_owned()).collect());
    Paper {
        id: "proposal".to_owned(),
        title: "Proposal summary".to_owned(),
        orientation: Orientation::Portrait,
        blocks: vec![
            Block::Text(
                "We propose to equip fifty-two openings of the terminal: the passenger hall, the workshop, the control tower, \
                 the car park and the pump house on the far bank. Staff keep their cards; crew who work with oily hands are \
                 not asked for a finger. The figures below follow from the survey of 12 March and are explained in the workings."
                    .to_owned(),
            ),
            Block::Heading("Price".to_owned()),
            Block::Facts(vec![
                Fact::new("Equipment", money(4_812_350)),
                Fact::new("Labour", money(3_145_000)),
                Fact::new("Total without tax", money(7_957_350).explained_by("price/total")),
                Fact::new("Valid until", Cell::date(Date::new(2026, 6, 30).unwrap())),
                Fact::new("Longest cable run", Cell::number(1_187.4, 1).explained_by("figure-3")).in_unit("m"),
            ]),
            Block::Heading("Quantities".to_owned()),
            Block::Table(Table {
                id: "quantities".to_owned(),
                title: "Openings by kind".to_owned(),
                columns: vec![Column::text("Kind", 4.0), Column::number("Openings", "", 1.0), Column::money("Price", 2.0)],
                rows: vec![
                    Row::new(vec![Cell::text("Single door"), Cell::count(38), money(4_180_000)]),
                    Row::new(vec![Cell::text("Pair of doors with latch retraction"), Cell::count(6), money(1_427_350)]),
                    Row::new(vec![Cell::text("Vehicle barrier"), Cell::count(2), money(1_150_000)]),
                    Row::new(vec![Cell::text("Gate"), Cell::count(6), money(1_200_000)]),
                    Row::total(vec![Cell::text("Total"), Cell::count(52), money(7_957_350)]),
                ],
            }),
            Block::Heading("Split of works".to_owned()),
            list(&[
                "Door hardware and power transfers: supplied by us, fitted by the joiner of the main contractor.",
                "Mains spurs to the three enclosures, and the contact from the fire panel: by the electrical contractor.",
                "Network ports and addresses: by the customer.",
            ]),
            Block::Heading("Not included".to_owned()),
            list(&["Making good and decoration.", "Asbestos survey of the old ticket office.", "Ducts under Quay Road."]),
            Block::Caution(
                "Doors on escape routes must open for anyone leaving, at all times, without a key or a code. The rules checked \
                 here are listed in the findings; the local code, the authority having jurisdiction and a licensed person decide."
                    .to_owned(),
            ),
        ],
    }
}

fn opening_schedule(n_openings: usize) -> Paper {
    let mut rows = Vec::new();
    let n_per_place = n_openings.div_ceil(PLACES.len());
    for idx in 0..n_openings {
        let (place, names) = PLACES[idx / n_per_place];
        if idx % n_per_place == 0 {
            rows.push(Row::group(place));
        }
        rows.push(opening_row(idx, names[idx % names.len()]));
    }
    let total: f64 = (0..n_openings).map(cable_m).sum();
    let mut sum = vec![Cell::empty(); 8];
    sum[0] = Cell::text("Total");
    sum.push(Cell::number(total, 1));
    rows.push(Row::total(sum));
    Paper {
        id: "opening-schedule".to_owned(),
        title: "Opening schedule".to_owned(),
        orientation: Orientation::Landscape,
        blocks: vec![Block::Table(Table {
            id: "openings".to_owned(),
            title: "Openings".to_owned(),
            columns: vec![
                Column::text("Mark", 1.0),
                Column::text("Opening", 2.2),
                Column::text("Leaf", 1.4),
                Column::text("Handing", 1.0),
                Column::text("Lock", 2.2),
                Column::text("Reader", 1.6),
                Column::text("Exit", 1.4),
                Column::text("Fits lock / wires", 1.6),
                Column::number("Cable", "m", 1.0),
                Column::number("At lock", "V", 1.0),
                Column::text("Normal use", 2.0),
                Column::text("On fire", 1.4),
                Column::text("On loss of power", 1.6),
                Column::text("Status", 1.2),
            ],
            rows,
        })],
    }
}

fn cable_m(idx: usize) -> f64 {
    31.5 + ((idx * 37) % 90) as f64
}

fn opening_row(idx: usize, name: &str) -> Row {
    let pick = |choices: &[&str]| Cell::text(choices[idx % choices.len()]);
    let figure = format!("figure-{}", idx % 24 + 1);
    Row::new(vec![
        Cell::text(format!("D-{:03}", idx + 1)),
        Cell::text(name),
        pick(&["Steel, single", "Timber, single", "Glass, pair", "Steel, pair"]),
        pick(&["LH", "RH", "LHR", "RHR"]),
        pick(&[
            "Electric strike, fail secure",
            "Electromagnetic lock",
            "Electrified mortise lock",
            "Latch retraction exit device",
        ]),
        pick(&["Card, mullion", "Card and PIN", "Finger and card"]),
        pick(&["Sensor", "Push bar", "Handle"]),
        pick(&["Joiner / us", "Us / us", "Contractor / us"]),
        Cell::number(cable_m(idx), 1),
        Cell::number(11.62 - (idx % 17) as f64 * 0.07, 2).explained_by(figure),
        pick(&["Card to enter, free to leave", "Card both ways", "Free 06:30 to 19:00, card after"]),
        pick(&["Unlocks", "Stays locked", "Unlocks, free to leave"]),
        pick(&["Unlocks", "Stays locked; handle frees"]),
        pick(&["Surveyed", "Approved", "Provisional"]),
    ])
}

fn bill_of_materials() -> Paper {
    let lines = [
        ("Controller, four openings", 11, 64_000),
        ("Controller, two openings, on-board finger matching", 3, 78_500),
        ("Card reader, mullion", 46, 11_900),
        ("Card reader with keypad, outdoor", 9, 18_450),
        ("Electric strike, 12 V, fail secure", 21, 8_825),
        ("Electromagnetic lock, 2.7 kN holding force", 14, 15_640),
        ("Power supply, 12 V 5 A, with charger", 8, 21_400),
        ("Battery, 12 V 17 Ah, valve-regulated lead-acid", 16, 4_875),
        ("Cable, 6 x 0.22 mm², screened", 2_650, 96),
        ("Cable, 2 x 1.0 mm²", 2_480, 112),
    ];
    let cost = |(_, quantity, cents): &(&str, i64, i64)| Decimal::new(quantity * cents, 2);
    let mut rows: Vec<Row> = lines
        .iter()
        .enumerate()
        .map(|(idx, line)| {
            Row::new(vec![
                Cell::text(format!("M-{:02}", idx + 1)),
                Cell::text(line.0),
                Cell::number(line.1 as f64, 0),
                Cell::text(if line.0.starts_with("Cable") { "m" } else { "piece" }),
                Cell::money(Decimal::new(line.2, 2)),
                Cell::money(cost(line)),
            ])
        })
        .collect();
    let mut sum = vec![Cell::empty(); 5];
    sum[1] = Cell::text("Total without tax");
    sum.push(Cell::money(lines.iter().map(cost).sum()).explained_by("price/total"));
    rows.push(Row::total(sum));
    Paper {
        id: "bill-of-materials".to_owned(),
        title: "Bill of materials".to_owned(),
        orientation: Orientation::Portrait,
        blocks: vec![Block::Table(Table {
            id: "materials".to_owned(),
            title: "Materials".to_owned(),
            columns: vec![
                Column::text("Item", 1.0),
                Column::text("Description", 6.0),
                Column::number("Quantity", "", 1.2),
                Column::text("Per", 1.0),
                Column::money("Price", 1.6),
                Column::money("Amount", 1.8),
            ],
            rows,
        })],
    }
}

fn power_sheet() -> Paper {
    let number = |value, digits, id: &str| Cell::number(value, digits).explained_by(id);
    Paper {
        id: "power".to_owned(),
        title: "Power and batteries".to_owned(),
        orientation: Orientation::Landscape,
        blocks: vec![
            Block::Heading("Enclosure E-01, telecom room TR-1".to_owned()),
            Block::Facts(vec![
                Fact::new("Standby load", number(1.42, 2, "figure-1")).in_unit("A"),
                Fact::new("Peak load", number(3.91, 2, "figure-2")).in_unit("A"),
                Fact::new("Standby time asked", Cell::number(8.0, 0)).in_unit("h"),
                Fact::new("Battery needed", number(17.63, 2, "figure-4")).in_unit("Ah"),
                Fact::new("Battery chosen", Cell::text("2 x 12 V 17 Ah in parallel")),
                Fact::new("Replace before", Cell::date(Date::new(2030, 4, 1).unwrap())),
            ]),
            Block::Caution(
                "Mains work is for a licensed person. Isolate both batteries before working inside.".to_owned(),
            ),
            Block::Table(Table {
                id: "loads".to_owned(),
                title: "Loads".to_owned(),
                columns: vec![
                    Column::text("Device", 4.0),
                    Column::number("Quantity", "", 1.0),
                    Column::number("Standby", "A", 1.0),
                    Column::number("Peak", "A", 1.0),
                ],
                rows: vec![],
            }),
        ],
    }
}

fn findings() -> Paper {
    let finding = |code: &str, severity: &str, place: &str, words: &str, help: &str| {
        Row::new(vec![Cell::text(code), Cell::text(severity), Cell::text(place), Cell::text(words), Cell::text(help)])
    };
    Paper {
        id: "findings".to_owned(),
        title: "Findings and assumptions".to_owned(),
        orientation: Orientation::Landscape,
        blocks: vec![
            Block::Text("No conflict found with the rules checked, but for these.".to_owned()),
            Block::Table(Table {
                id: "findings".to_owned(),
                title: "Findings".to_owned(),
                columns: vec![
                    Column::text("Code", 1.0),
                    Column::text("Severity", 0.8),
                    Column::text("Place", 1.6),
                    Column::text("Finding", 5.0),
                    Column::text("Way out", 5.0),
                ],
                rows: vec![
                    finding(
                        "POW-014",
                        "stop",
                        "D-031, openings.csv row 32",
                        "The lock gets 10.1 V when the battery is at its end voltage of 10.5 V; it needs 10.8 V",
                        "Use 2 x 1.5 mm² instead of 2 x 1.0 mm² on the 94 m run, or move the lock to enclosure E-02.",
                    ),
                    finding(
                        "EQP-007",
                        "fix",
                        "D-018",
                        "A finger reader serves a group of whom 60 % have soiled hands",
                        "Use a card reader there, or pin a reader that takes a vein pattern.",
                    ),
                    finding(
                        "SUR-002",
                        "note",
                        "D-044",
                        "Backset not surveyed; 55 mm assumed",
                        "Measure on the next visit.",
                    ),
                ],
            }),
            Block::Heading("Assumptions".to_owned()),
            Block::List(vec!["Ceilings of the passenger hall can be opened.".to_owned()]),
        ],
    }
}

fn working(number: usize) -> Working {
    Working {
        id: if number == 24 { "price/total".to_owned() } else { format!("figure-{number}") },
        about: format!("opening D-{number:03}"),
        title: "Voltage at the lock".to_owned(),
        formula: "lock = battery end − 2 × length × resistance × inrush".to_owned(),
        inputs: vec![
            Fact::new("battery end", Cell::number(10.5, 2)).in_unit("V"),
            Fact::new("length", Cell::number(cable_m(number), 1)).in_unit("m"),
            Fact::new("resistance", Cell::number(0.0181, 4)).in_unit("Ω/m"),
            Fact::new("inrush", Cell::number(0.35, 2)).in_unit("A"),
        ],
        result: Fact::new("lock", Cell::number(9.87, 2)).in_unit("V"),
        source: "Ohm's law; resistance from IEC 60228, class 2, at 20 °C".to_owned(),
    }
}
