//! LNK-021 lines-unsupervised.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// Whether readers are on two data lines.
    /// ## Why it matters
    /// A cut or shorted pair is silent, and whoever reaches the wires can listen to numbers and send them again.
    /// ## Basis
    /// SIA AC-01-1996.10 has neither supervision nor encryption (*common practice*); IEC 60839-11-5 has both.
    /// ## Example
    /// 3 of 41 readers are on two data lines, without supervision and encryption.
    /// ## What to do
    /// Nothing, or readers on a bus with a secure channel where it matters.
    pub struct LinesUnsupervised: "LNK-021" "lines-unsupervised" Note since "0.1" {
        /// Readers on two data lines.
        pub readers: usize,
        /// All readers on a line.
        pub of: usize,
    }
    place(it) { Place::job() }
    headline(it) {
        let are = if it.readers == 1 { "is" } else { "are" };
        format!("{} of {} readers {are} on two data lines, without supervision and encryption", it.readers, it.of)
     }
    help(_it) {
        vec!["Fit readers on a bus with a secure channel where the wires can be reached".to_owned()]
     }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check, headlines};

    #[test]
    fn readers_on_a_bus_are_supervised() {
        check(&Case { lengths: vec![10.0, 12.0], ..Case::default() }, &[]);
    }

    #[test]
    fn all_of_them_are_told_of_together() {
        let case = Case { on_lines: true, lengths: vec![10.0, 12.0], ..Case::default() };
        assert_eq!(headlines(&case), ["2 of 2 readers are on two data lines, without supervision and encryption"]);
    }
}
