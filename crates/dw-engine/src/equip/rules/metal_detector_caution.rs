//! Metal detectors are part of the job.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// Whether metal detectors are among the extras.
    /// ## Why it matters
    /// Fields of an archway or wand may disturb implanted and body-worn medical devices.
    /// ## Basis
    /// NIJ Standard-0601.02; ASTM F2401; ADA 206.8 exception (accessible route beside the unit).
    /// ## Example
    /// One archway in the passenger hall.
    /// ## What to do
    /// Put up the notice and instruct the staff.
    pub struct MetalDetectorCaution: "EQP-021" "metal-detector-caution" Note since "0.1" {
        /// The first detector.
        pub device: DeviceId,
        /// How many detectors.
        pub count: u32,
    }
    place(_it) { Place::job() }
    headline(it) { format!("{} metal detectors are to be supplied, the first {}", it.count, it.device) }
    help(_it) { vec!["People with an implanted or body-worn medical device may ask for another screening; nobody stops or leans in the archway; staff are told before a hand-held unit is used".to_owned(), "Keep an accessible way beside the archway".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn it_is_said_once_when_a_detector_is_among_the_extras() {
        let outcome = with("[[extra]]\ndevice = \"ARCH\"\ncount = 2", &[]);
        assert_eq!(outcome.count("EQP-021"), 1);
        assert!(outcome.the("EQP-021").headline.starts_with("2 metal detectors"));
        assert!(!door(&[]).has("EQP-021"));
    }
}
