//! How the openings are arranged, in a few lines.

use std::fmt::Write as _;

use dw_engine::Design;
use dw_engine::equip::arrangement_words;

/// The architecture and the next best one; nothing where no opening left a choice.
pub fn architecture(design: &Design) -> String {
    let Some(architecture) = &design.placement.architecture else { return String::new() };
    let currency = design.price.currency.code();
    let mut out = format!("Arranged: {} ({} with a choice)\n", architecture.name, openings(architecture.open_openings));
    match architecture.runner_up() {
        Some(next) => {
            let (name, differ) = (arrangement_words(next.arrangement), openings(next.openings_differ));
            let _ = writeln!(
                out,
                "Next best: {name} wherever admitted, {} {currency} more over the years counted, {differ} otherwise: {}",
                next.more, next.because
            );
        }
        None => out.push_str("No other arrangement of the whole job serves the same openings\n"),
    }
    out
}

fn openings(number: usize) -> String {
    if number == 1 { "1 opening".to_owned() } else { format!("{number} openings") }
}
