//! LNK-013 network-policy-wrong.

use dw_core::{Place, rule};

rule! {
    /// ## What it checks
    /// The range of addresses and the first VLAN that the job names can be used.
    /// ## Why it matters
    /// Addresses outside the private ranges belong to somebody else; 172.32.x.x only looks private.
    /// ## Basis
    /// RFC 1918; IEEE 802.1Q: VLANs 1 to 4094.
    /// ## Example
    /// network.base_range: 172.32.0.0/16 is not private (RFC 1918).
    /// ## What to do
    /// Ask whoever runs the network for a range and write it in the job.
    pub struct NetworkPolicyWrong: "LNK-013" "network-policy-wrong" Fix since "0.1" {
        /// The field.
        pub field: &'static str,
        /// What the job says.
        pub written: String,
        /// Why it cannot be used.
        pub why: &'static str,
    }
    place(it) { Place::named("network", "").field(it.field) }
    headline(it) { format!("network.{}: {} {}", it.field, it.written, it.why) }
    notes(_it) { vec!["The plan goes on with the usual value".to_owned()] }
    help(_it) { vec!["Ask whoever runs the network, and write it in the job".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    fn based(range: &'static str) -> Case {
        Case { base_range: Some(range), ..Case::default() }
    }

    #[test]
    fn a_range_that_only_looks_private_is_told() {
        check(&based("172.32.0.0/16"), &["LNK-013"]);
        check(&based("172.31.0.0/16"), &[]);
        check(&based("ten dot something"), &["LNK-013"]);
    }

    #[test]
    fn vlans_beyond_the_last_are_told() {
        check(&Case { first_vlan: Some(4094), ..Case::default() }, &["LNK-013"]);
        check(&Case { first_vlan: Some(4093), ..Case::default() }, &[]);
    }
}
