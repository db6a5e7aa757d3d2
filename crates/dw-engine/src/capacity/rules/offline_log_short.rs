//! CAP-003.

use dw_core::rule;

use super::{at, others};
use crate::capacity::Holder;

rule! {
    /// ## What it checks
    /// A controller or unit keeps the events of as many days as the policy asks for while its network is down.
    /// ## Why it matters
    /// When the log is full the oldest events are overwritten: nobody can tell later who passed.
    /// ## Basis
    /// `offline_days` of the policy. Events: one for each decision and two for the leaf where it is watched
    /// (*common practice*); the passages of a group divide between the openings it may pass as their peak flows do.
    /// ## Example
    /// 12,000 events a day and a log of 20,000: 1.7 days, 3 wanted.
    /// ## What to do
    /// Choose a model with a longer log, spread busy openings over several controllers, or accept fewer days.
    pub struct OfflineLogShort: "CAP-003" "offline-log-short" Fix since "0.1" {
        /// The holder.
        pub holder: Holder,
        /// Days kept.
        pub days: f64,
        /// Days wanted.
        pub wanted: f64,
    }
    place(it) { at(&it.holder) }
    headline(it) {
        format!("{} ({}): keeps {:.1} days of events without its network, {:.1} wanted", it.holder.label, it.holder.device, it.days, it.wanted)
    }
    notes(it) { vec![format!("{:.0} events a day", it.holder.events_per_day)] }
    help(_it) {
        vec![
            "Choose a model with a longer log".to_owned(),
            "Serve the busiest of these openings from another controller".to_owned(),
            "Lower offline_days in the policy if the network is repaired sooner".to_owned(),
        ]
    }
    related(it) { others(&it.holder) }
}

#[cfg(test)]
mod tests {
    use crate::capacity::testing::{Case, check};

    // 100 people pass 10 times a day, three events each: 3,000 events a day; three days are wanted.

    #[test]
    fn a_log_of_two_days_is_told() {
        check(&Case { people: 100, events: Some(6000), ..Case::default() }, &["CAP-003"]);
    }

    #[test]
    fn a_long_log_is_quiet() {
        check(&Case { people: 100, events: Some(90_000), ..Case::default() }, &[]);
    }

    #[test]
    fn exactly_three_days_are_enough() {
        check(&Case { people: 100, events: Some(9000), ..Case::default() }, &[]);
    }
}
