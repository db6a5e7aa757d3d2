//! POW-028 supply-outputs-too-few.

use dw_core::{Amps, DeviceId, EnclosureId, Id, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// Whether every device of an enclosure finds a fused output of the supply that still carries it.
    /// ## Why it matters
    /// On site it is clamped under a terminal that is full, and the output opens on the busiest day.
    /// ## Basis
    /// The supply's maker. Devices are put on outputs whole, the hungriest first, on the first output that carries them.
    /// ## Example
    /// Five locks of 1 A on four outputs of 1 A.
    /// ## What to do
    /// Add a board of fused outputs, use a supply with more of them, or share the devices between two enclosures.
    pub struct SupplyOutputsTooFew: "POW-028" "supply-outputs-too-few" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// The supply.
        pub supply: DeviceId,
        /// Outputs it has.
        pub has: usize,
        /// Rating of each.
        pub rating: Amps,
        /// Devices left over.
        pub left: u32,
        /// Their models.
        pub devices: Vec<DeviceId>,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!(
            "{}: {} {} no place on the {} {} of {:.2} of {}",
            it.enclosure, it.left, if it.left == 1 { "device finds" } else { "devices find" },
            it.has, if it.has == 1 { "output" } else { "outputs" }, it.rating, it.supply
        ) }
    notes(it) { vec![format!("Left over: {}", it.devices.iter().map(Id::text).collect::<Vec<_>>().join(", "))] }
    help(_it) { vec![
            "Add a board of fused outputs, or use a supply with more of them".to_owned(),
            "Share the devices between two enclosures".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn devices_that_just_fill_the_outputs_are_borne_and_one_output_fewer_is_told() {
        let mut site = site();
        // Lock 0.6 A at most; controller 0.3 A and reader 0.1 A together 0.4 A.
        site.outputs(2, 0.6, true);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.outputs(1, 0.6, true);
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-028"]);
        assert_eq!(plan.enclosures[0].without_output.iter().map(|one| one.count).sum::<u32>(), 2);
        // All together: 0.8 A lasting and 0.2 A of inrush.
        site.outputs(1, 1.0, true);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.outputs(1, 0.99, true);
        assert_eq!(codes(&site.check().1), ["POW-028"]);
    }
}
