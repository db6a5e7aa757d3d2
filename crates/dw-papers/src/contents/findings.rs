//! Findings and assumptions: everything wrong or worth knowing, what somebody took on themselves, what was taken as read.

use dw_core::{Assumption, Finding, Place, Severity, natural_cmp};
use dw_engine::design::Accepted;

use super::rows::{field, grouped, table};
use super::view::View;
use super::words::count;
use crate::model::{Block, Cell, Column, Orientation, Paper, Table};

/// Each severity with what it means.
const SEVERITIES: [(Severity, &str); 3] = [
    (Severity::Stop, "Stop: must not be built so"),
    (Severity::Fix, "Fix: to be settled before ordering"),
    (Severity::Note, "Note: worth knowing"),
];

/// Findings and assumptions.
pub(super) fn paper(view: &View<'_>) -> Paper {
    let mut blocks = vec![Block::Text(summary(view))];
    if let Some(tag) = view.bad_locale {
        blocks.push(Block::Text(format!(
            "The locale of the job, \"{tag}\", is not a language tag such as \"en-GB\" or \"de-DE\": these papers are in en-GB."
        )));
    }
    blocks.push(Block::Table(findings(view)));
    if !view.design.accepted.is_empty() {
        blocks.push(Block::Table(accepted(view)));
    }
    blocks.push(Block::Table(assumptions(view)));
    blocks.extend(view.cautions());
    Paper {
        id: "findings-and-assumptions".to_owned(),
        title: "Findings and assumptions".to_owned(),
        orientation: Orientation::Landscape,
        blocks,
    }
}

/// Findings, accepted findings, assumptions.
pub(super) fn tables(view: &View<'_>) -> Vec<Table> {
    vec![all_findings(view), accepted(view), assumptions(view)]
}

fn summary(view: &View<'_>) -> String {
    let number = |severity, one, many| count(view.design.count(severity), one, many);
    let open = if view.design.findings.is_empty() {
        "No conflict found with the rules checked.".to_owned()
    } else {
        format!(
            "Open: {}, {}, {}. Apart from these, no conflict was found with the rules checked.",
            number(Severity::Stop, "stop", "stops"),
            number(Severity::Fix, "fix", "fixes"),
            number(Severity::Note, "note", "notes"),
        )
    };
    let profile = &view.design.heading.profile;
    let rules = if profile.is_empty() {
        String::new()
    } else {
        format!(" Figures of codes are those of the profile \"{profile}\".")
    };
    format!(
        "{open}{rules} The local code, the authority having jurisdiction and people licensed for the work decide; the rules \
         checked here do not replace them."
    )
}

/// A finding, and whether the one before it has the same reasons and ways out.
struct Line<'a> {
    finding: &'a Finding,
    same_notes: bool,
    same_help: bool,
}

/// Findings by severity; what the finding before says too is said once.
fn findings(view: &View<'_>) -> Table {
    let groups: Vec<(String, Vec<Line<'_>>)> = SEVERITIES
        .iter()
        .map(|(severity, meaning)| ((*meaning).to_owned(), lines(view, *severity)))
        .filter(|(_, lines)| !lines.is_empty())
        .collect();
    let said = |texts: Vec<&str>, same: bool| if same { "as above".to_owned() } else { texts.join("\n") };
    let fields = [
        field(Column::text("Code", 0.8), |line: &Line<'_>| Cell::text(line.finding.code)),
        field(Column::text("Finding", 4.4), |line: &Line<'_>| Cell::text(&line.finding.headline)),
        field(Column::text("Because", 3.1), move |line: &Line<'_>| {
            Cell::text(said(notes(line.finding), line.same_notes))
        }),
        field(Column::text("Ways out", 3.6), move |line: &Line<'_>| {
            Cell::text(said(line.finding.help.iter().map(String::as_str).collect(), line.same_help))
        }),
        field(Column::text("Where", 3.0), |line: &Line<'_>| Cell::text(place(&line.finding.place))),
    ];
    grouped("findings", "Findings", &fields, &groups)
}

fn lines<'a>(view: &View<'a>, severity: Severity) -> Vec<Line<'a>> {
    let findings: Vec<&Finding> = view.design.findings.iter().filter(|finding| finding.severity == severity).collect();
    let before = |idx: usize| idx.checked_sub(1).and_then(|idx| findings.get(idx));
    let line = |(idx, finding): (usize, &&'a Finding)| {
        let alike = before(idx).filter(|before| before.code == finding.code);
        Line {
            finding,
            same_notes: !notes(finding).is_empty() && alike.is_some_and(|before| before.notes == finding.notes),
            same_help: !finding.help.is_empty() && alike.is_some_and(|before| before.help == finding.help),
        }
    };
    findings.iter().enumerate().map(line).collect()
}

/// Reasons of a finding, without the sentence that stands at the head of the paper for all of them.
fn notes(finding: &Finding) -> Vec<&str> {
    let notes = finding.notes.iter().map(String::as_str);
    notes.filter(|note| !note.starts_with("The local code, the authority having jurisdiction")).collect()
}

/// Object and field, and the line or row they are written in.
fn place(place: &Place) -> String {
    let written = place.source.as_ref().map(|source| {
        let is_sheet =
            source.title.is_some() || std::path::Path::new(&source.file).extension().is_some_and(|it| it == "csv");
        let unit = if is_sheet { "row" } else { "line" };
        format!("\n{} {unit} {}", source.file, source.line)
    });
    format!("{}{}", where_about(place), written.unwrap_or_default())
}

/// Findings in full, for programs.
fn all_findings(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("Severity", 0.8), |f: &&Finding| Cell::text(f.severity.to_string())),
        field(Column::text("Code", 0.9), |f: &&Finding| Cell::text(f.code)),
        field(Column::text("Rule", 1.2), |f: &&Finding| Cell::text(f.name)),
        field(Column::text("About", 1.2), |f: &&Finding| Cell::text(f.place.kind.as_str())),
        field(Column::text("Id", 1.0), |f: &&Finding| Cell::text(f.place.id.as_str())),
        field(Column::text("Field", 1.2), |f: &&Finding| Cell::text(f.place.field.as_deref().unwrap_or(""))),
        field(Column::text("Finding", 4.2), |f: &&Finding| Cell::text(&f.headline)),
        field(Column::text("Because", 3.6), |f: &&Finding| Cell::text(f.notes.join("\n"))),
        field(Column::text("Ways out", 3.6), |f: &&Finding| Cell::text(f.help.join("\n"))),
        field(Column::text("Written in", 1.8), |f: &&Finding| Cell::text(written(&f.place))),
    ];
    table("findings", "Findings", &fields, &view.design.findings.iter().collect::<Vec<_>>())
}

/// Object and field: "opening D-104, exit_request".
fn where_about(place: &Place) -> String {
    let object = if place.id.is_empty() { place.kind.clone() } else { format!("{} {}", place.kind, place.id) };
    place.field.as_ref().map_or(object.clone(), |field| format!("{object}, {field}"))
}

/// File and line or cell.
fn written(place: &Place) -> String {
    place.source.as_ref().map_or_else(String::new, ToString::to_string)
}

fn accepted(view: &View<'_>) -> Table {
    let fields = [
        field(Column::text("Code", 0.9), |a: &&Accepted| Cell::text(a.finding.code)),
        field(Column::text("Severity", 0.9), |a: &&Accepted| Cell::text(a.finding.severity.to_string())),
        field(Column::text("Where", 1.6), |a: &&Accepted| Cell::text(where_about(&a.finding.place))),
        field(Column::text("Finding", 4.2), |a: &&Accepted| Cell::text(&a.finding.headline)),
        field(Column::text("Accepted by", 1.6), |a: &&Accepted| Cell::text(&a.name)),
        field(Column::text("On", 1.0), |a: &&Accepted| Cell::text(&a.date)),
        field(Column::text("Reason", 3.6), |a: &&Accepted| Cell::text(&a.reason)),
    ];
    table(
        "accepted-findings",
        "Findings that somebody accepted",
        &fields,
        &view.design.accepted.iter().collect::<Vec<_>>(),
    )
}

/// Assumptions in the order of what they are about.
fn assumptions(view: &View<'_>) -> Table {
    let mut all: Vec<&Assumption> = view.design.assumptions.iter().collect();
    all.sort_by(|a, b| a.place.kind.cmp(&b.place.kind).then_with(|| natural_cmp(&a.place.id, &b.place.id)));
    let fields = [
        field(Column::text("About", 2.4), |a: &&Assumption| Cell::text(where_about(&a.place))),
        field(Column::text("Taken as read", 2.0), |a: &&Assumption| Cell::text(&a.value)),
        field(Column::text("Because", 5.0), |a: &&Assumption| Cell::text(&a.because)),
    ];
    table("assumptions", "Assumptions", &fields, &all)
}
