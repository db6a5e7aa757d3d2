//! POW-021 network-fed-without-battery.

use dw_core::{Hours, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether openings fed over the network depend on a switch whose standby this design does not provide.
    /// ## Why it matters
    /// When the mains fails they last as long as the customer's switch, whatever standby was asked for.
    /// ## Basis
    /// *Common practice*.
    /// ## Example
    /// Three openings on splitters, 4 h of standby asked for.
    /// ## What to do
    /// Have the customer's network people confirm the standby of the switch in writing, or add a supply with battery for it.
    pub struct NetworkFedWithoutBattery: "POW-021" "network-fed-without-battery" Note since "0.1" {
        /// The room.
        pub room: RoomId,
        /// Devices fed over the network.
        pub feeds: usize,
        /// Standby asked for.
        pub standby: Hours,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!(
            "{}: {} network-fed {} on the switch's own standby, {:.1} are asked for",
            it.room, it.feeds, if it.feeds == 1 { "device depends" } else { "devices depend" }, it.standby
        ) }
    help(_it) { vec!["Have the standby of the switch confirmed in writing, or give it a supply with battery".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn network_feeds_are_noted_where_standby_is_asked_for() {
        let mut site = site();
        site.network_unit(10.0);
        site.job.policy.power.standby = Some(dw_core::Hours::new(4.0));
        let codes_with =
            |site: &mut Site| -> Vec<&'static str> { site.check_all().1.iter().map(|found| found.code).collect() };
        assert_eq!(codes_with(&mut site), ["POW-021"]);
        site.job.policy.power.standby = Some(dw_core::Hours::ZERO);
        assert_eq!(codes_with(&mut site), [""; 0]);
    }
}
