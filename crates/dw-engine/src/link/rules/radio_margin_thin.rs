//! LNK-016 radio-margin-thin.

use dw_core::{Place, rule};

use crate::link::{BridgeSheet, radio};

rule! {
    /// ## What it checks
    /// A radio bridge keeps the margin against fading that the job wants, at the slowest rate at least.
    /// ## Why it matters
    /// Fog, a wet tree or a reflection from water at low tide takes the link, and with it the room.
    /// ## Basis
    /// 20 dB where the link carries doors, 10 dB on a short path in town (*common practice*).
    /// ## Example
    /// TR-P: 14.2 dB of margin at the slowest rate, 20.0 dB are wanted.
    /// ## What to do
    /// Take a bridge with more gain, or accept less margin on a short path.
    pub struct RadioMarginThin: "LNK-016" "radio-margin-thin" Fix since "0.1" {
        /// The sheet of the bridge.
        pub sheet: BridgeSheet,
    }
    place(it) { Place::of(&it.sheet.room).field("bridge_length") }
    headline(it) { format!("{}: {:.1} dB of margin at the slowest rate, {:.1} dB are wanted", it.sheet.room, it.sheet.margin_db, it.sheet.margin_wanted_db) }
    help(it) {
        let short = (it.sheet.margin_db >= radio::SHORT_MARGIN_DB).then(|| {
            format!("On a short path in town {:.0} dB may do (network.fade_margin_db)", radio::SHORT_MARGIN_DB)
        });
        ["Take a bridge with more gain, within the power the country allows".to_owned()].into_iter().chain(short).collect()
     }
    related(it) { vec![Place::of(&it.sheet.from)] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check};

    #[test]
    fn half_a_decibel_short_is_told() {
        // At 850 m the level is -61.9 dBm, 20.1 dB above the slowest rate.
        let at = |wanted| Case { bridge: Some(850.0), fade_margin_db: Some(wanted), rain: Some(0.0), ..bridge() };
        check(&at(20.0), &[]);
        check(&at(20.5), &["LNK-016"]);
    }
}
