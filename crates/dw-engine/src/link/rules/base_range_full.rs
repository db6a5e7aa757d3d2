//! LNK-014 base-range-full.

use dw_core::{Place, rule};

use crate::link::ipv4::Subnet;

rule! {
    /// ## What it checks
    /// The range of addresses holds a subnet for every building or room.
    /// ## Why it matters
    /// Devices without an address cannot be planned.
    /// ## Basis
    /// RFC 950; room for growth as the job says, three addresses for the network itself (*common practice*).
    /// ## Example
    /// 10.20.0.0/27: no room for the subnet of workshop with 6 devices.
    /// ## What to do
    /// Ask for a larger range.
    pub struct BaseRangeFull: "LNK-014" "base-range-full" Fix since "0.1" {
        /// The range.
        pub range: Subnet,
        /// Name of the subnet.
        pub subnet: String,
        /// Its devices.
        pub devices: u32,
    }
    place(it) { Place::named("network", "").field("base_range") }
    headline(it) { format!("{}: no room for the subnet of {} with {} devices", it.range, it.subnet, it.devices) }
    help(_it) { vec!["Ask whoever runs the network for a larger range".to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::link::testing::{Case, check};

    #[test]
    fn head_end_and_site_need_two_subnets() {
        check(&Case { base_range: Some("10.9.0.0/26"), ..Case::default() }, &[]);
        check(&Case { base_range: Some("10.9.0.0/27"), ..Case::default() }, &["LNK-014"]);
    }
}
