//! Raw placement instances: files of openings and rooms, or of customers and sites, read into problems for `dw-solve`.
//!
//! This crate knows nothing about jobs, catalogues or papers. The form is recognised by content, never by name, and a
//! gzip of either form reads like the form itself:
//!
//! | form | what it is | read by |
//! | --- | --- | --- |
//! | `estate-1` (JSON) | openings, wiring rooms, controllers, rules; lengths in decimetres, money in cents | [`mod@estate`] |
//! | facility (text) | single-source capacitated facility location as in the published collections | [`mod@facility`] |
//!
//! ```
//! // Two sites, two customers: capacity and fixed cost by site, demands, then the cost of serving each from each.
//! let instance = dw_instance::read(b"2 2\n10 7.5\n10 9\n4 6\n1 2.25\n3 1").unwrap();
//! assert_eq!(instance.problem.sites[0].fixed, 750, "in hundredths, because of 2.25");
//! assert_eq!(instance.in_words(750), "7.50");
//! ```

mod answer;
mod error;
pub mod estate;
pub mod facility;

use std::io::Read as _;

use dw_solve::location::Problem;

pub use error::{Place, ReadError};

/// Most bytes of a file, unpacked. An estate of 60,000 openings takes some 6 MB, a thousand sites by ten thousand
/// customers some 60 MB. Own choice: it bounds memory to about a gigabyte whatever the file says.
pub const MAX_BYTES: usize = 64 << 20;

/// Most customers: the solver lets no more than this many share a site.
pub const MAX_CUSTOMERS: usize = 65_000;

/// Most sites. Own choice: twenty times the largest estate we know of.
pub const MAX_SITES: usize = 20_000;

/// A placement instance.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Instance {
    /// Which form the file has.
    pub form: Form,
    /// What is to be solved: customer i and site j are the i-th and j-th of the file.
    pub problem: Problem,
    /// What to call each site: the room's id, or its number.
    pub sites: Vec<String>,
    /// What to call each customer: the opening's id, or its number.
    pub customers: Vec<String>,
    /// Decimals of the file's money: one unit of the problem is 10^-decimals of the file's own unit.
    pub decimals: u32,
}

/// Which form a file has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Openings and rooms as JSON.
    Estate,
    /// Customers and sites as text.
    Facility,
}

/// Reads an instance of either form, packed or not.
///
/// The input may be anything at all: what is no instance is refused with the place, the value and the remedy.
pub fn read(bytes: &[u8]) -> Result<Instance, ReadError> {
    let unpacked = unpack(bytes)?;
    let bytes = unpacked.as_deref().unwrap_or(bytes);
    if bytes.len() > MAX_BYTES {
        return Err(too_long());
    }
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = bytes[..error.valid_up_to()].split(|&byte| byte == b'\n').count();
        ReadError::new(Place::Line(line), "there is something that is no UTF-8 text", "save the file as UTF-8")
    })?;
    let text = text.trim_start_matches('\u{feff}');
    if text.trim_start().starts_with(['{', '[']) { estate::read(text) } else { facility::read(text) }
}

/// Contents of a gzip file, recognised by its first two bytes (RFC 1952, 2.3.1); `None` when it is none.
fn unpack(bytes: &[u8]) -> Result<Option<Vec<u8>>, ReadError> {
    if !bytes.starts_with(&[0x1f, 0x8b]) {
        return Ok(None);
    }
    let mut unpacked = Vec::new();
    let limit = u64::try_from(MAX_BYTES + 1).unwrap_or(u64::MAX);
    flate2::read::MultiGzDecoder::new(bytes).take(limit).read_to_end(&mut unpacked).map_err(|error| {
        ReadError::new(
            Place::File,
            format!("the gzip data cannot be unpacked ({error})"),
            "copy or pack the file again",
        )
    })?;
    if unpacked.len() > MAX_BYTES { Err(too_long()) } else { Ok(Some(unpacked)) }
}

fn too_long() -> ReadError {
    let what = format!("there are more than {} MiB of text", MAX_BYTES >> 20);
    ReadError::new(Place::File, what, "divide the instance")
}
