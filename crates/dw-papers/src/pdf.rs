//! Papers as tagged PDF, typeset by typst as a library.
//!
//! The template `assets/paper.typ` holds the look and nothing else. It reads one virtual file, `/data.json`, in which every
//! value is already printed in the reader's locale and cut to its column, so text from a job can never act as markup.

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
pub fn write_pdf(binder: &Binder, which: Which<'_>) -> Result<Vec<u8>, Error> {
    let fonts = world::fonts()?;
    let document = data::document(binder, which, &fit::Ruler::new(fonts)?)?;
    let world = world::World::new(fonts, &document)?;
    let bytes = typeset(&world, binder, which);
    // The typesetter remembers every layout; a long-lived program would never get that memory back.
    comemo::evict(0);
    bytes
}

fn typeset(world: &world::World, binder: &Binder, which: Which<'_>) -> Result<Vec<u8>, Error> {
    let pages = typst::compile::<PagedDocument>(world).output.map_err(|errors| refusal(&errors))?;
    let part = match which {
        Which::Binder => "binder",
        Which::Paper(id) => id,
    };
    let date = binder.title_block.issue_date;
    let midnight = Datetime::from_ymd_hms(i32::from(date.year()), date.month(), date.day(), 0, 0, 0);
    let options = PdfOptions {
        ident: Smart::Custom(format!("{}/{part}", binder.document_id)),
        creator: Smart::Custom(Some("Doorwright".to_owned())),
        timestamp: midnight.map(Timestamp::new_utc),
        page_ranges: None,
        standards: PdfStandards::default(),
        tagged: true,
        pretty: false,
    };
    typst_pdf::pdf(&pages, &options).map_err(|errors| refusal(&errors))
}

fn refusal(errors: &[typst::diag::SourceDiagnostic]) -> Error {
    let messages: Vec<&str> = errors.iter().map(|error| error.message.as_str()).collect();
    Error::Typeset(messages.join("; "))
}
