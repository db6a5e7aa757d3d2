//! Papers as tagged PDF, typeset by typst as a library.
//!
//! The template `assets/paper.typ` holds the look and nothing else. It reads one virtual file, `/data.json`, in which every
//! value is already printed in the reader's locale and cut to its column, so text from a job can never act as markup.

mod annex;
mod data;
mod fit;
mod table;
mod world;

use crate::Error;
use crate::model::Binder;
use typst::comemo;
use typst::foundations::{Datetime, Smart};
use typst_layout::PagedDocument;
use typst_pdf::{PdfOptions, PdfStandards, Timestamp};

/// Which pages to write.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Which<'a> {
    /// A front sheet with a contents list, every paper, and the workings annex that figures link to.
    Binder,
    /// The one paper of this id.
    Paper(&'a str),
}

/// The pages as one PDF file: tagged, bookmarked, and the same bytes for the same binder.
///
/// Characters that the bundled fonts lack (Chinese, Japanese, Korean, most emoji) are printed as boxes.
pub fn write_pdf(binder: &Binder, which: Which<'_>) -> Result<Vec<u8>, Error> {
    let bytes = pages(binder, which).and_then(|pages| export(&pages, binder, which));
    // The typesetter remembers every layout; a long-lived program would never get that memory back.
    comemo::evict(0);
    bytes
}

fn pages(binder: &Binder, which: Which<'_>) -> Result<PagedDocument, Error> {
    let fonts = world::fonts()?;
    let document = data::document(binder, which, &fit::Ruler::new(fonts)?)?;
    typst::compile(&world::World::new(fonts, &document)?).output.map_err(|errors| refusal(&errors))
}

fn export(pages: &PagedDocument, binder: &Binder, which: Which<'_>) -> Result<Vec<u8>, Error> {
    let part = match which {
        Which::Binder => "binder",
        Which::Paper(id) => id,
    };
    let date = binder.title_block.issue_date;
    let midnight =
        date.and_then(|date| Datetime::from_ymd_hms(i32::from(date.year()), date.month(), date.day(), 0, 0, 0));
    let options = PdfOptions {
        ident: Smart::Custom(format!("{}/{part}", binder.document_id)),
        creator: Smart::Custom(Some("Doorwright".to_owned())),
        timestamp: midnight.map(Timestamp::new_utc),
        page_ranges: None,
        standards: PdfStandards::default(),
        tagged: true,
        pretty: false,
    };
    typst_pdf::pdf(pages, &options).map_err(|errors| refusal(&errors))
}

fn refusal(errors: &[typst::diag::SourceDiagnostic]) -> Error {
    let messages: Vec<&str> = errors.iter().map(|error| error.message.as_str()).collect();
    Error::Typeset(messages.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::{Block, Cell, Column, Fact, Orientation, Paper, Row, Table};
    use typst::layout::{Frame, FrameItem, Point};

    /// Every run of text on a page: what it says, where it starts and ends.
    fn runs(frame: &Frame, at: Point, found: &mut Vec<(String, f64, f64, f64)>) {
        for (offset, item) in frame.items() {
            let at = at + *offset;
            match item {
                FrameItem::Group(group) => {
                    runs(&group.frame, at + Point::new(group.transform.tx, group.transform.ty), found);
                }
                FrameItem::Text(text) => {
                    found.push((text.text.to_string(), at.x.to_pt(), (at.x + text.width()).to_pt(), at.y.to_pt()));
                }
                _ => {}
            }
        }
    }

    fn full_of(text: &str) -> Binder {
        let mut binder = crate::fixture::ferry_terminal("en-US");
        let fact = Fact::new(text, Cell::text(text));
        let table = Table {
            id: "t".to_owned(),
            title: text.to_owned(),
            columns: [1.0, 4.0, 0.01].map(|weight| Column::text(text, weight)).to_vec(),
            rows: vec![Row::group(text), Row::new(vec![Cell::text(text), Cell::text(text), Cell::text(text)])],
        };
        let text = || text.to_owned();
        let blocks = vec![
            Block::Heading(text()),
            Block::Text(text()),
            Block::List(vec![text()]),
            Block::Caution(text()),
            Block::Facts(vec![fact]),
            Block::Table(table),
        ];
        binder.papers.push(Paper { id: "p".to_owned(), title: text(), orientation: Orientation::Portrait, blocks });
        binder.title_block.customer = text();
        binder.title_block.job_title = text();
        binder
    }

    #[test]
    fn no_text_leaves_the_margins_whatever_its_length() {
        for text in [
            "Ferry",
            &"x".repeat(2_000),
            &"W".repeat(2_000),
            &"D-01/".repeat(400),
            &"word ".repeat(400),
            &"門".repeat(500),
        ] {
            let pages = pages(&full_of(text), Which::Binder).unwrap();
            assert!(pages.pages().len() > 9);
            for page in pages.pages() {
                let (width, height) = (page.frame.width().to_pt(), page.frame.height().to_pt());
                let mut found = Vec::new();
                runs(&page.frame, Point::zero(), &mut found);
                assert!(found.len() > 10);
                for (words, left, right, baseline) in found {
                    let inside = left > 56.0 && right < width - 33.5 && baseline > 39.0 && baseline < height - 34.0;
                    assert!(inside, "{words:?} spans {left} to {right} of {width} at {baseline} of {height}");
                }
            }
        }
    }
}
