//! People: groups, their hands and vehicles, their rights and times.

use dw_core::{GroupId, ScheduleId, ZoneId};

use crate::text::{record, words};

record! {
    /// A group of people.
    pub struct Group: "group" by id: GroupId {
        /// Short name.
        id,
        /// Name on paper.
        name: Option<String>,
        /// People today.
        head_count: Option<u32>,
        /// Growth over the life of the system, percent.
        growth_percent: Option<f64>,
        /// Share with soiled hands, percent.
        soiled_percent: Option<f64>,
        /// Share wearing gloves, percent.
        gloves_percent: Option<f64>,
        /// Share handling chemicals, percent.
        chemicals_percent: Option<f64>,
        /// Share over sixty, percent.
        over_sixty_percent: Option<f64>,
        /// Vehicles.
        vehicles: Option<u32>,
        /// Start of shift, `06:50`.
        shift_start: Option<String>,
        /// End of shift.
        shift_end: Option<String>,
        /// Passages a day and person at controlled openings.
        passages_per_day: Option<f64>,
        /// Fingers enrolled for each person where fingers are used.
        fingers: Option<u32>,
    }
}

words! {
    /// A day a schedule covers.
    pub enum Day {
        /// Monday.
        Mon "mon",
        /// Tuesday.
        Tue "tue",
        /// Wednesday.
        Wed "wed",
        /// Thursday.
        Thu "thu",
        /// Friday.
        Fri "fri",
        /// Saturday.
        Sat "sat",
        /// Sunday.
        Sun "sun",
    }
}

record! {
    /// A time schedule.
    pub struct Schedule: "schedule" by id: ScheduleId {
        /// Short name.
        id,
        /// Days covered; all when none is named.
        days: Vec<Day>,
        /// From, `06:00`.
        from: Option<String>,
        /// Until, `20:00`.
        until: Option<String>,
    }
}

record! {
    /// An access right: a group may enter a zone at certain times.
    pub struct Right: "right" by row {
        /// The group.
        group: Option<GroupId>,
        /// The zone.
        zone: Option<ZoneId>,
        /// The times; always when absent.
        schedule: Option<ScheduleId>,
    }
}
