//! RTE-015 span-uncarried.

use dw_core::{CableWayId, Metres, Place, rule};

use super::counted;

rule! {
    /// ## What it checks
    /// Cables that hang in the air are borne by a carrying wire, unless the span is very short.
    /// ## Why it matters
    /// A cable that bears its own weight stretches; its sheath and its joints give way.
    /// ## Basis
    /// 3 m without a carrying wire: IET On-Site Guide, overhead wiring between buildings (*from memory*).
    /// ## Example
    /// Cable way S-1: 3 cables hang 18.0 m without a carrying wire, at most 3.0 m are possible.
    /// ## What to do
    /// State `carried = true` where a carrying wire is there or planned, or lay a duct.
    pub struct SpanUncarried: "RTE-015" "span-uncarried" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// Its length.
        pub length: Metres,
        /// Cables in it.
        pub cables: u32,
    }
    place(it) { Place::of(&it.way).field("carried") }
    headline(it) {
        format!(
            "Cable way {}: {} {:.1} without a carrying wire, at most 3.0 m are possible",
            it.way,
            counted(it.cables as usize, "cable hangs", "cables hang"),
            it.length
        )
    }
    help(_it) {
        vec!["State carried = true where a carrying wire is there or planned, or lay a duct".to_owned()]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::spans::tests::check;

    #[test]
    fn a_very_short_span_needs_no_carrying_wire() {
        check(3.0, None, &[]);
        check(3.001, None, &["RTE-015"]);
        check(3.001, Some(false), &["RTE-015"]);
        check(3.001, Some(true), &[]);
    }
}
