//! The repository keeps its own rules, and its generated files are fresh.

#[test]
fn the_rules_of_the_house_are_kept() {
    let faults = xtask::tidy::check(&xtask::root()).unwrap();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn generated_files_are_fresh() {
    let faults = xtask::generate::check(&xtask::root());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
