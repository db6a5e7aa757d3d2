//! Fingers read where many users are over sixty.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Where fingers are read, how many users are over sixty.
    /// ## Why it matters
    /// Older fingers give poorer images; more people need the second method.
    /// ## Basis
    /// Sickler and Elliott 2005: over-62s gave poorer images than 18 to 25; the limit of a quarter is *common practice*.
    /// ## Example
    /// D-20: 30 % of the users are over sixty.
    /// ## What to do
    /// Plan more time for enrolment and keep a second method at the door.
    pub struct OlderUsers: "EQP-028" "older-fingers" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Share over sixty, percent.
        pub share_percent: f64,
        /// Share from which it is told.
        pub limit_percent: f64,
    }
    place(it) { Place::of(&it.opening).field("proof.demanded") }
    headline(it) { format!("{}: fingers are read, and {:.0} % of the users are over sixty; it is told from {:.0} %", it.opening, it.share_percent, it.limit_percent) }
    help(_it) { vec!["Enrol two fingers each, plan more time, and keep a second method at the door".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn it_begins_exactly_at_a_quarter() {
        let at = |share: &str| {
            with(&format!("[[group]]\nid = \"old\"\nhead_count = 100\nover_sixty_percent = {share}\n[[right]]\ngroup = \"old\"\nzone = \"staff\""), &[("proof.demanded", "[\"finger\"]")]).has("EQP-028")
        };
        // The site's own 100 people are young, so half of the share counts.
        assert!(at("50") && !at("49"));
    }
}
