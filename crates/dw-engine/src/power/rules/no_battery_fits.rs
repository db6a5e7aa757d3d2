//! POW-007 no-battery-fits.

use dw_core::{AmpHours, EnclosureId, Hours, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether a stocked battery reaches the capacity an enclosure needs and its supply may charge it.
    /// ## Why it matters
    /// A battery that is too small gives out before the standby asked for is over.
    /// ## Basis
    /// Standby + alarm method of NFPA 72; Peukert's law; IEEE Std 485 for temperature, margin and ageing. Two strings at most (*common practice*).
    /// ## Example
    /// 24 h at 2 A needs about 80 Ah; the supply charges 40 Ah at most.
    /// ## What to do
    /// Split the load, use a supply with a larger charger, stock a larger battery, or agree a shorter standby.
    pub struct NoBatteryFits: "POW-007" "no-battery-fits" Stop since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// Capacity needed.
        pub needed: AmpHours,
        /// Standby asked for.
        pub standby: Hours,
        /// Largest stocked battery.
        pub stocked: Option<AmpHours>,
        /// Largest battery a supply that carries the load may charge.
        pub borne: Option<AmpHours>,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!(
            "{}: {:.1} needed for {:.1} of standby, {}",
            it.enclosure, it.needed, it.standby,
            it.borne.map_or("no supply states what battery it charges".to_owned(), |borne| format!("the supply charges at most {borne:.1}"))
        ) }
    notes(it) { it.stocked.map(|stocked| format!("Largest stocked battery {stocked:.1}, two strings at most")).into_iter().collect() }
    help(_it) { vec![
            "Share the load between two enclosures".to_owned(),
            "Use a supply that charges a larger battery".to_owned(),
            "Agree a shorter standby where the code profile leaves it open".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_standby_no_battery_reaches_is_stopped() {
        let mut site = site();
        site.job.policy.power.standby = Some(dw_core::Hours::new(400.0));
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-007"]);
        assert_eq!(found[0].place, dw_core::Place::of(&dw_core::RoomId::new("TR-1")));
        assert_eq!((plan.enclosures[0].battery.clone(), plan.enclosures[0].fitted_ah.get()), (None, 0.0));
    }

    #[test]
    fn a_battery_exactly_as_large_as_needed_is_chosen() {
        let mut site = site();
        let needed = site.check().0.enclosures[0].needed_ah;
        site.only_battery(needed);
        let (plan, found) = site.check();
        assert_eq!(codes(&found), [""; 0]);
        assert_eq!((plan.enclosures[0].batteries, plan.enclosures[0].fitted_ah), (1, needed));
        site.only_battery(needed * 0.999);
        assert_eq!(site.check().0.enclosures[0].batteries, 2);
    }
}
