//! Control, cables or release that do not match the devices.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Ports, unit, cores and releases match the devices at the opening.
    /// ## Why it matters
    /// Terminals would stay open, or a lock without its release.
    /// ## Basis
    /// An invariant of this tool.
    /// ## Example
    /// A lock that holds on a way of escape without an emergency release.
    /// ## What to do
    /// This is a fault of the tool: report it with the job.
    pub struct ControlDoesNotAddUp: "EQP-903" "control-does-not-add-up" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// What does not match.
        pub text: String,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {}", it.opening, it.text) }
    help(_it) { vec!["This is a fault of the tool, not of the job: report it".to_owned()] }
}
