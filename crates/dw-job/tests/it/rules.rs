//! The rules of this crate: codes, names, pages.

use std::collections::BTreeSet;

use dw_job::text::RULES;

#[test]
fn codes_are_unique_and_in_order() {
    let codes: Vec<&str> = RULES.iter().map(|rule| rule.code).collect();
    let expected: Vec<String> = (1..=RULES.len()).map(|number| format!("JOB-{number:03}")).collect();
    assert_eq!(codes, expected);
}

#[test]
fn names_are_unique_and_in_kebab_case() {
    let names: BTreeSet<&str> = RULES.iter().map(|rule| rule.name).collect();
    assert_eq!(names.len(), RULES.len());
    for name in names {
        assert!(name.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'-'), "{name}");
    }
}

#[test]
fn every_page_has_its_headings_in_order_and_something_under_each() {
    let headings = ["What it checks", "Why it matters", "Basis", "Example", "What to do"];
    for rule in RULES {
        let parts: Vec<(&str, &str)> = rule
            .page
            .split("## ")
            .skip(1)
            .map(|part| part.split_once('\n').map_or((part, ""), |(heading, text)| (heading.trim(), text.trim())))
            .collect();
        let found: Vec<&str> = parts.iter().map(|part| part.0).collect();
        assert_eq!(found, headings, "{}", rule.code);
        assert!(parts.iter().all(|part| part.1.len() > 5), "{} has an empty part", rule.code);
    }
}
