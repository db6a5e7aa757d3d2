//! POW-027 supply-output-overloaded.

use dw_core::{Amps, DeviceId, EnclosureId, OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The highest current of one device, inrush counted, against the rating of a fused output of its supply.
    /// ## Why it matters
    /// The limiter of the output opens when the device starts, and everything on the output is dead.
    /// ## Basis
    /// The supply's maker; no device is shared between outputs. Inrush is held against the rating, which is cautious for
    /// a fuse that bears it for its short time.
    /// ## Example
    /// A latch retraction device of 12 A on an output of 3 A.
    /// ## What to do
    /// Use a supply with larger outputs, or one made for that device, or a device that draws less.
    pub struct SupplyOutputOverloaded: "POW-027" "supply-output-overloaded" Fix since "0.1" {
        /// The room.
        pub room: RoomId,
        /// The enclosure.
        pub enclosure: EnclosureId,
        /// Number of the output.
        pub output: u32,
        /// The device.
        pub device: DeviceId,
        /// Its opening.
        pub opening: Option<OpeningId>,
        /// Highest current.
        pub peak: Amps,
        /// Rating of the output.
        pub rating: Amps,
    }
    place(it) { Place::of(&it.room) }
    headline(it) { format!(
            "{}: {}{} takes {:.2} at most, output {} bears {:.2}",
            it.enclosure, it.device, it.opening.as_ref().map_or(String::new(), |mark| format!(" of {mark}")), it.peak, it.output, it.rating
        ) }
    help(it) { vec![
            format!("Put a supply with outputs of {:.2} or more into the catalogue", it.peak),
            "Feed the device from a supply made for it, or choose one that draws less".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use dw_core::Amps;

    use crate::power::testing::*;

    #[test]
    fn a_lock_exactly_at_the_rating_of_an_output_hangs_on_it_and_a_little_more_is_told() {
        let mut site = site();
        // The lock takes 0.6 A when it starts; reader and controller find outputs of their own.
        site.outputs(3, 0.6, true);
        let (plan, found) = site.check();
        assert_eq!(codes(&found), [""; 0]);
        assert_eq!(plan.enclosures[0].outputs[0].peak_a, Amps::new(0.6));
        site.outputs(3, 0.599, true);
        assert_eq!(codes(&site.check().1), ["POW-027"]);
    }
}
