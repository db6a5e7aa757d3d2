//! The job document, the catalogue and the code profiles: read leniently, each value with its place.
//!
//! [`Job::read`] takes documents and sheets as bytes and gives a job plus findings; it knows nothing of passes,
//! papers or files on disk.

pub mod catalogue;
mod job;
pub mod model;
mod profile;
pub mod text;

pub use catalogue::Catalogue;
pub use job::{FORMAT, JOB_FILE, Job, Places};
pub use profile::Profile;
pub use text::Document;
