//! Workings and rule pages as text.

use std::fmt::Write as _;

use dw_core::{InputValue, RuleInfo, Working};

use super::styled;

/// A working: title, result, formula, inputs, source.
pub fn working(working: &Working) -> String {
    let mut out = format!("{}\n", styled(working.title, "1"));
    if !working.figure.path().is_empty() {
        let _ = writeln!(out, "  figure   {}", working.figure);
    }
    let _ = writeln!(out, "  result   {}", with_unit(&working.value, working.unit));
    let _ = writeln!(out, "  formula  {}", working.formula);
    for input in &working.inputs {
        let _ = writeln!(out, "  {:<8} {} = {}", "with", input.name, with_unit(&input.value, input.unit));
    }
    let _ = writeln!(out, "  source   {}", working.source);
    out
}

fn with_unit(value: &InputValue, unit: &str) -> String {
    if unit.is_empty() { value.to_string() } else { format!("{value} {unit}") }
}

/// The manual page of a rule.
pub fn rule_page(rule: &RuleInfo) -> String {
    let mut out = format!("{}\n", styled(&format!("{} {} ({})", rule.code, rule.name, rule.severity), "1"));
    let _ = writeln!(out, "since {}", rule.since);
    for line in rule.page.lines() {
        let line = line.strip_prefix(' ').unwrap_or(line);
        match line.strip_prefix("## ") {
            Some(heading) => {
                let _ = writeln!(out, "\n{}", styled(heading, "1"));
            }
            None => {
                let _ = writeln!(out, "  {line}");
            }
        }
    }
    out
}
