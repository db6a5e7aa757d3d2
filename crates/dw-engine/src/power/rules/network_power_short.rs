//! POW-013 network-power-short.

use dw_core::{Metres, OpeningId, Place, Watts, rule};

rule! {
    /// ## What it checks
    /// Whether the power left at the end of the network cable is what the device takes.
    /// ## Why it matters
    /// A device that gets too little restarts for ever, or never starts.
    /// ## Basis
    /// P = P_source - (P_source / V_source)² · R; IEEE 802.3 clauses 33 and 145. The two conductors of a pair run in parallel.
    /// ## Example
    /// 80 W at the end of a network cable; class 8 leaves 71.3 W.
    /// ## What to do
    /// Shorten the cable, share the load, or feed it from the mains.
    pub struct NetworkPowerShort: "POW-013" "network-power-short" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// Power needed at the device.
        pub needs: Watts,
        /// Power left there; `None` when no class gives as much.
        pub left: Option<Watts>,
        /// Length of the cable.
        pub length: Metres,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!(
            "{}: {:.1} needed at the end of {:.0} of network cable, {:.1} {}",
            it.opening, it.needs, it.length, it.left.unwrap_or(Watts::new(71.3)),
            if it.left.is_some() { "left" } else { "at most by any class" }
        ) }
    help(_it) { vec!["Shorten the cable or put a switch nearer".to_owned(), "Feed the device from a supply".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_cable_that_loses_too_much_is_told() {
        let mut site = site();
        site.split("splitter", &[("unit", 1)]);
        site.device("unit").electrical.active = Some(dw_core::Amps::new(1.9));
        site.length("D-1", 90.0);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.length("D-1", 1000.0);
        assert_eq!(codes(&site.check().1), ["POW-013"]);
    }

    #[test]
    fn no_class_gives_more_than_71_watts() {
        let mut site = site();
        site.network_unit(71.3);
        assert_eq!(codes(&site.check().1), [""; 0]);
        site.network_unit(71.4);
        assert_eq!(codes(&site.check().1), ["POW-013"]);
    }
}
