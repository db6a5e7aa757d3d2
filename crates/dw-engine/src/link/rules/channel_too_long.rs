//! LNK-009 channel-too-long.

use dw_core::{DeviceId, Metres, Money, OpeningId, Place, RoomId, rule};

rule! {
    /// ## What it checks
    /// The fixed part of a network cable is no longer than a copper channel allows.
    /// ## Why it matters
    /// Beyond it the link falls back, drops frames or does not come up, and so does the power on it.
    /// ## Basis
    /// ISO/IEC 11801, TIA-568: 90 m of fixed link and 10 m of cords, checked apart.
    /// ## Example
    /// D-301: 97 m of network cable from TR-W, 90 m are the most.
    /// ## What to do
    /// Serve the opening from a nearer room, lay fibre with a converter at each end, or set up a radio bridge.
    pub struct ChannelTooLong: "LNK-009" "channel-too-long" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Room it is served from.
        pub room: RoomId,
        /// Length of the fixed part.
        pub length: Metres,
        /// The most allowed.
        pub limit: Metres,
        /// The cheapest radio bridge that reaches, and its price.
        pub bridge: Option<(DeviceId, Money)>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {:.0} of network cable from {}, {:.0} are the most", it.opening, it.length, it.room, it.limit) }
    help(it) {
        let bridge = it.bridge.as_ref().map(|(id, price)| format!("A radio bridge, {id}: {price} before mark-up"));
        ["Serve it from a nearer room (a pin), or lay fibre with a converter at each end".to_owned()].into_iter().chain(bridge).collect()
     }
    related(it) { vec![Place::of(&it.room)] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn ninety_metres_are_allowed_and_a_centimetre_more_is_not() {
        check(&Case { unit_at: Some(90.0), ..Case::default() }, &[]);
        check(&Case { unit_at: Some(90.01), ..Case::default() }, &["LNK-009"]);
    }
}
