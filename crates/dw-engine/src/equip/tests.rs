//! The pass as a whole.

use super::testing::*;

#[test]
fn every_rule_has_its_own_code_and_a_full_page() {
    let codes: std::collections::BTreeSet<&str> = super::rules::RULES.iter().map(|rule| rule.code).collect();
    assert_eq!(codes.len(), super::rules::RULES.len());
    for rule in super::rules::RULES {
        assert!(rule.code.starts_with("EQP-"));
        for heading in ["What it checks", "Why it matters", "Basis", "Example", "What to do"] {
            assert!(rule.page.contains(&format!("## {heading}\n")), "{} lacks \"{heading}\"", rule.code);
        }
    }
}

#[test]
fn an_ordinary_door_gets_everything_without_a_stop() {
    let outcome = door(&[]);
    let equipped = &outcome.equipment.openings[0];
    assert_eq!(outcome.device(Role::Lock), "STRIKE");
    assert_eq!(equipped.fail_mode, Some(FailMode::Secure));
    assert!(matches!(&equipped.control, ControlNeed::Ports { ports: 1, models } if models.len() == 2));
    let stops = outcome.findings.iter().filter(|finding| finding.severity == dw_core::Severity::Stop).count();
    assert_eq!(stops, 0, "{:#?}", outcome.findings);
    assert_eq!(equipped.action.normal, "Card to enter; inside handle always free");
}
