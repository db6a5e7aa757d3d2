//! A reader or lane slower than the peak flow.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// One lane with its reader passes as many people an hour as come at the busiest.
    /// ## Why it matters
    /// A queue at shift change leads to propped doors, and cars waiting on a public road.
    /// ## Basis
    /// 3600 s over the passage time; service rates: Fruin 1971 and the TCQSM for lanes; at a door with card and closer 8 to 15 a minute (*common practice*).
    /// ## Example
    /// D-1: 1,200 an hour pass, 1,500 come.
    /// ## What to do
    /// Add an opening or lane, use a faster reader, or stagger the shift.
    pub struct PassageTooSlow: "EQP-017" "passage-too-slow" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening).field("peak_flow") }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["Add a lane or opening, or use a faster way of proving".to_owned(), "Or stagger the shift and correct peak_flow".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn more_people_than_any_reader_passes_is_told() {
        let at = |flow| door(&[("peak_flow", flow)]).has("EQP-017");
        assert!(at("1201"));
        assert!(!at("1200"), "exactly at the limit: 3.0 s each are 1,200 an hour");
    }
}
