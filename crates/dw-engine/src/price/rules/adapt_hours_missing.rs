//! PRC-010.

use dw_core::{ExistingId, Place, rule};

rule! {
    /// ## What it checks
    /// Equipment that stays after work on it says how long the work takes.
    /// ## Why it matters
    /// The work is missing from the price.
    /// ## Basis
    /// `adapt_h` of the existing equipment.
    /// ## Example
    /// A revolving drive is adapted; nobody estimated the hours.
    /// ## What to do
    /// Estimate the hours for each, or decide to keep or replace it.
    pub struct AdaptHoursMissing: "PRC-010" "adapt-hours-missing" Fix since "0.1" {
        /// The equipment.
        pub existing: ExistingId,
        /// What it is.
        pub description: Option<String>,
    }
    place(it) { Place::of(&it.existing).field("adapt") }
    headline(it) {
        let what = it.description.as_deref().map(|what| format!(" ({what})")).unwrap_or_default();
        format!("existing equipment {}{what}: to be adapted, no hours given; the price counts none", it.existing)
    }
    help(_it) { vec!["Write the hours for each under adapt_h".to_owned(), "Decide to keep or replace it".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_core::{Hours, OpeningId};
    use dw_job::model::{Existing, Keep};

    use crate::price::testing::{Site, codes, price};

    fn adapted(hours: Option<f64>) -> Site {
        let mut site = Site::doors(1);
        let mut row = Existing::new("X-1");
        (row.decision, row.opening, row.count) = (Some(Keep::Adapted), Some(OpeningId::new("D-1")), Some(2));
        row.adapt = hours.map(Hours::new);
        site.job.existing.push(row);
        site
    }

    #[test]
    fn work_without_hours_is_told() {
        assert_eq!(codes(&adapted(None)), ["PRC-010"]);
    }

    #[test]
    fn hours_count_for_each_piece_at_its_opening() {
        let before = price(&Site::doors(1)).openings[0].hours_h;
        let after = price(&adapted(Some(1.5))).openings[0].hours_h;
        assert!(((after - before).get() - 3.0).abs() < 1e-9);
        assert_eq!(codes(&adapted(Some(1.5))), [""; 0]);
    }
}
