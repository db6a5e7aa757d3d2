//! Calculators for Ethernet: channels, ports, switches, and what events and pictures ask of a line.

use dw_core::Input;

use super::{CalcError, Calculator, InputSpec};
use crate::link::ethernet::{self, Headers};

const DEVICES: InputSpec = InputSpec::count("devices", (0.0, 1e6), "devices that need a port");
const SPARE: InputSpec = InputSpec::number("spare_percent", (0.0, 1000.0), "ports kept free, percent").or("20");

/// Ethernet.
pub(super) const CALCULATORS: &[Calculator] = &[
    Calculator {
        name: "ethernet-channel",
        about: "Whether fixed link and cords of a copper channel keep their limits: pass or fail",
        inputs: &[
            InputSpec::quantity("permanent_link", "m", (0.0, 1e5), "fixed cable between the sockets"),
            InputSpec::quantity("cords", "m", (0.0, 1e4), "cords at both ends together").or("10"),
        ],
        run: |args| {
            let fault = ethernet::channel_fault(args.get("permanent_link")?, args.get("cords")?);
            let found = fault.map(|fault| Input::new("because", fault, "")).into_iter().collect();
            args.answer_with(&ethernet::CHANNEL, if fault.is_some() { "fail" } else { "pass" }, found)
        },
    },
    Calculator {
        name: "ethernet-ports",
        about: "Ports to provide for devices, with some kept free",
        inputs: &[DEVICES, SPARE],
        run: |args| args.answer(&ethernet::PORTS, ethernet::ports(args.get("devices")?, args.share("spare_percent")?)),
    },
    Calculator {
        name: "ethernet-switches",
        about: "Switches needed for devices, with some ports kept free",
        inputs: &[
            DEVICES,
            SPARE,
            InputSpec::count("usable_ports", (1.0, 10_000.0), "ports of a switch that serve devices"),
        ],
        run: |args| {
            let (devices, spare) = (args.get("devices")?, args.share("spare_percent")?);
            let found = vec![Input::new("ports", ethernet::ports(devices, spare), "")];
            let switches = ethernet::switches(devices, spare, args.get("usable_ports")?);
            args.answer_with(&ethernet::SWITCHES, switches, found)
        },
    },
    Calculator {
        name: "ethernet-power-budget",
        about: "Power a switch must provide at its ports for devices counted by class",
        inputs: &[InputSpec::series("devices", "3:12|4:4|6:1", "class and count of devices, a bar between")],
        run: |args| {
            let rows = args.series("devices", &[':'])?;
            let counted = rows.iter().map(|row| (row[0].max(0.0) as u32, row[1].clamp(0.0, 1e6) as u32));
            let no_class = || CalcError::NoAnswer {
                why: "there is no such power class".to_owned(),
                remedy: "give classes 1 to 8 of IEEE 802.3",
            };
            args.answer(&ethernet::POWER_BUDGET, ethernet::power_budget(counted).ok_or_else(no_class)?.get())
        },
    },
    Calculator {
        name: "event-bytes",
        about: "Bytes on the wire for one event with its headers",
        inputs: &[
            InputSpec::number("payload", (0.0, 1e9), "bytes of the event itself").or("500"),
            InputSpec::number("tls", (0.0, 1e4), "bytes of the TLS record").or("22"),
            InputSpec::number("tcp_ip", (0.0, 1e4), "bytes of TCP and IP").or("40"),
            InputSpec::number("ethernet", (0.0, 1e4), "bytes of Ethernet with preamble and gap").or("38"),
            InputSpec::number("ack", (0.0, 1e4), "bytes of the acknowledgement").or("84"),
        ],
        run: |args| {
            let headers = Headers {
                tls: args.get("tls")?,
                tcp_ip: args.get("tcp_ip")?,
                ethernet: args.get("ethernet")?,
                ack: args.get("ack")?,
            };
            args.answer(&ethernet::EVENT_BYTES, ethernet::event_bytes(args.get("payload")?, headers))
        },
    },
    Calculator {
        name: "event-rate",
        about: "Mean traffic of events",
        inputs: &[
            InputSpec::number("events_per_hour", (0.0, 1e12), "events in an hour"),
            InputSpec::number("bytes", (0.0, 1e9), "bytes on the wire for one").or("684"),
        ],
        run: |args| {
            args.answer(&ethernet::EVENT_RATE, ethernet::event_rate(args.get("events_per_hour")?, args.get("bytes")?))
        },
    },
    Calculator {
        name: "picture-bytes",
        about: "Size of a compressed picture",
        inputs: &[
            InputSpec::count("width", (1.0, 1e5), "pixels across"),
            InputSpec::count("height", (1.0, 1e5), "pixels down"),
            InputSpec::number("bits_per_pixel", (0.0, 64.0), "bits a pixel after compression").or("1.5"),
        ],
        run: |args| {
            let bytes = ethernet::picture_bytes(args.get("width")?, args.get("height")?, args.get("bits_per_pixel")?);
            args.answer(&ethernet::PICTURE_BYTES, bytes)
        },
    },
    Calculator {
        name: "picture-rate",
        about: "Traffic of pictures",
        inputs: &[
            InputSpec::number("bytes", (0.0, 1e9), "size of one picture").or("172800"),
            InputSpec::number("pictures_per_second", (0.0, 1e6), "pictures in a second"),
            InputSpec::number("overhead", (1.0, 10.0), "headers on long transfers, as a factor").or("1.1"),
        ],
        run: |args| {
            let (bytes, each_second) = (args.get("bytes")?, args.get("pictures_per_second")?);
            args.answer(&ethernet::PICTURE_RATE, ethernet::picture_rate(bytes, each_second, args.get("overhead")?))
        },
    },
    Calculator {
        name: "backlog",
        about: "Time to send what was kept during an outage",
        inputs: &[
            InputSpec::number("events", (0.0, 1e12), "events kept"),
            InputSpec::number("bytes", (0.0, 1e9), "bytes on the wire for one").or("684"),
            InputSpec::quantity("rate", "bit/s", (1.0, 1e12), "rate of the line left for it"),
        ],
        run: |args| {
            let seconds = ethernet::backlog_s(args.get("events")?, args.get("bytes")?, args.get("rate")?);
            args.answer(&ethernet::BACKLOG, seconds)
        },
    },
];
