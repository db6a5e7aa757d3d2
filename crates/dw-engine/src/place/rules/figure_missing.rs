//! PLC-006 controller-figure-missing.

use dw_core::{DeviceId, Place, rule};

rule! {
    /// ## What it checks
    /// The catalogue states the ports and the price of every controller that could serve an opening.
    /// ## Why it matters
    /// A controller without them is left out, although it might be the cheapest.
    /// ## Basis
    /// The catalogue.
    /// ## Example
    /// Controller C-4: no price.
    /// ## What to do
    /// Fill in the figure from the data sheet or price list.
    pub struct FigureMissing: "PLC-006" "controller-figure-missing" Fix since "0.1" {
        /// The controller.
        pub device: DeviceId,
        /// The figure, as its key is written.
        pub figure: &'static str,
    }
    place(it) { Place::of(&it.device).field(it.figure) }
    headline(it) {
        format!("{}: the catalogue states no {}, so it is left out", it.device, it.figure)
    }
    help(_it) {
        vec!["Fill in the figure from the data sheet or price list".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    use dw_core::DeviceId;

    #[test]
    fn a_controller_without_price_or_ports_is_left_out_and_told_of() {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", 10.0, 0.0);
        assert!(scene.place(false).1.is_empty());
        scene.catalogue.devices.get_mut(&DeviceId::new("K1")).unwrap().price = None;
        scene.catalogue.devices.get_mut(&DeviceId::new("K4")).unwrap().control.ports = None;
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, ["PLC-006", "PLC-006"]);
        assert_eq!(placement.controllers[0].device, DeviceId::new("K2"));
    }
}
