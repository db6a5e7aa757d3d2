//! PDF files, read back.

use crate::fixture::{ferry_terminal, issue};
use dw_papers::{Error, Which, write_pdf};
use lopdf::{Document, Object};

/// Text of the pages with all white space taken out, because a line may end anywhere.
pub(crate) fn text(bytes: &[u8]) -> String {
    let document = Document::load_mem(bytes).unwrap();
    let pages: Vec<u32> = document.get_pages().keys().copied().collect();
    squeezed(&document.extract_text(&pages).unwrap())
}

pub(crate) fn squeezed(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace() && *c != '\u{ad}').collect()
}

pub(crate) fn n_pages(bytes: &[u8]) -> usize {
    Document::load_mem(bytes).unwrap().get_pages().len()
}

#[test]
fn the_binder_shows_the_title_block_and_every_kind_of_value() {
    let bytes = write_pdf(&ferry_terminal("en-GB"), Which::Binder).unwrap();
    let text = text(&bytes);
    for expected in [
        "Lower Reach Ferry Trust",
        "South Bank Terminal, Quay Road",
        "FT-2607",
        "For approval",
        "Access control for the ferry terminal",
        "3 Apr 2026",
        "EUR 79,573.50",
        "Price (EUR)",
        "28,385.95",
        "1,187.4 m",
        "3,990.0",
        "On loss of power",
        "Pump house across the water",
        "2 x 12 V 17 Ah in parallel",
        "No entries",
        "30 Jun 2026",
        "resistance (Ω/m)",
        "0.0181",
    ] {
        assert!(text.contains(&squeezed(expected)), "{expected} is missing");
    }
    let n_pages = n_pages(&bytes);
    for page in 1..=n_pages {
        assert!(text.contains(&format!("{page}of{n_pages}")), "page {page} carries no number");
    }
}

#[test]
fn a_single_paper_holds_that_paper_only() {
    let bytes = write_pdf(&ferry_terminal("en-GB"), Which::Paper("bill-of-materials")).unwrap();
    let text = text(&bytes);
    assert!(text.contains("Electromagneticlock,2.7kNholdingforce"));
    assert!(text.contains("1of1"));
    assert!(!text.contains("Openingschedule") && !text.contains("Workings"));
}

#[test]
fn a_paper_that_is_not_there_is_an_error_with_its_name() {
    let error = write_pdf(&ferry_terminal("en-GB"), Which::Paper("riser")).unwrap_err();
    assert!(matches!(&error, Error::NoSuchPaper(id) if id == "riser"));
    assert_eq!(error.to_string(), "there is no paper \"riser\" in the binder");
}

#[test]
fn the_same_binder_gives_the_same_bytes() {
    let binder = ferry_terminal("de-DE");
    let first = write_pdf(&binder, Which::Binder).unwrap();
    assert!(first == write_pdf(&binder, Which::Binder).unwrap());
    let mut next = binder.clone();
    next.title_block.revision = "P3".to_owned();
    assert!(first != write_pdf(&next, Which::Binder).unwrap());
}

#[test]
fn the_file_is_tagged_and_bookmarked_and_names_its_title() {
    let document = Document::load_mem(&write_pdf(&ferry_terminal("en-GB"), Which::Binder).unwrap()).unwrap();
    let catalog = document.catalog().unwrap();
    let marked = document.dereference(catalog.get(b"MarkInfo").unwrap()).unwrap().1.as_dict().unwrap();
    assert!(marked.get(b"Marked").unwrap().as_bool().unwrap());
    assert!(catalog.has(b"StructTreeRoot") && catalog.has(b"Lang"));
    let titles: Vec<String> = document
        .get_toc()
        .unwrap()
        .toc
        .iter()
        .filter(|entry| entry.level == 1)
        .map(|entry| entry.title.clone())
        .collect();
    assert_eq!(titles[1..4], ["Proposal summary", "Opening schedule", "Bill of materials"]);
}

#[test]
fn figures_link_to_their_working_in_the_binder_and_nowhere_else() {
    let links = |which| {
        let document = Document::load_mem(&write_pdf(&ferry_terminal("en-GB"), which).unwrap()).unwrap();
        let annotations = document.get_pages().into_values().flat_map(|page| {
            let found = document.get_page_annotations(page).unwrap();
            found.iter().map(|dict| dict.get(b"Subtype").cloned().unwrap()).collect::<Vec<Object>>()
        });
        annotations.filter(|kind| kind.as_name().unwrap() == b"Link").count()
    };
    // 52 voltages, but those of working 24, whose id belongs to the price: two of them. Three facts of the power sheet,
    // the longest run, two prices. Six entries of the contents list.
    assert_eq!(links(Which::Binder), (52 - 2) + 3 + 1 + 2 + 6);
    assert_eq!(links(Which::Paper("opening-schedule")), 0);
}

#[test]
fn the_sheet_is_the_one_of_the_locale_and_schedules_lie_across() {
    let size = |tag, which| {
        let document = Document::load_mem(&write_pdf(&ferry_terminal(tag), which).unwrap()).unwrap();
        let page = document.get_object(document.get_pages()[&1]).unwrap().as_dict().unwrap();
        let sides: Vec<f32> =
            page.get(b"MediaBox").unwrap().as_array().unwrap().iter().map(|side| side.as_float().unwrap()).collect();
        (sides[2].round(), sides[3].round())
    };
    assert_eq!(size("en-GB", Which::Paper("proposal")), (595.0, 842.0));
    assert_eq!(size("en-GB", Which::Paper("opening-schedule")), (842.0, 595.0));
    assert_eq!(size("en-US", Which::Paper("opening-schedule")), (792.0, 612.0));
}

#[test]
fn figures_follow_the_locale() {
    let text = text(&write_pdf(&ferry_terminal("de-DE"), Which::Paper("proposal")).unwrap());
    assert!(text.contains("79.573,50EUR") && text.contains("30.06.2026") && text.contains("1.187,4m"));
}

#[test]
fn the_head_of_a_table_stands_on_every_page_it_runs_to() {
    let bytes = write_pdf(&issue("en-GB", 200), Which::Paper("opening-schedule")).unwrap();
    let n_pages = n_pages(&bytes);
    assert!(n_pages > 5);
    assert_eq!(text(&bytes).matches("Onlossofpower").count(), n_pages);
}
