//! Workbooks, read back.

use crate::fixture::ferry_terminal;
use calamine::{Data, Range, Reader, Xlsx};
use dw_papers::model::{Block, Cell, Column, Orientation, Paper, Row, Table};
use dw_papers::write_xlsx;
use std::io::Cursor;

fn read(bytes: Vec<u8>) -> Xlsx<Cursor<Vec<u8>>> {
    Xlsx::new(Cursor::new(bytes)).unwrap()
}

fn sheet(bytes: Vec<u8>, name: &str) -> Range<Data> {
    read(bytes).worksheet_range(name).unwrap()
}

#[test]
fn the_first_sheet_identifies_the_issue_and_each_table_has_its_own() {
    let bytes = write_xlsx(&ferry_terminal("en-GB")).unwrap();
    let names = read(bytes.clone()).sheet_names();
    assert_eq!(names, ["Issue", "Openings by kind", "Openings", "Materials", "Loads", "Findings"]);
    let first = sheet(bytes, "Issue");
    let texts: Vec<String> = first.cells().map(|(_, _, cell)| cell.to_string()).collect();
    for expected in ["Lower Reach Ferry Trust", "FT-2607", "P2", "EUR", "Openings", "Caution"] {
        assert!(texts.iter().any(|text| text == expected), "{expected} is missing");
    }
}

#[test]
fn figures_are_numbers_dates_are_dates_and_totals_are_values() {
    let bytes = write_xlsx(&ferry_terminal("en-GB")).unwrap();
    let materials = sheet(bytes.clone(), "Materials");
    assert_eq!(materials.get((0, 4)), Some(&Data::String("Price (EUR)".to_owned())));
    assert_eq!(materials.get((1, 5)), Some(&Data::Float(7040.0)));
    assert_eq!(materials.get((11, 5)), Some(&Data::Float(28_385.95)));
    assert_eq!(materials.get((11, 0)), Some(&Data::Empty));
    let first = sheet(bytes, "Issue");
    let date = first.cells().find_map(|(_, _, cell)| if let Data::DateTime(date) = cell { Some(*date) } else { None });
    let (year, month, day, ..) = date.unwrap().to_ymd_hms_milli();
    assert_eq!((year, month, day), (2026, 4, 3));
}

#[test]
fn heads_are_frozen_and_filtered_and_the_total_stays_below_the_filter() {
    let bytes = write_xlsx(&ferry_terminal("en-GB")).unwrap();
    let xml = part(&bytes, "xl/worksheets/sheet4.xml");
    assert!(xml.contains("<autoFilter ref=\"A1:F11\"/>"), "{xml}");
    assert!(xml.contains("ySplit=\"1\"") && xml.contains("state=\"frozen\""));
    assert!(part(&bytes, "xl/styles.xml").contains("#,##0.0"));
}

#[test]
fn text_that_looks_like_a_formula_stays_text() {
    let mut binder = ferry_terminal("en-GB");
    let rows = ["=1+1", "+49", "-3", "@SUM(A1)", "=cmd|' /C calc'!A0"].map(|text| Row::new(vec![Cell::text(text)]));
    let table = Table {
        id: "t".to_owned(),
        title: "Hostile".to_owned(),
        columns: vec![Column::text("=Name", 1.0)],
        rows: rows.to_vec(),
    };
    binder.papers = vec![Paper {
        id: "p".to_owned(),
        title: "P".to_owned(),
        orientation: Orientation::Portrait,
        blocks: vec![Block::Table(table)],
    }];
    let bytes = write_xlsx(&binder).unwrap();
    assert!(read(bytes.clone()).worksheet_formula("Hostile").unwrap().is_empty());
    let back = sheet(bytes.clone(), "Hostile");
    assert_eq!(back.get((1, 0)), Some(&Data::String("=1+1".to_owned())));
    assert_eq!(back.get((5, 0)), Some(&Data::String("=cmd|' /C calc'!A0".to_owned())));
    assert!(part(&bytes, "xl/styles.xml").contains("quotePrefix=\"1\""));
}

#[test]
fn the_same_binder_gives_the_same_workbook() {
    let binder = ferry_terminal("en-GB");
    assert!(write_xlsx(&binder).unwrap() == write_xlsx(&binder).unwrap());
}

/// One part of the package, unpacked.
fn part(bytes: &[u8], name: &str) -> String {
    let mut archive = zip::ZipArchive::new(Cursor::new(bytes)).unwrap();
    let mut text = String::new();
    std::io::Read::read_to_string(&mut archive.by_name(name).unwrap(), &mut text).unwrap();
    text
}
