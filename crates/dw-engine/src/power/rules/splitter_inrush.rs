//! POW-012 splitter-inrush.

use dw_core::{Amps, DeviceId, OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// The load behind a splitter with the largest inrush on top, against what it gives.
    /// ## Why it matters
    /// A splitter has no battery to lean on: an inrush beyond its limit makes its voltage sag and may restart what hangs on it.
    /// ## Basis
    /// Sum of loads; the maker's limit.
    /// ## Example
    /// 1.8 A lasting and a lock that takes 1.5 A more for a moment, on 2 A.
    /// ## What to do
    /// Use a larger splitter or a lock with a smaller inrush, or ask the maker what it bears for that time.
    pub struct SplitterInrush: "POW-012" "splitter-inrush" Fix since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The splitter.
        pub splitter: DeviceId,
        /// Highest load.
        pub peak: Amps,
        /// What it can give.
        pub gives: Amps,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {:.2} at peak behind {}, it gives {:.2}", it.opening, it.peak, it.splitter, it.gives) }
    help(_it) { vec!["Use a larger splitter or a lock with a smaller inrush".to_owned(), "Ask the maker what peak it bears".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn an_inrush_beyond_the_splitter_is_told_and_one_exactly_at_it_is_not() {
        let mut site = site();
        site.split("splitter", &[("unit", 1)]);
        site.device("unit").electrical.active = Some(dw_core::Amps::new(1.0));
        site.device("unit").electrical.inrush = Some(dw_core::Amps::new(2.0));
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.device("unit").electrical.inrush = Some(dw_core::Amps::new(2.1));
        assert_eq!(codes(&site.check().1), ["POW-012"]);
    }
}
