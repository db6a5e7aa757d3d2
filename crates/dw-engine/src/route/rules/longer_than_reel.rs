//! RTE-012 longer-than-reel.

use dw_core::{DeviceId, Metres, Place, rule};

rule! {
    /// ## What it checks
    /// Every cable can be cut from a standard reel.
    /// ## Why it matters
    /// A longer one is a special order, or needs a joint where a box must stay reachable.
    /// ## Basis
    /// The catalogue's reel length.
    /// ## Example
    /// Cable C-2: 2 runs up to 318.0 m, a reel holds 305.0 m.
    /// ## What to do
    /// Order a special length, or bring the room nearer.
    pub struct LongerThanReel: "RTE-012" "longer-than-reel" Note since "0.1" {
        /// The cable.
        pub device: DeviceId,
        /// Runs longer than a reel.
        pub runs: usize,
        /// The longest run.
        pub longest: Metres,
        /// Length of a reel.
        pub reel: Metres,
    }
    place(it) { Place::of(&it.device) }
    headline(it) {
        format!("Cable {}: {} runs up to {:.1}, a reel holds {:.1}", it.device, it.runs, it.longest, it.reel)
    }
    help(_it) {
        vec!["Order special lengths, or choose a cable on longer reels".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::testing::Scene;

    /// The lock cable of a scene comes on reels of 100 m.
    fn check(length_m: f64, codes: &[&str]) {
        let mut scene = Scene::new();
        scene.room("TR-1", "S0", 0.0, 0.0);
        scene.opening("D-1", "S0", length_m, 0.0);
        scene.serve("D-1", "TR-1", length_m);
        assert_eq!(scene.schedule().1, codes);
    }

    #[test]
    fn a_run_may_be_exactly_as_long_as_a_reel() {
        check(99.0, &[]);
        check(100.0, &[]);
        check(100.5, &["RTE-012"]);
    }
}
