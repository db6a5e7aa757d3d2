//! SUR-014 issued-gone.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Openings and rooms of the issued revision that the job has no longer.
    /// ## Why it matters
    /// Who works from the issued papers still looks for them; what served them is free for others.
    /// ## Basis
    /// The issued revision in the job.
    /// ## Example
    /// `D-120` of revision A was taken out of `openings.csv`.
    /// ## What to do
    /// Nothing when it was meant so; put the record back when it was not.
    pub struct IssuedGone: "SUR-014" "issued-gone" Note since "0.1" {
        /// Row of the issued revision, counted from 1.
        pub row: usize,
        /// What is gone: opening or room.
        pub field: &'static str,
        /// Its id.
        pub id: String,
        /// The revision.
        pub revision: Option<String>,
    }
    place(it) { Place::named("issued", &it.row.to_string()).field(it.field) }
    headline(it) {
        let revision = it.revision.as_deref().map_or_else(|| "the issued revision".to_owned(), |name| format!("revision {name}"));
        let end = if it.field == "opening" { "its port is free" } else { "its openings are served from elsewhere" };
        format!("{} of {revision} is gone, {end}", it.id)
    }
    help(it) { vec![format!("Nothing, when it was meant so; put the {} back when it was not", it.field)] }
}
