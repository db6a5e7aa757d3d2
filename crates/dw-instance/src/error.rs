//! What is wrong with a file, where, and what to do about it.

use std::fmt;

/// Why a file could not be read. The caller knows the file's name and puts it in front.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{place}{what}; {remedy}")]
pub struct ReadError {
    /// Where.
    pub place: Place,
    /// What is wrong, with the value found.
    pub what: String,
    /// What to do.
    pub remedy: String,
}

impl ReadError {
    pub(crate) fn new(place: Place, what: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { place, what: what.into(), remedy: remedy.into() }
    }
}

/// A place in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// The file as a whole.
    File,
    /// A line, from 1.
    Line(usize),
    /// A field, by its path from the outermost object.
    Field(String),
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => Ok(()),
            Self::Line(line) => write!(f, "line {line}: "),
            Self::Field(path) => write!(f, "{path}: "),
        }
    }
}
