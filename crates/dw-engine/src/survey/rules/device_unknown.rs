//! SUR-009 device-unknown.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// Every device named by a pin, by existing equipment, by an extra or by the policy is in the catalogue.
    /// ## Why it matters
    /// A pin to a device nobody knows decides nothing.
    /// ## Basis
    /// The job format.
    /// ## Example
    /// `reader = "RC-10"` where the catalogue has `RC-1`.
    /// ## What to do
    /// Correct the model name, or add the device to a catalogue file of your own.
    pub struct DeviceUnknown: "SUR-009" "device-unknown" Stop since "0.1" {
        /// Where it is named.
        pub place: Place,
        /// The device as named.
        pub device: DeviceId,
        /// The device nearest to it.
        pub meant: Option<String>,
    }
    place(it) { it.place.clone() }
    headline(it) {
        format!("{}: the catalogue has no device \"{}\"", it.place, it.device)
    }
    help(it) { match &it.meant {
            Some(meant) => vec![format!("Did you mean \"{meant}\"?")],
            None => vec!["Correct the model name, or add the device to a catalogue file of your own".to_owned()],
        } }
}
