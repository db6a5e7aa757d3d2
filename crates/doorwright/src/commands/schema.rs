//! `schema`: the JSON Schema of a document.

use dw_engine::Design;
use dw_job::{Catalogue, Job, Profile};

use crate::args::{Document, SchemaArgs};
use crate::{Outcome, show};

/// Prints the schema.
pub fn run(args: &SchemaArgs) -> anyhow::Result<Outcome> {
    show::json(&match args.document {
        Document::Job => Job::json_schema(),
        Document::Catalogue => Catalogue::json_schema(),
        Document::Profile => Profile::file_schema(),
        Document::Design => Design::json_schema(),
    })?;
    Ok(Outcome::Clear)
}
