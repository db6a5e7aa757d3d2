//! POW-029 supply-output-not-class-two.

use dw_core::{Amps, DeviceId, EnclosureId, Place, RoomId, Volts, rule};

rule! {
    /// ## What it checks
    /// Whether the fused outputs of a supply are class 2 sources: their rating at the highest voltage they ever have, and
    /// whether their maker states a listing. Only where the code profile knows class 2 circuits.
    /// ## Why it matters
    /// What leaves such an output is not a class 2 circuit: cable, segregation and protection of other circuits apply. A
    /// battery behind an output gives any current, so that figures alone do not limit it; a listed limiter does.
    /// ## Basis
    /// NFPA 70-2017 chapter 9 table 11(B): 5 A up to 20 V, 100 VA above, by the highest voltage (float), not the nominal.
    /// ## Example
    /// Outputs of 5 A at 28.3 V on float: the limit is 3.53 A.
    /// ## What to do
    /// Use a supply whose outputs are listed as class 2, or wire the output as a licensed person decides.
    pub struct SupplyOutputNotClassTwo: "POW-029" "supply-output-not-class-two" Note since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// The supply.
        pub supply: DeviceId,
        /// Rating of each output.
        pub rating: Amps,
        /// Highest voltage.
        pub voltage: Volts,
        /// Highest current of a class 2 source at that voltage; `None` where class 2 ends.
        pub limit: Option<Amps>,
        /// Whether the rating is beyond the limit; else only the listing is not stated.
        pub beyond: bool,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { match it.limit {
            Some(limit) if it.beyond => format!(
                "{}: outputs of {} give {:.2} at {:.1}, a class 2 source {:.2}",
                it.enclosure, it.supply, it.rating, it.voltage, limit
            ),
            Some(_) => format!("{}: nobody states that the outputs of {} are listed as class 2", it.enclosure, it.supply),
            None => format!("{}: {:.1} at the outputs of {} are beyond class 2", it.enclosure, it.voltage, it.supply),
        } }
    help(it) { vec![
            if it.beyond {
                "Use a supply whose outputs are limited within class 2".to_owned()
            } else {
                "Have the maker's listing of the outputs, battery included, and state it as supply.class_2".to_owned()
            },
            "Else have a licensed person choose the wiring method of what leaves these outputs".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use dw_core::Volts;

    use crate::power::testing::*;

    #[test]
    fn a_listed_output_exactly_at_the_limit_is_class_2_and_one_above_it_or_without_a_listing_is_not() {
        let mut site = site();
        site.profile.class_2_source = Some("NFPA 70".to_owned());
        site.outputs(2, 5.0, true);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.outputs(2, 5.01, true);
        assert_eq!(codes(&site.check().1), ["POW-029"]);
        site.outputs(2, 5.0, false);
        assert_eq!(codes(&site.check().1), ["POW-029"]);
        site.profile.class_2_source = None;
        assert_eq!(codes(&site.check().1), [""; 0]);
    }

    #[test]
    fn the_limit_falls_with_the_voltage_of_the_charger_in_the_cold() {
        let mut site = site();
        site.outputs(2, 1.0, true);
        let (plan, _) = site.check();
        // Six cells, 3 mV a cell for each of the five kelvin below 25 °C.
        let highest = plan.enclosures[0].outputs[0].highest_v;
        assert!((highest - Volts::new(13.89)).get().abs() < 1e-9, "{highest}");
    }
}
