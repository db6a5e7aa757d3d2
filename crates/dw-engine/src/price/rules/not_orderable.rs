//! PRC-006.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Every line of the bill holds something that may be ordered today.
    /// ## Why it matters
    /// Devices ordered for an opening that is not approved, or about which a question is open, may be the wrong ones.
    /// ## Basis
    /// Status of each opening and the open questions about it; nothing unapproved counts as orderable.
    /// ## Example
    /// Both latch retraction devices belong to a pair that the customer has not approved.
    /// ## What to do
    /// Get the approvals and answers; until then order only what the bill does not hold back.
    pub struct NotOrderable: "PRC-006" "not-orderable" Note since "0.1" {
        /// Lines held back as a whole, with their quantities.
        pub held: Vec<String>,
        /// Lines held back in part.
        pub in_part: usize,
        /// Lines of the bill.
        pub of: usize,
    }
    place(_it) { Place::job() }
    headline(it) {
        format!(
            "bill of materials: of {} lines {} must not be ordered yet at all and {} not in full",
            it.of, it.held.len(), it.in_part
        )
    }
    notes(it) { it.held.clone() }
    help(_it) { vec!["Get the openings approved and the questions answered; order only what is not held back".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::price::testing::{Site, codes, headlines, price};

    #[test]
    fn lines_held_back_as_a_whole_are_told() {
        let mut site = Site::doors(2);
        for opening in &mut site.survey.openings {
            opening.orderable = false;
        }
        assert_eq!(codes(&site), ["PRC-006"]);
        assert!(price(&site).materials.iter().all(|line| line.held_back >= line.quantity));
    }

    #[test]
    fn lines_held_back_in_part_are_counted_beside() {
        let mut site = Site::doors(5);
        site.survey.openings[4].orderable = false;
        site.equipment.openings[4].devices[1].device = dw_core::DeviceId::new("camera");
        let lines = price(&site).materials;
        let in_part = lines.iter().filter(|line| line.held_back > 0.0 && line.held_back < line.quantity).count();
        assert_eq!(
            headlines(&site),
            [format!(
                "bill of materials: of {} lines 1 must not be ordered yet at all and {in_part} not in full",
                lines.len()
            )]
        );
        assert!(in_part > 1);
    }

    #[test]
    fn a_line_held_back_in_part_is_quiet() {
        let mut site = Site::doors(2);
        site.survey.openings[0].orderable = false;
        assert_eq!(codes(&site), [""; 0]);
        let held: Vec<f64> = price(&site).materials.iter().map(|line| line.held_back).collect();
        assert!(held.contains(&1.0) && held.contains(&0.0), "{held:?}");
    }
}
