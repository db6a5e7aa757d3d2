//! Findings: what is wrong or worth knowing, where it was written, and the way out.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::{Id, Point, Rule};

/// How grave a finding is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// Must not be built so.
    Stop,
    /// To be settled before ordering.
    Fix,
    /// Worth knowing.
    Note,
}

impl fmt::Display for Severity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(match self {
            Self::Stop => "stop",
            Self::Fix => "fix",
            Self::Note => "note",
        })
    }
}

/// Where a value was written: file, and line and column of a text or row and column title of a sheet.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, JsonSchema)]
pub struct Source {
    /// File name, relative to the job's folder.
    pub file: String,
    /// Line of a text, or row of a sheet, counted from 1.
    pub line: u32,
    /// Column of the value, counted from 1.
    pub column: u32,
    /// Title of the sheet's column; `None` for a text.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub title: Option<String>,
}

impl fmt::Display for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.title {
            Some(title) => write!(f, "{} row {} column \"{title}\"", self.file, self.line),
            None => write!(f, "{}:{}:{}", self.file, self.line, self.column),
        }
    }
}

/// The object and field a finding is about. Source and plan point are looked up in the job once, at the end.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Place {
    /// Kind of object, as a person says it: "opening", "room", "job".
    pub kind: String,
    /// The object's id; empty for the job itself.
    pub id: String,
    /// The field, as its key is written in the job.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub field: Option<String>,
    /// Where the value was written.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub source: Option<Source>,
    /// Where it is on a plan.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub point: Option<Point>,
}

impl Place {
    /// The object with this id.
    pub fn of<I: Id>(id: &I) -> Self {
        Self::named(I::KIND, id.text())
    }

    /// The job as a whole.
    pub fn job() -> Self {
        Self::named("job", "")
    }

    /// An object without a typed id, such as "policy" or a file.
    pub fn named(kind: &str, id: &str) -> Self {
        Self { kind: kind.to_owned(), id: id.to_owned(), field: None, source: None, point: None }
    }

    /// The same object, at one of its fields.
    #[must_use]
    pub fn field(mut self, field: &str) -> Self {
        self.field = Some(field.to_owned());
        self
    }

    /// The order on paper: kind, object, field.
    pub fn order(&self, other: &Self) -> std::cmp::Ordering {
        let ids = || crate::natural_cmp(&self.id, &other.id);
        self.kind.cmp(&other.kind).then_with(ids).then_with(|| self.field.cmp(&other.field))
    }

    /// The same place, with where it was written.
    #[must_use]
    pub fn at(mut self, source: Option<Source>) -> Self {
        self.source = source;
        self
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.kind)?;
        if !self.id.is_empty() {
            write!(f, " {}", self.id)?;
        }
        self.field.as_ref().map_or(Ok(()), |field| write!(f, " {field}"))
    }
}

/// One thing wrong or worth knowing, worded.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Finding {
    /// Permanent code, such as `POW-014`.
    pub code: &'static str,
    /// The rule's name in kebab case.
    pub name: &'static str,
    /// How grave it is.
    pub severity: Severity,
    /// The object and field it is about.
    pub place: Place,
    /// Other objects that take part.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub related: Vec<Place>,
    /// One line that makes sense alone: the object, both figures with units.
    pub headline: String,
    /// The working and the reason.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub notes: Vec<String>,
    /// Ways out, cheapest or likeliest first.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub help: Vec<String>,
}

impl Finding {
    /// Words a broken rule.
    pub fn of<R: Rule>(rule: &R) -> Self {
        Self {
            code: R::INFO.code,
            name: R::INFO.name,
            severity: R::INFO.severity,
            place: rule.place(),
            related: rule.related(),
            headline: rule.headline(),
            notes: rule.notes(),
            help: rule.help(),
        }
    }

    /// The order on paper: severity, code, object, field, headline.
    pub fn order(&self, other: &Self) -> std::cmp::Ordering {
        self.severity
            .cmp(&other.severity)
            .then_with(|| self.code.cmp(other.code))
            .then_with(|| self.place.order(&other.place))
            .then_with(|| self.headline.cmp(&other.headline))
    }
}
