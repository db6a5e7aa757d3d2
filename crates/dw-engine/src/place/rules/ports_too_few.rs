//! PLC-007 ports-too-few.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Some controller that suits an opening has all the ports the opening needs.
    /// ## Why it matters
    /// The ports of an opening lie on one controller, so that it goes on deciding when the network fails.
    /// ## Basis
    /// The catalogue; placement handles up to four ports for one opening.
    /// ## Example
    /// D-12: needs 3 ports on one controller, the largest that suits it has 2.
    /// ## What to do
    /// Split the opening into two, or allow a larger controller.
    pub struct PortsTooFew: "PLC-007" "ports-too-few" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Ports it needs.
        pub wanted: u32,
        /// Ports of the largest controller that suits it.
        pub largest: u32,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) {
        format!("{}: needs {} ports on one controller, the largest that suits it has {}", it.opening, it.wanted, it.largest)
    }
    help(_it) {
        vec!["Record it as two openings, or add a controller with more ports to the catalogue".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    fn check(ports: u32, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.wide("D-1", "S0", 10.0, 0.0, ports);
        let (placement, raised) = scene.place(false);
        assert_eq!(raised, codes);
        assert_eq!(placement.unserved.len(), codes.len());
    }

    #[test]
    fn as_many_ports_as_the_largest_controller_has_are_possible() {
        check(3, &[]);
        check(4, &[]);
        check(5, &["PLC-007"]);
    }
}
