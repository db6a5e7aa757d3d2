//! POW-014 network-budget-exceeded.

use dw_core::{Place, RoomId, Watts, rule};

rule! {
    /// ## What it checks
    /// Power of all network feeds of a room, ends of radio bridges included, counted at the source, against what its switches have left.
    /// ## Why it matters
    /// The last device plugged in stays dark.
    /// ## Basis
    /// Switches are budgeted at the source by class; IEEE 802.3 class table.
    /// ## Example
    /// Three class 4 devices take 90 W; 60 W are left.
    /// ## What to do
    /// Add a switch with power, use devices of a lower class, or feed some from a supply.
    pub struct NetworkBudgetExceeded: "POW-014" "network-budget-exceeded" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Power needed at the source.
        pub needs: Watts,
        /// Power left.
        pub has: Watts,
        /// Devices fed.
        pub feeds: usize,
    }
    place(it) { Place::of(&it.room).field("network_power") }
    headline(it) { format!("{}: {:.0} of network power for {} {}, {:.0} left", it.room, it.needs, it.feeds, if it.feeds == 1 { "device" } else { "devices" }, it.has) }
    help(_it) { vec!["Add a switch with power for devices".to_owned(), "Feed some of them from a supply".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn both_ends_of_a_radio_bridge_are_counted() {
        let mut site = site();
        site.device("camera").electrical.network_power = Some(dw_core::Watts::new(10.0));
        let room = dw_core::RoomId::new("TR-1");
        site.routes.links.push(crate::route::RoomLink {
            from: room.clone(),
            to: room,
            device: Some(dw_core::DeviceId::new("camera")),
            length_m: dw_core::Metres::new(200.0),
            trench: None,
            bridge_cost: None,
            trench_cost: None,
        });
        site.job.rooms[0].network_power = Some(dw_core::Watts::new(30.8));
        assert_eq!(codes(&site.check().1), [""; 0], "10 W are class 3, 15.4 W at the source, twice");
        site.job.rooms[0].network_power = Some(dw_core::Watts::new(30.0));
        assert_eq!(codes(&site.check().1), ["POW-014"]);
        site.device("camera").electrical.network_power = None;
        assert_eq!(codes(&site.check().1), ["POW-001"]);
    }

    #[test]
    fn a_budget_exactly_used_up_is_enough_and_one_watt_less_is_not() {
        let mut site = site();
        site.network_unit(25.0);
        site.job.rooms[0].network_power = Some(dw_core::Watts::new(30.0));
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.job.rooms[0].network_power = Some(dw_core::Watts::new(29.0));
        assert_eq!(codes(&site.check().1), ["POW-014"]);
    }
}
