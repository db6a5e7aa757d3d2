//! Checks of the repository itself, and the files generated from the program.

pub mod generate;
pub mod tidy;
pub mod trials;

use std::path::PathBuf;

/// The root of the repository.
pub fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("..")
}
