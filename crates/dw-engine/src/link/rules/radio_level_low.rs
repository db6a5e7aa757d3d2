//! LNK-015 radio-level-low.

use dw_core::{Place, rule};

use crate::link::BridgeSheet;

rule! {
    /// ## What it checks
    /// The level of a radio bridge is enough for the slowest rate in the rain the job names.
    /// ## Why it matters
    /// The bridge does not come up, or falls in the first shower.
    /// ## Basis
    /// ITU-R P.525-5, P.676, P.838-3; least levels of IEEE 802.11 at 10 % packet errors, which real radios undercut.
    /// ## Example
    /// TR-P: -84.1 dBm arrive from TR-T1, the slowest rate wants -82.0 dBm.
    /// ## What to do
    /// Take a bridge with more gain, put a relay between, or lay fibre.
    pub struct RadioLevelLow: "LNK-015" "radio-level-low" Stop since "0.1" {
        /// The sheet of the bridge.
        pub sheet: BridgeSheet,
    }
    place(it) { Place::of(&it.sheet.room).field("bridge_length") }
    headline(it) {
        let sheet = &it.sheet;
        format!("{}: {:.1} dBm arrive from {}, the slowest rate wants {:.1} dBm", sheet.room, sheet.level_dbm, sheet.from, sheet.level_dbm - sheet.margin_db)
     }
    help(_it) { vec!["Take a bridge with more gain, within the power the country allows".to_owned(), "Put a relay between, or lay fibre".to_owned()] }
    related(it) { vec![Place::of(&it.sheet.from)] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check};

    /// 5.5 GHz, 29 dBm, 16 dBi: at 8.5 km of dry air the level is -81.9 dBm.
    fn at(length: f64) -> Case {
        Case { bridge: Some(length), fade_margin_db: Some(0.0), rain: Some(0.0), ..bridge() }
    }

    #[test]
    fn too_far_for_the_slowest_rate_is_told() {
        check(&at(8500.0), &[]);
        check(&at(9000.0), &["LNK-015"]);
    }
}
