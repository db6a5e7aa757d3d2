//! The papers of a design as PDF, XLSX and CSV: one page model, thin writers, bytes out.
//!
//! [`model::Binder`] says what the papers hold; each writer is a pure function of it. The date and the identity written
//! into the files are fields of the binder, so the same binder gives the same bytes on every run. Nothing here opens a
//! file, reads a clock or knows how a design came about.

mod contents;
mod csv_out;
mod error;
pub mod locale;
pub mod model;
mod pdf;
mod xlsx;

pub use contents::{PaperFile, papers};
pub use csv_out::{CsvFile, write_csv};
pub use error::Error;
pub use pdf::{Which, write_pdf};
pub use xlsx::write_xlsx;

// The tests inside this crate share the binder of the tests outside it, which call the crate by its name.
#[cfg(test)]
extern crate self as dw_papers;
#[cfg(test)]
#[path = "../tests/it/fixture.rs"]
mod fixture;
