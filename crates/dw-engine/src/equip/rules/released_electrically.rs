//! A way of escape that depends on a lock letting go.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Whether a lock holds people on a way of escape, with everything that frees them in place.
    /// ## Why it matters
    /// Such locking is allowed only on conditions that this tool checks in part.
    /// ## Basis
    /// IBC 2021 1010.2.11 to 1010.2.14; NFPA 101 7.2.1.6; NFPA 72 21.9; Approved Document B volume 2 (2019) 5.7 to 5.11; BS 7273-4.
    /// ## Example
    /// D-5 is held by a magnet: fail-safe, released by the fire alarm, by a green call point and by a sensor.
    /// ## What to do
    /// Have the authority agree; test every release at handover and yearly.
    pub struct ReleasedElectrically: "EQP-030" "released-electrically" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// Where the code profile takes the rule from.
        pub source: Option<String>,
    }
    place(it) { Place::of(&it.opening).field("escape") }
    headline(it) { format!("{}: {} holds a way of escape until it is released; no conflict found with the 4 conditions checked", it.opening, it.device) }
    notes(it) { super::cited(it.source.as_ref()) }
    help(_it) { vec!["Have the authority having jurisdiction agree before ordering; test each release at handover".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn a_magnet_with_every_release_is_told_and_a_free_handle_is_not() {
        let outcome = door(&[MAGNET_ONLY, ("escape", "\"exit\"")]);
        assert!(outcome.the("EQP-030").headline.contains("no conflict found with the 4 conditions checked"));
        assert!(outcome.the("EQP-030").notes.iter().any(|note| note.contains("authority having jurisdiction")));
        assert!(!door(&[("escape", "\"exit\"")]).has("EQP-030"));
        assert!(!door(&[MAGNET_ONLY, ("escape", "\"none\"")]).has("EQP-030"), "no part in escape");
    }
}
