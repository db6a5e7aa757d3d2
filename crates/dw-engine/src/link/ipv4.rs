//! IPv4: sizes of subnets, private ranges, times of a lease.

use std::fmt;

use schemars::JsonSchema;
use serde::Serialize;

use crate::power::Formula;

/// Private ranges. Source: RFC 1918.
pub const PRIVATE: [Subnet; 3] = [
    Subnet { first: u32::from_be_bytes([10, 0, 0, 0]), prefix: 8 },
    Subnet { first: u32::from_be_bytes([172, 16, 0, 0]), prefix: 12 },
    Subnet { first: u32::from_be_bytes([192, 168, 0, 0]), prefix: 16 },
];

/// A range of addresses with a common beginning; written `10.20.0.0/24`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Subnet {
    /// Its first address.
    pub first: u32,
    /// Bits all its addresses share, at most 32.
    pub prefix: u32,
}

impl Subnet {
    /// The subnet written `10.20.0.0/24`; `None` when it cannot be read or does not begin on its own boundary.
    ///
    /// ```
    /// use dw_engine::link::ipv4::Subnet;
    /// assert_eq!(Subnet::parse("10.20.0.0/16").unwrap().to_string(), "10.20.0.0/16");
    /// assert_eq!(Subnet::parse("10.20.0.1/16"), None);
    /// ```
    pub fn parse(text: &str) -> Option<Self> {
        let (first, prefix) = text.trim().split_once('/')?;
        let prefix: u32 = prefix.parse().ok().filter(|prefix| *prefix <= 32)?;
        let subnet = Self { first: address(first)?, prefix };
        (u64::from(subnet.first) % subnet.addresses() == 0).then_some(subnet)
    }

    /// How many addresses it has.
    pub fn addresses(&self) -> u64 {
        1 << (32 - self.prefix.min(32))
    }

    /// Its last address: the broadcast address.
    pub fn last(&self) -> u32 {
        self.first.saturating_add(u32::try_from(self.addresses() - 1).unwrap_or(u32::MAX))
    }

    /// Whether another one lies in it.
    pub fn holds(&self, other: &Self) -> bool {
        self.first <= other.first && other.last() <= self.last()
    }

    /// Whether it lies in one of the private ranges.
    pub fn is_private(&self) -> bool {
        PRIVATE.iter().any(|range| range.holds(self))
    }
}

impl fmt::Display for Subnet {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}/{}", shown(self.first), self.prefix))
    }
}

impl Serialize for Subnet {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl JsonSchema for Subnet {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Subnet".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "description": "A range of addresses such as 10.20.0.0/24" })
    }
}

/// The address written `10.20.0.1`; `None` when it cannot be read.
///
/// Numbers with leading noughts are refused, because some programs read them as octal.
pub fn address(text: &str) -> Option<u32> {
    let mut bytes = [0; 4];
    let mut parts = text.trim().split('.');
    for byte in &mut bytes {
        let part = parts.next().filter(|part| part.bytes().all(|digit| digit.is_ascii_digit()))?;
        *byte = part.parse().ok().filter(|_| part.len() == 1 || !part.starts_with('0'))?;
    }
    parts.next().is_none().then(|| u32::from_be_bytes(bytes))
}

/// An address as people write it.
pub fn shown(address: u32) -> String {
    let [a, b, c, d] = address.to_be_bytes();
    format!("{a}.{b}.{c}.{d}")
}

/// Words of [`hosts`].
pub const HOSTS: Formula = Formula {
    title: "Addresses for devices in a subnet",
    unit: "",
    formula: "hosts = 2^(32 - prefix) - 2",
    source: "RFC 950, RFC 1122: all noughts and all ones name the subnet and everybody in it",
};

/// Addresses for devices in a subnet; none in one of two addresses or less.
///
/// **Formula** 2^(32 − p) − 2. **Units and range** prefix 0 to 32. **Source** RFC 950, RFC 1122.
///
/// ```
/// assert_eq!(dw_engine::link::ipv4::hosts(27), 30);
/// ```
pub fn hosts(prefix: u32) -> u64 {
    (1u64 << (32 - prefix.min(32))).saturating_sub(2)
}

/// Words of [`smallest_prefix`].
pub const SMALLEST: Formula = Formula {
    title: "Smallest subnet for devices",
    unit: "",
    formula: "largest prefix with 2^(32 - prefix) - 2 >= ceil(devices * (1 + spare))",
    source: "RFC 950; spare is common practice",
};

/// Prefix of the smallest subnet that holds devices with room to grow; `None` beyond any subnet.
///
/// **Formula** the largest p with 2^(32 − p) − 2 ≥ ⌈n (1 + s)⌉. **Units and range** s as a share. **Source** RFC 950.
///
/// ```
/// assert_eq!(dw_engine::link::ipv4::smallest_prefix(180, 0.25), Some(24));
/// ```
pub fn smallest_prefix(devices: u32, spare: f64) -> Option<u32> {
    let wanted = u64::from(super::ethernet::ports(devices, spare)).max(1);
    (0..=30).rev().find(|prefix| hosts(*prefix) >= wanted)
}

/// Words of the check for a private address.
pub const IS_PRIVATE: Formula = Formula {
    title: "Whether an address is private",
    unit: "",
    formula: "10.0.0.0/8, 172.16.0.0/12 (to 172.31.255.255), 192.168.0.0/16",
    source: "RFC 1918",
};

/// Words of [`renewal_s`].
pub const RENEWAL: Formula = Formula {
    title: "Time at which a lease is renewed",
    unit: "s",
    formula: "renewal = 0.5 * lease",
    source: "RFC 2131 s4.4.5",
};

/// Words of [`rebinding_s`].
pub const REBINDING: Formula = Formula {
    title: "Time at which a lease is asked of any server",
    unit: "s",
    formula: "rebinding = 0.875 * lease",
    source: "RFC 2131 s4.4.5",
};

/// Time after which a device renews its lease, s.
///
/// **Formula** T1 = 0.5 lease. **Source** RFC 2131 s4.4.5.
pub fn renewal_s(lease_s: f64) -> f64 {
    0.5 * lease_s
}

/// Time after which a device asks any server for its lease, s.
///
/// **Formula** T2 = 0.875 lease. **Source** RFC 2131 s4.4.5.
///
/// ```
/// use dw_engine::link::ipv4::{rebinding_s, renewal_s};
/// assert_eq!((renewal_s(86_400.0), rebinding_s(86_400.0)), (43_200.0, 75_600.0));
/// ```
pub fn rebinding_s(lease_s: f64) -> f64 {
    0.875 * lease_s
}

#[cfg(test)]
mod tests {
    use super::*;

    fn private(text: &str) -> bool {
        Subnet { first: address(text).unwrap(), prefix: 32 }.is_private()
    }

    #[test]
    fn the_middle_private_range_ends_at_172_31() {
        assert!(private("172.31.255.255") && private("172.16.0.0"));
        assert!(!private("172.32.0.10") && !private("172.15.255.255"));
        assert!(private("10.0.0.0") && !private("11.0.0.0") && private("192.168.255.255") && !private("192.169.0.0"));
        assert!(!private("100.64.0.1"), "shared by carriers (RFC 6598), not private");
    }

    #[test]
    fn the_private_ranges_are_those_of_the_data_folder() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/address_ranges.csv"));
        let ranges: Vec<Subnet> = text
            .lines()
            .filter(|line| line.ends_with("RFC 1918"))
            .map(|line| Subnet::parse(line.split(',').next().unwrap()).unwrap())
            .collect();
        assert_eq!(ranges, PRIVATE);
    }

    #[test]
    fn a_subnet_is_as_small_as_can_be_and_holds_what_it_must() {
        for devices in 1..2000 {
            let prefix = smallest_prefix(devices, 0.2).unwrap();
            let wanted = f64::from(devices) * 1.2;
            assert!(hosts(prefix) as f64 >= wanted - 1e-9);
            assert!(prefix == 30 || (hosts(prefix + 1) as f64) < wanted, "{devices}: /{prefix}");
        }
        assert_eq!(smallest_prefix(u32::MAX, 0.25), None);
        assert_eq!((hosts(31), hosts(32)), (0, 0));
    }

    #[test]
    fn addresses_that_are_not_plain_are_refused() {
        for text in ["10.0.0", "10.0.0.0.1", "10.0.0.256", "10.0.0.-1", "010.0.0.1", "10.0.0.1 x", "", "a.b.c.d"] {
            assert_eq!(address(text), None, "{text}");
        }
        assert_eq!(Subnet::parse("10.0.0.0/33"), None);
        assert_eq!(Subnet::parse("0.0.0.0/0").unwrap().last(), u32::MAX);
    }
}
