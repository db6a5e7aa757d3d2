//! LNK-018 radio-power-over-limit.

use dw_core::{Place, rule};

use crate::link::BridgeSheet;

rule! {
    /// ## What it checks
    /// A radio bridge radiates no more than the job says the country allows.
    /// ## Why it matters
    /// It would be against the law, and disturb others.
    /// ## Basis
    /// The job's own figure. Limits are national: 20 dBm at 2.4 GHz and 30 dBm at 5.47 to 5.725 GHz are common in Europe (*from memory*).
    /// ## Example
    /// TR-P: DW-RB4 radiates 36.0 dBm, the job allows 30.0 dBm.
    /// ## What to do
    /// Turn the transmitter down and look at the margin again, or take another bridge.
    pub struct RadioPowerOverLimit: "LNK-018" "radio-power-over-limit" Stop since "0.1" {
        /// The sheet of the bridge.
        pub sheet: BridgeSheet,
        /// What the job allows.
        pub limit_dbm: f64,
    }
    place(it) { Place::of(&it.sheet.room) }
    headline(it) { format!("{}: {} radiates {:.1} dBm, the job allows {:.1} dBm", it.sheet.room, it.sheet.device, it.sheet.eirp_dbm, it.limit_dbm) }
    help(it) {
        vec![format!("Turn the transmitter down by {:.1} dB, as the law asks, and look at the margin again: nothing to buy", it.sheet.eirp_dbm - it.limit_dbm)]
     }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, bridge, check};

    #[test]
    fn the_limit_itself_is_allowed() {
        check(&Case { max_eirp_dbm: Some(29.0), ..bridge() }, &[]);
        check(&Case { max_eirp_dbm: Some(28.9), ..bridge() }, &["LNK-018"]);
    }
}
