//! From bytes to records: documents and sheets become one tree of values, each with its place, and records are read
//! from that tree leniently.

mod field;
mod node;
mod range;
mod record;
mod rules;
mod sheet;
mod toml_text;
mod words;

pub use field::{Field, FieldSchema, Scalar};
pub use node::{Document, Files, Node, Pos, ScalarNode, Table};
pub use range::Range;
pub use record::{Fields, Record, Section, Told, at_place};
pub use rules::*;
pub use sheet::{Sheet, read_sheet};
pub use toml_text::read_toml;
pub use words::nearest;

pub(crate) use node::is_sheet;
pub(crate) use record::{record, section};
pub(crate) use words::words;
