//! DES-001 acceptance-incomplete.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Who accepts a finding gives its code, their name, the date and the reason.
    /// ## Why it matters
    /// An acceptance nobody signed takes nothing off anybody; the finding stays open.
    /// ## Basis
    /// Common practice.
    /// ## Example
    /// `[[acceptance]] code = "SUR-002"` without `name`.
    /// ## What to do
    /// Fill in `code`, `name`, `date` and `reason`, or remove the acceptance.
    pub struct AcceptanceIncomplete: "DES-001" "acceptance-incomplete" Fix since "0.1" {
        /// Row of the acceptance.
        pub row: usize,
    }
    place(it) { Place::named("acceptance", &it.row.to_string()) }
    headline(it) { format!("acceptance {}: code, name, date or reason is missing, so it accepts nothing", it.row) }
    help(_it) { vec!["Fill in code, name, date and reason, or remove it".to_owned()] }
}
