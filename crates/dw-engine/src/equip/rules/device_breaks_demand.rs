//! A device, not pinned, that does not meet its opening.

use dw_core::{DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Every device that no pin decided meets the plain demands of its opening, judged a second time.
    /// ## Why it matters
    /// A choice that breaks a demand would be built.
    /// ## Basis
    /// An invariant of this tool.
    /// ## Example
    /// A reader of IP42 outdoors.
    /// ## What to do
    /// This is a fault of the tool: report it with the job.
    pub struct DeviceBreaksDemand: "EQP-902" "device-breaks-demand" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The device.
        pub device: DeviceId,
        /// What speaks against it, with both figures.
        pub text: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {} {}", it.opening, it.device, it.text) }
    help(_it) { vec!["This is a fault of the tool, not of the job: report it".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    fn with_reader(id: &str, pinned: bool) -> Vec<&'static str> {
        judged(|equipment| {
            let opening = &mut equipment.openings[0];
            opening
                .devices
                .iter_mut()
                .filter(|fitted| fitted.role == Role::ReaderIn)
                .for_each(|reader| reader.device = DeviceId::new(id));
            for choice in &mut opening.choices {
                std::sync::Arc::make_mut(choice).pinned = pinned;
            }
        })
    }

    #[test]
    fn a_reader_that_does_not_sit_there_is_found_unless_it_was_pinned() {
        assert_eq!(with_reader("LANE-READER", false), ["EQP-902"]);
        assert!(with_reader("LANE-READER", true).is_empty());
        assert!(with_reader("BUS", false).is_empty(), "another reader that meets the demands is in order");
    }

    #[test]
    fn a_lock_that_cannot_do_what_is_said_of_it_is_found() {
        assert_eq!(judged(|equipment| equipment.openings[0].fail_mode = Some(FailMode::Safe)), ["EQP-902"]);
    }
}
