//! Every rule there is: what `explain CODE` prints from.

use dw_core::RuleInfo;

/// Every rule, in the order of codes.
pub fn rules() -> Vec<&'static RuleInfo> {
    let passes = [
        dw_job::text::RULES,
        crate::survey::rules::RULES,
        crate::equip::rules::RULES,
        crate::place::rules::RULES,
        crate::route::rules::RULES,
        crate::power::rules::RULES,
        crate::capacity::rules::RULES,
        crate::link::rules::RULES,
        crate::price::rules::RULES,
        crate::design::rules::RULES,
    ];
    let mut all: Vec<&RuleInfo> = passes.into_iter().flatten().collect();
    all.sort_by_key(|rule| rule.code);
    all
}

#[cfg(test)]
mod tests {
    use super::rules;

    #[test]
    fn every_rule_has_a_code_of_its_own_a_kebab_name_and_a_full_page() {
        let all = rules();
        assert!(all.len() > 40);
        for pair in all.windows(2) {
            assert!(pair[0].code < pair[1].code, "{} twice", pair[1].code);
        }
        for rule in all {
            let (prefix, number) = rule.code.split_once('-').unwrap();
            assert!(prefix.len() == 3 && number.len() == 3 && number.parse::<u16>().is_ok(), "{}", rule.code);
            assert!(
                rule.name.chars().all(|c| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-'),
                "{}",
                rule.name
            );
            for heading in ["## What it checks", "## Why it matters", "## Basis", "## Example", "## What to do"] {
                let text = rule.page.split(heading).nth(1).unwrap_or_default();
                assert!(text.trim_start_matches('\n').len() > 5, "{} lacks {heading}", rule.code);
            }
        }
    }
}
