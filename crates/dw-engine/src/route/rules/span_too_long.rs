//! RTE-014 span-too-long.

use dw_core::{CableWayId, Metres, Place, rule};

rule! {
    /// ## What it checks
    /// No cable hangs farther between two supports than the policy allows.
    /// ## Why it matters
    /// Sag, wind and ice pull harder on a longer span; the poles and fixings are not made for it.
    /// ## Basis
    /// The policy's `max_span`; 50 m is *common practice* for light cables on a carrying wire.
    /// ## Example
    /// Cable way S-1: a span of 64.0 m, at most 50.0 m between supports.
    /// ## What to do
    /// Put a mast between, lay a duct, or have the span calculated and raise the policy's figure.
    pub struct SpanTooLong: "RTE-014" "span-too-long" Fix since "0.1" {
        /// The way.
        pub way: CableWayId,
        /// Its length.
        pub length: Metres,
        /// Longest span allowed.
        pub limit: Metres,
    }
    place(it) { Place::of(&it.way).field("x2") }
    headline(it) {
        format!("Cable way {}: a span of {:.1}, at most {:.1} between supports", it.way, it.length, it.limit)
    }
    help(_it) {
        vec![
            "Draw it as two spans with a support between, or lay a duct".to_owned(),
            "Have the span calculated and raise the policy's figure".to_owned(),
        ]
    }
}

#[cfg(test)]
mod tests {
    use crate::route::spans::tests::check;

    #[test]
    fn a_span_may_be_exactly_as_long_as_allowed() {
        check(50.0, Some(true), &[]);
        check(50.001, Some(true), &["RTE-014"]);
    }
}
