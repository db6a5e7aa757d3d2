//! POW-009 no-supply-fits.

use dw_core::{Amps, DeviceId, EnclosureId, Place, RoomId, Volts, rule};

rule! {
    /// ## What it checks
    /// Whether a supply carries the lasting load at the share of its rating the policy allows, and the peak at its rating.
    /// ## Why it matters
    /// An overloaded supply shuts down or sags, and locks do what nobody wanted.
    /// ## Basis
    /// Load a supply to 75-80 % of its rating (*common practice*); peak within the rating.
    /// ## Example
    /// 14 A of locks on a supply of 10 A.
    /// ## What to do
    /// Use a larger supply, share the load between two, or use locks that draw less.
    pub struct NoSupplyFits: "POW-009" "no-supply-fits" Stop since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// System voltage.
        pub nominal: Volts,
        /// Highest lasting load.
        pub active: Amps,
        /// Highest load with the largest inrush.
        pub peak: Amps,
        /// Largest supply of that voltage.
        pub largest: Amps,
        /// Share of its rating it may carry.
        pub share: f64,
        /// The kit whose own supply is too small.
        pub kit: Option<DeviceId>,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!(
            "{}: {:.2} lasting and {:.2} at peak, {} at {:.0} gives {:.2}",
            it.enclosure, it.active, it.peak,
            it.kit.as_ref().map_or("the largest supply".to_owned(), |kit| format!("the supply in {kit}")), it.nominal, it.largest
        ) }
    notes(it) { vec![format!("{:.0} % of its rating may be used", it.share * 100.0)] }
    help(_it) { vec![
            "Put a larger supply into the catalogue, or share the load between two enclosures".to_owned(),
            "Use locks that draw less current".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_supply_loaded_exactly_to_its_share_carries_it_and_a_little_more_does_not() {
        let mut site = site();
        site.equipped("D-1").devices.retain(|fitted| fitted.role != crate::equip::Role::Lock);
        let active = site.check().0.enclosures[0].active_a;
        site.only_supply(active / 0.8);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.only_supply(active / 0.8 * 0.999);
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-009"]);
        assert_eq!((plan.enclosures.len(), plan.enclosures[0].supply.clone()), (1, None));
    }
}
