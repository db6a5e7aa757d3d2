//! POW-011 splitter-overloaded.

use dw_core::{Amps, DeviceId, OpeningId, Place, Watts, rule};

rule! {
    /// ## What it checks
    /// The lasting load behind a splitter against its rating and against what its network power class leaves after conversion.
    /// ## Why it matters
    /// A splitter asked for more than it gets switches off, with the door.
    /// ## Basis
    /// Conservation of energy; IEEE 802.3 class table; 88 % is a usual efficiency (*common practice*): 24 W out needs about 27 W in, so that class 4 with 25.5 W gives 1.87 A at 12 V.
    /// ## Example
    /// 2 A behind a class 4 splitter.
    /// ## What to do
    /// Use a splitter of a higher class, locks that draw less, or a supply in the room.
    pub struct SplitterOverloaded: "POW-011" "splitter-overloaded" Stop since "0.1" {
        /// The opening.
        pub opening: OpeningId,
        /// The splitter.
        pub splitter: DeviceId,
        /// Lasting load.
        pub load: Amps,
        /// What it can give.
        pub gives: Amps,
        /// Power it would take.
        pub input: Watts,
        /// Its class, and the power of that class at the device.
        pub class: Option<(u32, Watts)>,
    }
    place(it) { Place::of(&it.opening) }
    headline(it) { format!("{}: {:.2} behind {}, it gives {:.2}", it.opening, it.load, it.splitter, it.gives) }
    notes(it) { it.class.iter().map(|(class, power)| format!("It would take {:.1} from the cable; class {class} leaves {power:.1}", it.input)).collect() }
    help(_it) { vec![
            "Use a splitter of a higher class, and a switch that offers it".to_owned(),
            "Use a lock that draws less".to_owned(),
            "Feed the opening from a supply with battery in the room".to_owned(),
        ] }
}

#[cfg(test)]
mod tests {
    use crate::power::testing::*;

    #[test]
    fn a_two_ampere_splitter_carries_two_readers_and_two_ordinary_locks_and_says_when_it_no_longer_does() {
        // Common practice: a two-opening controller 0.30 A, two card readers 0.10 A each, two ordinary locks 0.50 A each.
        let mut site = site();
        site.split("splitter", &[("unit", 1), ("reader", 2), ("lock", 2)]);
        site.device("unit").electrical.active = Some(dw_core::Amps::new(0.30));
        site.device("reader").electrical.active = Some(dw_core::Amps::new(0.10));
        site.device("lock").electrical.active = Some(dw_core::Amps::new(0.50));
        site.device("lock").electrical.inrush = None;
        let (plan, found) = site.check();
        assert_eq!(codes(&found), [""; 0]);
        let feed = &plan.network_feeds[0];
        assert_eq!((feed.load_w.get(), feed.class), (18.0, Some(5)));
        site.device("lock").electrical.active = Some(dw_core::Amps::new(0.75));
        assert_eq!(codes(&site.check().1), [""; 0], "exactly 2 A");
        site.device("lock").electrical.active = Some(dw_core::Amps::new(0.76));
        let (_, found) = site.check();
        assert_eq!(codes(&found), ["POW-011"]);
        assert_eq!(found[0].headline, "D-1: 2.02 A behind splitter, it gives 2.00 A");
    }

    #[test]
    fn a_class_of_25_watts_gives_less_than_two_amperes() {
        let mut site = site();
        site.split("splitter", &[("unit", 1)]);
        site.device("splitter").network.class = Some(4);
        site.device("unit").electrical.active = Some(dw_core::Amps::new(1.87));
        assert_eq!(codes(&site.check().1), [""; 0], "exactly what 25.5 W gives at 88 %");
        site.device("unit").electrical.active = Some(dw_core::Amps::new(2.0));
        let (plan, found) = site.check();
        assert_eq!(codes(&found), ["POW-011"]);
        assert_eq!(found[0].headline, "D-1: 2.00 A behind splitter, it gives 1.87 A");
        assert!((plan.network_feeds[0].device_w.get() - 27.27).abs() < 0.01);
    }
}
