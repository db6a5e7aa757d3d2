//! DES-002 acceptance-useless.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Every acceptance matches a finding of this design.
    /// ## Why it matters
    /// An acceptance of something that is no longer there would hide the next one that looks like it.
    /// ## Basis
    /// Common practice.
    /// ## Example
    /// `code = "SUR-002"`, `object = "D-12"` after the split of works of D-12 was completed.
    /// ## What to do
    /// Remove the acceptance, or correct its code or object.
    pub struct AcceptanceUseless: "DES-002" "acceptance-useless" Fix since "0.1" {
        /// Row of the acceptance.
        pub row: usize,
        /// Its code.
        pub code: String,
    }
    place(it) { Place::named("acceptance", &it.row.to_string()).field("code") }
    headline(it) { format!("acceptance {}: no finding {} is there to accept", it.row, it.code) }
    help(_it) { vec!["Remove it, or correct its code or object".to_owned()] }
}
