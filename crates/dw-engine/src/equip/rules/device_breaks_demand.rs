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
