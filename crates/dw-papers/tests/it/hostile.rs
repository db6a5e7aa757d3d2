//! Text that means harm, and tables of odd shapes.

use crate::fixture::ferry_terminal;
use crate::pdf::{n_pages, squeezed, text};
use dw_papers::model::{Binder, Block, Cell, Column, Fact, Orientation, Paper, Row, Table, Value, Working};
use dw_papers::{Error, Which, write_csv, write_pdf, write_xlsx};
use rust_decimal::Decimal;

const MARKUP: &str =
    "#panic() [x] *bold* _it_ $a^2$ <label> @ref `raw` // gone /* gone */ \\n ~ -- ''quoted'' = head - item";

fn table(columns: Vec<Column>, rows: Vec<Row>) -> Table {
    Table { id: "t".to_owned(), title: "Table".to_owned(), columns, rows }
}

fn binder(blocks: Vec<Block>) -> Binder {
    let paper = Paper { id: "p".to_owned(), title: "Paper".to_owned(), orientation: Orientation::Portrait, blocks };
    Binder { papers: vec![paper], workings: vec![], ..ferry_terminal("en-GB") }
}

/// The text in every place that a binder has for one.
fn everywhere(hostile: &str) -> Binder {
    let text = || hostile.to_owned();
    let column = |weight| Column::text(hostile, weight);
    let rows = vec![
        Row::group(hostile),
        Row::new(vec![Cell::text(hostile), Cell::text("plain"), Cell::text(hostile)]),
        Row::total(vec![Cell::text(hostile)]),
    ];
    let fact = Fact::new(hostile, Cell::text(hostile).explained_by(hostile)).in_unit(hostile);
    let blocks = vec![
        Block::Heading(text()),
        Block::Text(text()),
        Block::List(vec![text(), text()]),
        Block::Facts(vec![fact.clone(), fact.clone()]),
        Block::Caution(text()),
        Block::Table(Table { id: text(), title: text(), columns: vec![column(1.0), column(5.0), column(0.01)], rows }),
    ];
    let mut binder = binder(blocks);
    let block = &mut binder.title_block;
    for field in [
        &mut block.customer,
        &mut block.site,
        &mut block.job_number,
        &mut block.job_title,
        &mut block.revision,
        &mut block.prepared_by,
        &mut block.checked_by,
        &mut block.status,
        &mut block.units,
        &mut block.currency,
        &mut binder.document_id,
        &mut binder.papers[0].title,
    ] {
        hostile.clone_into(field);
    }
    let working = Working {
        id: text(),
        about: text(),
        title: text(),
        formula: text(),
        inputs: vec![fact.clone()],
        result: fact,
        source: text(),
    };
    binder.workings = vec![working.clone(), working];
    binder
}

fn write_all(binder: &Binder) -> Vec<u8> {
    write_xlsx(binder).unwrap();
    assert!(!write_csv(binder).unwrap().is_empty());
    write_pdf(binder, Which::Binder).unwrap()
}

#[test]
fn markup_is_printed_as_it_was_written() {
    let text = text(&write_all(&everywhere(MARKUP)));
    assert!(text.matches(&squeezed(MARKUP)).count() > 10, "{text}");
}

#[test]
fn no_character_breaks_the_writers() {
    let control: String = ('\u{0}'..'\u{20}').chain('\u{7f}'..'\u{a0}').collect();
    for hostile in [
        "",
        " ",
        "\n\n\n",
        "\u{202e}reversed\u{2066}",
        "שער הנהר door בוابة العبارة gate",
        "🚪🔒👷🏽‍♀️ \u{fe0f}\u{200d}",
        "e\u{301}\u{301}\u{301}\u{301}",
        "門扉制御盤室入口",
        "\u{ffff}\u{10ffff}\u{feff}\u{fffd}",
        "=HYPERLINK(\"x\")",
        "-",
        &control,
    ] {
        let bytes = write_all(&everywhere(hostile));
        assert!(n_pages(&bytes) >= 3, "{hostile:?}");
    }
}

#[test]
fn hebrew_and_arabic_are_printed_with_real_glyphs() {
    let text = text(&write_pdf(&everywhere("שער العبارة"), Which::Paper("p")).unwrap());
    assert!(text.contains('ש') && text.contains('ع'));
}

#[test]
fn a_name_of_ten_thousand_characters_does_not_destroy_the_paper() {
    for name in
        ["x".repeat(10_000), "W".repeat(10_000), "ab ".repeat(3_333), "D-01/".repeat(2_000), "門".repeat(10_000)]
    {
        let bytes = write_all(&everywhere(&name));
        let n_pages = n_pages(&bytes);
        assert!(n_pages < 40, "{n_pages} pages for {:?}", &name.chars().take(5).collect::<String>());
        let text = text(&bytes);
        assert!(text.contains("morecharacters)") && text.contains("plain"));
    }
}

#[test]
fn empty_tables_lists_and_papers_are_written() {
    let blocks = vec![
        Block::Table(table(vec![Column::text("Mark", 1.0)], vec![])),
        Block::Table(table(vec![Column::text("Mark", 1.0)], vec![Row::group("A"), Row::group("B")])),
        Block::Table(table(vec![Column::text("Mark", 1.0)], vec![Row::new(vec![]), Row::total(vec![])])),
        Block::List(vec![]),
        Block::Facts(vec![]),
    ];
    let text = text(&write_all(&binder(blocks)));
    assert!(text.contains("Noentries"));
    let empty = Binder { papers: vec![], ..binder(vec![]) };
    assert_eq!(n_pages(&write_pdf(&empty, Which::Binder).unwrap()), 1);
    assert!(write_csv(&empty).unwrap().is_empty() && !write_xlsx(&empty).unwrap().is_empty());
}

#[test]
fn odd_shapes_are_refused_by_every_writer() {
    let one = |weight| vec![Column::text("Mark", weight)];
    let wide = |row: fn(Vec<Cell>) -> Row| row(vec![Cell::text("a"), Cell::text("b")]);
    let group = |cells| Row { kind: dw_papers::model::RowKind::Group, cells };
    for bad in [
        table(vec![], vec![]),
        table(one(0.0), vec![]),
        table(one(f64::NAN), vec![]),
        table(one(f64::INFINITY), vec![]),
        table(one(1.0), vec![wide(Row::new)]),
        table(one(1.0), vec![wide(group)]),
    ] {
        let binder = binder(vec![Block::Table(bad)]);
        let errors = [
            write_pdf(&binder, Which::Binder).unwrap_err(),
            write_xlsx(&binder).unwrap_err(),
            write_csv(&binder).unwrap_err(),
        ];
        for error in errors {
            assert!(matches!(&error, Error::Table { table, .. } if table == "t"), "{error}");
        }
    }
}

#[test]
fn extreme_figures_are_written_and_unknown_ones_say_so() {
    let value = |value| Cell { value, figure: None };
    let cells = [
        Value::Number { value: f64::MAX, digits: 255 },
        Value::Number { value: f64::MIN_POSITIVE, digits: 255 },
        Value::Number { value: f64::NAN, digits: 2 },
        Value::Number { value: f64::INFINITY, digits: 2 },
        Value::Money(Decimal::MAX),
        Value::Money(Decimal::MIN),
    ];
    let rows = cells.into_iter().map(|cell| Row::new(vec![Cell::text("row"), value(cell)])).collect();
    let columns = vec![Column::text("Row", 1.0), Column::number("Figure", "V", 1.0)];
    let text = text(&write_all(&binder(vec![Block::Table(table(columns, rows))])));
    assert_eq!(text.matches("unknown").count(), 2);
    assert!(text.contains("79,228,162,514,264,337,593,543,950,335.00"));
}

#[test]
fn forty_narrow_columns_stay_on_the_page() {
    let columns = (0..40).map(|idx| Column::number(format!("Column {idx}"), "mm", 1.0)).collect();
    let rows = vec![Row::new((0..40).map(|idx| Cell::number(f64::from(idx), 0)).collect())];
    let text = text(&write_all(&binder(vec![Block::Table(table(columns, rows))])));
    assert!(text.contains("39"));
}
