//! PRC-008.

use dw_core::{OpeningId, Place, rule};

use super::{counted, named};

rule! {
    /// ## What it checks
    /// Every opening is approved by the customer.
    /// ## Why it matters
    /// Nothing that is not approved may be ordered.
    /// ## Basis
    /// Status of the openings.
    /// ## Example
    /// 12 of 50 openings are surveyed and not yet approved.
    /// ## What to do
    /// Have the opening schedule signed, and set the status.
    pub struct ApprovalsMissing: "PRC-008" "approvals-missing" Fix since "0.1" {
        /// Openings without approval.
        pub openings: Vec<OpeningId>,
        /// All openings.
        pub of: usize,
    }
    place(_it) { Place::job() }
    headline(it) { format!("approvals: {} of {} not approved", it.openings.len(), counted(it.of)) }
    notes(it) { vec![named(&it.openings)] }
    help(_it) { vec!["Have the opening schedule signed, and set status = \"approved\"".to_owned()] }
    related(it) { it.openings.iter().take(50).map(Place::of).collect() }
}

#[cfg(test)]
mod tests {
    use dw_job::model::Status;

    use crate::price::testing::{Site, codes, headlines};

    #[test]
    fn missing_approvals_are_told_in_one_line() {
        let mut site = Site::doors(5);
        for opening in &mut site.survey.openings[..2] {
            opening.status = Status::Surveyed;
        }
        assert_eq!(headlines(&site), ["approvals: 2 of 5 openings not approved"]);
    }

    #[test]
    fn approved_openings_are_quiet() {
        assert_eq!(codes(&Site::doors(5)), [""; 0]);
    }
}
