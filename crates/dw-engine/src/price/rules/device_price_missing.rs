//! PRC-001.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// Every device that is bought has a price in the catalogue.
    /// ## Why it matters
    /// The line counts as nothing, and the total is too low by it.
    /// ## Basis
    /// A missing figure is never zero. A device that is free has the price 0.
    /// ## Example
    /// A new lock was added to the catalogue before its price was known.
    /// ## What to do
    /// Write the price into the catalogue, or keep the device off the design.
    pub struct DevicePriceMissing: "PRC-001" "device-price-missing" Stop since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// How many are bought.
        pub quantity: f64,
    }
    place(it) { Place::of(&it.device).field("price") }
    headline(it) { format!("{}: {} bought, no price in the catalogue; the total leaves them out", it.device, it.quantity) }
    help(_it) {
        vec!["Write the price into the catalogue".to_owned(), "Refuse the device in the policy, so that another is chosen".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::price::testing::{Site, codes};

    #[test]
    fn a_lock_without_price_is_told_once() {
        let mut site = Site::doors(3);
        site.device("lock").price = None;
        assert_eq!(codes(&site), ["PRC-001"]);
    }

    #[test]
    fn a_price_of_nothing_is_a_price() {
        let mut site = Site::doors(3);
        site.device("lock").price = Some(dw_core::Money::ZERO);
        assert_eq!(codes(&site), [""; 0]);
    }

    #[test]
    fn a_device_nobody_buys_needs_no_price() {
        let mut site = Site::doors(3);
        site.device("camera").price = None;
        assert_eq!(codes(&site), [""; 0]);
    }
}
