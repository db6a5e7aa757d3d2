//! Calculators for IPv4 planning.

use dw_core::Input;

use super::{CalcError, Calculator, InputSpec};
use crate::link::ipv4::{self, Subnet};

const LEASE: InputSpec = InputSpec::quantity("lease", "s", (0.0, 1e9), "time the lease holds");

/// IPv4 planning.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "subnet-hosts",
        about: "Addresses for devices in a subnet",
        inputs: &[InputSpec::count("prefix", (0.0, 32.0), "bits all its addresses share")],
        run: |args| args.answer(&ipv4::HOSTS, ipv4::hosts(args.get("prefix")?) as f64),
    },
    Calculator {
        name: "subnet-smallest",
        about: "Smallest subnet that holds devices with room to grow",
        inputs: &[
            InputSpec::count("devices", (0.0, 4e9), "devices with an address"),
            InputSpec::number("spare_percent", (0.0, 1000.0), "room to grow, percent").or("25"),
        ],
        run: |args| {
            let none = || CalcError::NoAnswer {
                why: "no subnet holds so many devices".to_owned(),
                remedy: "divide them between subnets",
            };
            let prefix = ipv4::smallest_prefix(args.get("devices")?, args.share("spare_percent")?).ok_or_else(none)?;
            let found = vec![Input::new("addresses for devices", ipv4::hosts(prefix) as f64, "")];
            args.answer_with(&ipv4::SMALLEST, format!("/{prefix}"), found)
        },
    },
    Calculator {
        name: "private-address",
        about: "Whether an address is private: private or not private",
        inputs: &[InputSpec::series("address", "172.32.0.10", "address of IPv4")],
        run: |args| {
            let written = args.text("address")?;
            let first = ipv4::address(written).ok_or_else(|| CalcError::Unreadable {
                key: "address".to_owned(),
                value: written.chars().take(60).collect(),
                expected: "four numbers from 0 to 255 such as 10.20.0.1".to_owned(),
                meant: None,
            })?;
            let private = Subnet { first, prefix: 32 }.is_private();
            args.answer(&ipv4::IS_PRIVATE, if private { "private" } else { "not private" })
        },
    },
    Calculator {
        name: "lease-renewal",
        about: "Time after which a device renews its lease",
        inputs: &[LEASE],
        run: |args| args.answer(&ipv4::RENEWAL, ipv4::renewal_s(args.get("lease")?)),
    },
    Calculator {
        name: "lease-rebinding",
        about: "Time after which a device asks any server for its lease",
        inputs: &[LEASE],
        run: |args| args.answer(&ipv4::REBINDING, ipv4::rebinding_s(args.get("lease")?)),
    },
];
