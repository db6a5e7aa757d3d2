//! LNK-012 backlog-slow.

use dw_core::{Place, rule};

use crate::link::RoomNetwork;

rule! {
    /// ## What it checks
    /// What a room kept during an outage of the days the policy names is sent within the time the job allows.
    /// ## Why it matters
    /// Until then the head-end does not know who is inside.
    /// ## Basis
    /// Derived: events a day x days x 684 bytes over what the line has left in its busiest hour.
    /// ## Example
    /// TR-P: 95 min to send what 7 days off the network leave, 60 min are wanted.
    /// ## What to do
    /// Send the latest events first, or give the room a faster way out.
    pub struct BacklogSlow: "LNK-012" "backlog-slow" Note since "0.1" {
        /// Ports and traffic of the room.
        pub network: RoomNetwork,
        /// Minutes it takes.
        pub minutes: f64,
        /// Minutes wanted.
        pub wanted: f64,
    }
    place(it) { Place::of(&it.network.room) }
    headline(it) {
        format!(
            "{}: {:.0} min to send what an outage of the days of the policy leaves, {:.0} min are wanted",
            it.network.room, it.minutes, it.wanted
        )
     }
    help(_it) { vec!["Let the controllers send the latest events first".to_owned(), "Raise network.backlog_min, or give the room a faster way out".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn a_slow_line_takes_long_to_catch_up() {
        // 3 days of 100,000 events of 684 bytes are 1,642 Mbit: 23.4 min at the 1.17 Mbit/s left.
        let case = |minutes| Case {
            events_per_day: 100_000.0,
            uplink_mbit: Some(1.2),
            backlog_min: Some(minutes),
            ..Case::default()
        };
        check(&case(20.0), &["LNK-012"]);
        check(&case(30.0), &[]);
    }
}
