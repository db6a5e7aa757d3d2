//! PRC-004.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// Every device fitted and every cable pulled has hours in the catalogue.
    /// ## Why it matters
    /// Its labour is missing from the price.
    /// ## Basis
    /// A missing figure is never zero. Licences and credentials are handed over and take no time.
    /// ## Example
    /// A sounder without `labour.fit`.
    /// ## What to do
    /// Write the hours into the catalogue; 0 where it takes no time.
    pub struct LabourHoursMissing: "PRC-004" "labour-hours-missing" Fix since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// The field of the catalogue.
        pub field: &'static str,
    }
    place(it) { Place::of(&it.device).field(it.field) }
    headline(it) { format!("{}: the catalogue gives no hours under {}; the price counts none", it.device, it.field) }
    help(it) { vec![format!("Write {} into the catalogue; 0 where it takes no time", it.field)] }
}

#[cfg(test)]
mod tests {
    use dw_core::Hours;

    use crate::price::testing::{Site, codes};

    #[test]
    fn a_device_and_a_cable_without_hours_are_told_once_each() {
        let mut site = Site::doors(4);
        site.device("lock").labour = dw_job::catalogue::DeviceLabour::default();
        site.device("cable").cable.labour_per_metre = None;
        assert_eq!(codes(&site), ["PRC-004", "PRC-004"]);
    }

    #[test]
    fn no_time_is_a_figure() {
        let mut site = Site::doors(4);
        site.device("lock").labour.fit = Some(Hours::ZERO);
        site.device("lock").labour.commission = None;
        assert_eq!(codes(&site), [""; 0]);
    }
}
