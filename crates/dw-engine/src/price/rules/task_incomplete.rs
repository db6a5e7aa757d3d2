//! PRC-005.

use dw_core::{Id, Place, TaskId, rule};

rule! {
    /// ## What it checks
    /// Every labour task of the catalogue says who does it, what it is counted by, and how long it takes.
    /// ## Why it matters
    /// The task is left out of the price.
    /// ## Basis
    /// The catalogue's own records.
    /// ## Example
    /// A task without `hours`.
    /// ## What to do
    /// Complete the task or remove it.
    pub struct TaskIncomplete: "PRC-005" "task-incomplete" Fix since "0.1" {
        /// The task.
        pub task: TaskId,
    }
    place(it) { Place::named("task", it.task.text()) }
    headline(it) { format!("labour task {}: grade, basis or hours missing; it is left out of the price", it.task) }
    help(_it) { vec!["State grade, per and hours_h, or remove the task".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::price::testing::{Site, codes};

    #[test]
    fn a_task_without_hours_is_told() {
        let mut site = Site::doors(1);
        site.catalogue.tasks[0].hours = None;
        assert_eq!(codes(&site), ["PRC-005"]);
    }

    #[test]
    fn a_complete_task_is_quiet() {
        assert_eq!(codes(&Site::doors(1)), [""; 0]);
    }
}
