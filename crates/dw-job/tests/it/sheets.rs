//! Sheets: titles, rows, separators, lists in a cell, and where findings point.

use dw_core::{Metres, Minutes, Place};
use dw_job::model::{Exposure, OpeningKind};
use dw_job::{JOB_FILE, Job};

use crate::helpers::{check_openings, example, file, lines, read_openings, tables};

#[test]
fn a_title_with_dots_is_a_path_and_empty_cells_are_absent() {
    let job = check_openings("mark,kind,door.fire_rating_min,door.clear_width_mm\nD-1,single,30,\nD-2,,,850\n", &[]);
    assert_eq!(job.openings[0].door.fire_rating, Some(Minutes::new(30.0)));
    assert_eq!(job.openings[0].door.clear_width, None);
    assert_eq!((job.openings[1].kind, job.openings[1].door.clear_width), (None, Some(Metres::new(0.85))));
}

#[test]
fn semicolons_and_tabs_separate_as_well_as_commas() {
    for separator in [",", ";", "\t"] {
        let text = "mark,kind,x_m\nD-1,pair,1.5\n".replace(',', separator);
        let job = check_openings(&text, &[]);
        assert_eq!((job.openings[0].kind, job.openings[0].x), (Some(OpeningKind::Pair), Some(Metres::new(1.5))));
    }
}

#[test]
fn where_semicolons_separate_a_comma_between_digits_is_the_decimal_mark() {
    let job = check_openings("mark;name;x_m;y_m;exposure\nD-1;12,5;72,5;-0,25;outdoors,dust\n", &[]);
    let opening = &job.openings[0];
    assert_eq!((opening.x, opening.y), (Some(Metres::new(72.5)), Some(Metres::new(-0.25))));
    assert_eq!(opening.name.as_deref(), Some("12,5"));
    assert_eq!(opening.exposure, [Exposure::Outdoors, Exposure::Dust]);
    for text in ["mark;x_m\nD-1;1.234,5\n", "mark,x_m\nD-1,\"72,5\"\n"] {
        let (job, sink) = read_openings(text);
        assert_eq!((sink.findings[0].code, job.openings[0].x), ("JOB-002", None), "{text}");
    }
}

#[test]
fn a_misspelt_sheet_is_told_with_the_name_that_was_meant() {
    let (_, sink) = Job::read(&[file(JOB_FILE, ""), file("opening.csv", ""), file("zzz.csv", "")]);
    let told = lines(&sink);
    assert_eq!(
        told[0],
        "JOB-013 opening.csv: no sheet has this name, so the file is not read | Did you mean \"openings.csv\"?"
    );
    assert!(told[1].contains("Keep it in another folder, or rename it to one of buildings.csv, "), "{}", told[1]);
}

#[test]
fn a_sheet_without_rows_is_told_and_its_titles_are_checked() {
    let empty = "JOB-014 openings.csv: the sheet has no row below its titles | Fill in the sheet, or remove it; the \
                 first row holds the titles";
    check_openings("", &[empty]);
    check_openings("mark,kind,door.fire_rating_min\n", &[empty]);
    check_openings("mark,kind\n,\n", &[empty]);
    check_openings(
        "mark,knid\n",
        &[
            empty,
            "JOB-001 openings.csv row 1 column \"knid\": nothing is known under \"knid\" | Did you mean \"kind\"?",
        ],
    );
}

#[test]
fn an_unknown_title_over_empty_cells_is_told_at_the_title() {
    check_openings(
        "mark,knid\nD-1,\n",
        &["JOB-001 openings.csv row 1 column \"knid\": nothing is known under \"knid\" | Did you mean \"kind\"?"],
    );
}

#[test]
fn items_of_a_list_stand_in_one_cell_between_semicolons() {
    let job = check_openings("mark,exposure\nD-1,outdoors; direct-sun ;\n", &[]);
    assert_eq!(job.openings[0].exposure, [Exposure::Outdoors, Exposure::DirectSun]);
}

#[test]
fn yes_and_no_may_be_said_in_the_usual_ways() {
    let job = check_openings("mark,fire_release\nA,yes\nB,X\nC,true\nD,1\nE,No\nF,0\nG,false\n", &[]);
    let said: Vec<Option<bool>> = job.openings.iter().map(|opening| opening.fire_release).collect();
    assert_eq!(said, [[Some(true); 4].as_slice(), [Some(false); 3].as_slice()].concat());
}

#[test]
fn a_bad_cell_is_told_by_row_and_title() {
    check_openings(
        "mark,kind\nD-1,single\nD-2,singel\n",
        &[
            "JOB-002 openings.csv row 3 column \"kind\": \"singel\" cannot be read here | Expected: one of single, pair, \
           sliding, revolving, gate, turnstile-lane, wide-lane, vehicle-barrier, vehicle-gate, lift-car, hatch; did \
           you mean \"single\"?",
        ],
    );
}

#[test]
fn rows_are_counted_as_the_file_shows_them_past_comments_blank_lines_and_cells_of_several_lines() {
    let text = "# survey of Tuesday\nmark,notes,kind\n\n# quay\nD-1,\"two\nlines\",oops\n\nD-2,,oops\n";
    let (_, sink) = read_openings(text);
    let rows: Vec<u32> = sink.findings.iter().filter_map(|f| Some(f.place.source.as_ref()?.line)).collect();
    assert_eq!(rows, [5, 8]);
}

#[test]
fn an_unknown_title_is_told_once_however_many_rows_use_it() {
    check_openings(
        "mark,door.fire_ratng_min\nD-1,\nD-2,30\nD-3,60\n",
        &["JOB-001 openings.csv row 3 column \"door.fire_ratng_min\": nothing is known under \"fire_ratng_min\" \
           | Did you mean \"fire_rating_min\"?"],
    );
}

#[test]
fn a_title_that_stands_twice_is_told_and_the_first_counts() {
    let job = check_openings(
        "mark,storey,kind,kind\nD-1,,pair,single\n",
        &[
            "JOB-010 openings.csv row 1 column \"kind\": \"kind\" stands there already | Remove or rename one of the two",
        ],
    );
    assert_eq!(job.openings[0].kind, Some(OpeningKind::Pair));
}

#[test]
fn a_title_that_is_a_value_and_a_path_at_once_is_told() {
    let (_, sink) = read_openings("mark,door,door.leaf\nD-1,x,timber\n");
    assert_eq!(sink.findings[0].code, "JOB-010");
    assert!(sink.findings[0].headline.contains("\"door.leaf\""), "{}", sink.findings[0].headline);
}

#[test]
fn the_same_mark_in_two_rows_is_told_with_both_rows() {
    let job = check_openings(
        "name,mark\nfirst,D-1\nsecond,D-1\n",
        &["JOB-004 openings.csv row 3 column \"mark\": opening D-1 is there already, at openings.csv row 2 column \
           \"mark\"; this one is left out | Give one of the two another id, or remove it"],
    );
    assert_eq!(job.openings[0].name.as_deref(), Some("first"));
}

#[test]
fn a_row_without_a_mark_is_left_out() {
    let job = check_openings(
        "mark,kind\n,single\nD-2,single\n",
        &["JOB-003 openings.csv row 2 column \"mark\": this opening has no mark and is left out | Add \"mark\""],
    );
    assert_eq!(job.openings.len(), 1);
}

#[test]
fn short_rows_keep_what_they_have_and_cells_beyond_the_titles_are_told_once() {
    let job = check_openings(
        "mark,kind,storey\nD-1\nD-2,pair,,stray,more\nD-3,pair,,again\n",
        &["JOB-006 openings.csv:3:4: no title stands above the cell \"stray\" and 2 more | Correct this line; what \
           could be read around it still counts"],
    );
    assert_eq!(job.openings.len(), 3);
}

#[test]
fn a_quotation_mark_that_is_never_closed_is_told_at_its_row() {
    let closed = "mark,notes\nD-1,\"all \"\"well\"\"\"\nD-2,36\" door\n";
    let job = check_openings(closed, &[]);
    assert_eq!(job.openings[0].notes.as_deref(), Some("all \"well\""));
    check_openings(
        "mark,notes\nD-1,fine\n\nD-2,\"cut off\nD-3,swallowed\n",
        &["JOB-006 openings.csv:4:1: a quotation mark is never closed; everything after it counts as one cell \
           | Correct this line; what could be read around it still counts"],
    );
}

#[test]
fn columns_are_read_to_exactly_their_limit() {
    let sheet = |columns: usize| {
        let titles: Vec<String> = (1..columns).map(|column| format!("t{column}")).collect();
        format!("{},mark\n{}D-1\n", titles.join(","), ",".repeat(columns - 1))
    };
    assert_eq!(read_openings(sheet(500)).0.openings.len(), 1);
    let (job, sink) = read_openings(sheet(501));
    assert_eq!(job.openings.len(), 0);
    assert_eq!(
        lines(&sink)[0],
        "JOB-006 openings.csv:1:501: 501 columns are more than the 500 that are read | Correct this line; what could \
         be read around it still counts"
    );
}

#[test]
fn the_order_of_columns_changes_nothing() {
    let documents = example("ferry-terminal");
    let (job, _) = Job::read(&documents);
    let turned: Vec<_> =
        documents
            .iter()
            .map(|document| {
                if document.name == JOB_FILE { document.clone() } else { file(&document.name, turned(&document.bytes)) }
            })
            .collect();
    assert_ne!(documents[1].bytes, turned[1].bytes);
    assert_eq!(tables(&Job::read(&turned).0), tables(&job));
}

/// The sheet with its columns from right to left.
fn turned(sheet: &[u8]) -> Vec<u8> {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).comment(Some(b'#')).from_reader(sheet);
    let mut writer = csv::WriterBuilder::new().flexible(true).from_writer(Vec::new());
    for record in reader.records() {
        let record = record.expect("a sheet of the examples");
        writer.write_record(record.iter().rev()).expect("written to memory");
    }
    writer.into_inner().expect("written to memory")
}

#[test]
fn a_field_that_was_not_written_is_placed_at_its_row_and_one_that_was_at_its_cell() {
    let (job, _) = Job::read(&[file(JOB_FILE, ""), file("openings.csv", "mark,door.clear_width_mm\nA,\nB,900\n")]);
    let source = |id: &str, field: &str| {
        let place = job.places.resolve(Place::named("opening", id).field(field));
        place.source.map(|source| (source.line, source.column)).expect("the opening is known")
    };
    assert_eq!(source("B", "door.clear_width"), (3, 2));
    assert_eq!(source("A", "door.clear_width"), (2, 1));
}
