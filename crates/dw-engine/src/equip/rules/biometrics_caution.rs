//! Biometrics are read somewhere.

use dw_core::{OpeningId, Place, rule};

rule! {
    /// ## What it checks
    /// Whether fingers, faces or veins are read anywhere.
    /// ## Why it matters
    /// Templates are personal data of a special kind; people who cannot or will not enrol need another way.
    /// ## Basis
    /// GDPR Art. 4(14) and 9; Illinois 740 ILCS 14; NIST SP 800-63B-4 (an alternative always offered).
    /// ## Example
    /// D-20 reads fingers.
    /// ## What to do
    /// Let the owner take advice before enrolment and offer another method.
    pub struct BiometricsCaution: "EQP-020" "biometrics-caution" Note since "0.1" {
        /// The opening.
        pub opening: OpeningId,
    }
    place(_it) { Place::job() }
    headline(it) { format!("Fingers, faces or veins are read, first at {}", it.opening) }
    related(it) { vec![Place::of(&it.opening)] }
    help(_it) { vec!["Offer a method without biometrics; let the owner take advice on local law before anybody is enrolled".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::equip::testing::*;

    #[test]
    fn it_is_said_once_a_job_and_only_where_biometrics_are_read() {
        assert!(!door(&[]).has("EQP-020"));
        let outcome = door(&[("proof.demanded", "[\"face\"]")]);
        assert_eq!(outcome.count("EQP-020"), 1);
    }
}
