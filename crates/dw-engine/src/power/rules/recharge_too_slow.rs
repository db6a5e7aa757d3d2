//! POW-008 recharge-too-slow.

use dw_core::{AmpHours, EnclosureId, Hours, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether the charger refills the battery within the time asked for while it carries the standby load.
    /// ## Why it matters
    /// A second power cut before the battery is full again finds the site without standby.
    /// ## Basis
    /// 1.15 times the capacity over the charging current (*common practice*); 48 h in NFPA 731-2008, 24 h in 2006.
    /// ## Example
    /// 18 Ah at 0.4 A takes 52 h.
    /// ## What to do
    /// Use a supply with a larger charger, or agree a longer time.
    pub struct RechargeTooSlow: "POW-008" "recharge-too-slow" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// Time it takes.
        pub takes: Hours,
        /// Time asked for.
        pub wanted: Hours,
        /// Battery fitted.
        pub battery: AmpHours,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!("{}: recharge takes {:.1}, {:.1} are asked for", it.enclosure, it.takes, it.wanted) }
    notes(it) { vec![format!("{:.1} fitted, 1.15 times that to put back", it.battery)] }
    help(_it) { vec!["Use a supply with a larger charger".to_owned(), "Agree a longer time to recharge".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_charger_exactly_quick_enough_is_quick_enough_and_a_slower_one_is_told() {
        let mut site = site();
        site.only_supply(dw_core::Amps::new(5.0));
        let takes = site.check().0.enclosures[0].recharge_h;
        site.job.policy.power.recharge = Some(takes);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.job.policy.power.recharge = Some(takes * 0.99);
        assert_eq!(codes(&site.check().1), ["POW-008"]);
    }
}
