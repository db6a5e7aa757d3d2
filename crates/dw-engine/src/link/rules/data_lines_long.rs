//! LNK-002 data-lines-long.

use dw_core::{Metres, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The cable of a reader on two data lines stays within the reach planned with caution.
    /// ## Why it matters
    /// The texts contradict each other: what one allows on 22 AWG, another allows on 18 AWG only. A line between them works in one building and not in the next.
    /// ## Basis
    /// 60 m on 22 AWG, 90 m on 20, 150 m on 18, often credited to SIA AC-01-1996.10 (*from memory*); 150 m on 22 AWG screened is *common practice*. A
    /// thinner conductor is counted as 22 AWG.
    /// ## Example
    /// D-107: 82 m of data lines on 22 AWG, 60 m is planned with caution, 150 m the longest any text allows.
    /// ## What to do
    /// Take a thicker conductor, screen and test the line, or fit a reader on a bus.
    pub struct DataLinesLong: "LNK-002" "data-lines-long" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Gauge of the conductor; `None` where it is not known.
        pub awg: Option<u32>,
        /// Length of the cable.
        pub length: Metres,
        /// Reach planned with caution.
        pub cautious: Metres,
        /// The longest any text allows.
        pub longest: Metres,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        let gauge = it.awg.map_or_else(|| "an unknown conductor".to_owned(), |awg| format!("{awg} AWG"));
        format!(
            "{}: {:.0} of data lines on {gauge}, {:.0} is planned with caution, {:.0} the longest any text allows",
            it.opening, it.length, it.cautious, it.longest
        )
     }
    help(_it) {
        vec!["Test the line with its screen earthed at one end before the door is handed over".to_owned(), "Take a thicker conductor, or a reader on a bus".to_owned()]
     }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn between_the_two_texts_is_noted_and_at_the_cautious_limit_it_is_quiet() {
        check(&Case { on_lines: true, lengths: vec![60.5], ..Case::default() }, &["LNK-002", "LNK-021"]);
        check(&Case { on_lines: true, lengths: vec![60.0], ..Case::default() }, &["LNK-021"]);
    }

    #[test]
    fn a_thick_conductor_reaches_as_far_as_any_text_allows() {
        check(&Case { on_lines: true, lengths: vec![149.0], awg: 18, ..Case::default() }, &["LNK-021"]);
    }
}
