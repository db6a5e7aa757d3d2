//! Findings as text.

use std::fmt::Write as _;

use dw_core::{Finding, Severity};
use dw_engine::Design;

use super::styled;

/// A finding with its place, notes and ways out.
pub fn full(finding: &Finding) -> String {
    let mut out = format!("{} {}\n", label(finding), finding.headline);
    if let Some(source) = &finding.place.source {
        let _ = writeln!(out, "    at    {source}");
    }
    for note in &finding.notes {
        let _ = writeln!(out, "    note  {note}");
    }
    for help in &finding.help {
        let _ = writeln!(out, "    help  {help}");
    }
    out
}

/// A finding in one line.
pub fn brief(finding: &Finding) -> String {
    let source = finding.place.source.as_ref().map(|source| format!(" [{source}]")).unwrap_or_default();
    format!("{} {}{source}\n", label(finding), finding.headline)
}

fn label(finding: &Finding) -> String {
    let colour = match finding.severity {
        Severity::Stop => "1;31",
        Severity::Fix => "1;33",
        Severity::Note => "1;34",
    };
    styled(&format!("{:<4} {}", finding.severity.to_string(), finding.code), colour)
}

/// How many findings of each severity, what that means, and what staying with an issued revision costs.
pub fn summary(design: &Design) -> String {
    let count = |severity| design.count(severity);
    let (stops, fixes, notes) = (count(Severity::Stop), count(Severity::Fix), count(Severity::Note));
    let verdict = if stops > 0 {
        "must not be built so until the stops are settled"
    } else if fixes > 0 {
        "nothing to stop it; settle the fixes before ordering"
    } else {
        "no conflict found with the rules checked"
    };
    let staying = design.placement.staying_put.map(|cost| {
        let currency = design.price.currency.code();
        format!("Staying with the issued revision costs {cost} {currency} more than a fresh plan (design --fresh)\n")
    });
    format!(
        "{} openings: {stops} stop, {fixes} fix, {notes} note, {} assumptions; {verdict}\n\
         Local code, the authority having jurisdiction and licensed practice decide.\n{}",
        design.survey.openings.len(),
        design.assumptions.len(),
        staying.unwrap_or_default()
    )
}
