//! Labour: grades with their rates, tasks with their hours.

use dw_core::{GradeId, Hours, Money, TaskId};

use super::DeviceKind;
use crate::model::{OpeningKind, WorkKind};
use crate::text::{record, words};

/// Name of the grade that fits devices.
pub const FITTER: &str = "installer";

/// Name of the grade that sets devices to work.
pub const ENGINEER: &str = "engineer";

record! {
    /// A grade of labour.
    pub struct Grade: "grade" by id: GradeId {
        /// Short name.
        id,
        /// Name on paper.
        name: Option<String>,
        /// Rate for an hour.
        rate_per_hour: Option<Money>,
    }
}

words! {
    /// What a task is counted by.
    pub enum TaskBasis {
        /// Each opening it applies to.
        Opening "opening",
        /// Each controller.
        Controller "controller",
        /// Each enclosure.
        Enclosure "enclosure",
        /// Each opening-side network device.
        NetworkDevice "network-device",
        /// Hundred people enrolled.
        HundredPeople "hundred-people",
        /// Once a job.
        Job "job",
    }
}

record! {
    /// A labour task.
    pub struct Task: "task" by id: TaskId {
        /// Short name.
        id,
        /// Name on paper.
        name: Option<String>,
        /// The grade that does it.
        grade: Option<GradeId>,
        /// What it is counted by.
        per: Option<TaskBasis>,
        /// Hours each time.
        hours: Option<Hours>,
        /// Opening kinds it applies to; all when none is named.
        openings: Vec<OpeningKind>,
        /// Sorts of work it applies to; all when none is named.
        work: Vec<WorkKind>,
        /// Kinds of device one of which must be newly fitted at the opening; whatever is fitted when none is named.
        fitted: Vec<DeviceKind>,
    }
}
