//! PRC-002.

use dw_core::{GradeId, Id, Place, TaskId, rule};

rule! {
    /// ## What it checks
    /// Every grade of labour that works on the job has a rate.
    /// ## Why it matters
    /// Its hours count as nothing, and the total is too low by them.
    /// ## Basis
    /// A missing figure is never zero.
    /// ## Example
    /// A task names the grade `rigger`, which the catalogue does not define.
    /// ## What to do
    /// Add the grade with its rate to the catalogue.
    pub struct LabourRateMissing: "PRC-002" "labour-rate-missing" Stop since "0.1" {
        /// The grade.
        pub grade: GradeId,
        /// The task that names it, where the catalogue does not define it.
        pub named_by: Option<TaskId>,
    }
    place(it) {
        match &it.named_by {
            Some(task) => Place::named("task", task.text()).field("grade"),
            None => Place::named("grade", it.grade.text()).field("rate_per_hour"),
        }
    }
    headline(it) { format!("labour grade {}: no rate in the catalogue; the total leaves its hours out", it.grade) }
    help(_it) { vec!["Add the grade with its rate to the catalogue".to_owned()] }
}

#[cfg(test)]
mod tests {
    use dw_core::GradeId;

    use crate::price::testing::{Site, codes, run};

    #[test]
    fn a_grade_without_rate_is_told() {
        let mut site = Site::doors(1);
        site.catalogue.grades[0].rate_per_hour = None;
        assert_eq!(codes(&site), ["PRC-002"]);
    }

    #[test]
    fn a_grade_nobody_defined_is_told() {
        let mut site = Site::doors(1);
        site.catalogue.tasks[0].grade = Some(GradeId::new("rigger"));
        assert_eq!(codes(&site), ["PRC-002"]);
        let place = run(&site).1.sink.findings[0].place.clone();
        assert_eq!(
            (place.kind.as_str(), place.id.as_str(), place.field.as_deref()),
            ("task", "terminate", Some("grade"))
        );
    }

    #[test]
    fn a_grade_that_does_not_work_needs_no_rate() {
        let mut site = Site::doors(1);
        site.catalogue.grades.push(dw_job::catalogue::Grade::new("rigger"));
        assert_eq!(codes(&site), [""; 0]);
    }
}
