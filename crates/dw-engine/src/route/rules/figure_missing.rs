//! RTE-010 route-figure-missing.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// The catalogue states the figures of a cable or radio bridge that this design needs: cores, price, diameter, range.
    /// ## Why it matters
    /// A figure that is not stated does not count as zero; the device is left out, or the fill of its ways is unknown.
    /// ## Basis
    /// The catalogue.
    /// ## Example
    /// Cable C-8: no diameter.
    /// ## What to do
    /// Fill in the figure from the data sheet.
    pub struct FigureMissing: "RTE-010" "route-figure-missing" Fix since "0.1" {
        /// The device.
        pub device: DeviceId,
        /// The figure, as its key is written.
        pub figure: &'static str,
    }
    place(it) { Place::of(&it.device).field(it.figure) }
    headline(it) {
        format!("{}: the catalogue states no {}", it.device, it.figure)
    }
    help(_it) {
        vec!["Fill in the figure from the data sheet".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    use dw_core::DeviceId;

    #[test]
    fn a_cable_in_use_without_a_diameter_is_told_of_once() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        for mark in ["D-1", "D-2"] {
            scene.opening(mark, "S0", 20.0, 0.0);
            scene.serve(mark, "TR-1", 20.0);
        }
        assert!(scene.schedule().1.is_empty());
        scene.catalogue.devices.get_mut(&DeviceId::new("CR8")).unwrap().cable.diameter = None;
        scene.way("W-1", "S0", (0.0, 0.0), (20.0, 0.0)).area = dw_core::SquareMm::try_new(9000.0);
        assert_eq!(scene.schedule().1, ["RTE-010"]);
    }

    #[test]
    fn a_cable_without_a_price_is_left_out_and_told_of() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 20.0, 0.0);
        scene.serve("D-1", "TR-1", 20.0);
        scene.catalogue.devices.get_mut(&DeviceId::new("CR8")).unwrap().price = None;
        assert_eq!(scene.schedule().1, ["RTE-006", "RTE-010"]);
    }
}
