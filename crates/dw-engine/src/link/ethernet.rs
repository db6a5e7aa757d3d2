//! Ethernet: channel lengths, ports and switches, what events and pictures ask of a line, the backlog after an outage.

use dw_core::{Metres, Watts};

use crate::power::{Formula, network};

/// Longest fixed part of a copper channel. Source: ISO/IEC 11801, TIA-568.
pub const PERMANENT_LINK: Metres = Metres::new(90.0);

/// Longest cords of a copper channel, both ends together. Source: ISO/IEC 11801, TIA-568.
pub const CORDS: Metres = Metres::new(10.0);

/// Ports kept free, as a share of those taken. *Common practice*, 20 %.
pub const SPARE_PORTS: f64 = 0.2;

/// Words of [`channel_fault`].
pub const CHANNEL: Formula = Formula {
    title: "Whether a copper channel keeps its limits",
    unit: "",
    formula: "permanent_link <= 90 m; cords <= 10 m; permanent_link + cords <= 100 m",
    source: "ISO/IEC 11801, TIA-568",
};

/// What is wrong with the lengths of a copper channel; `None` inside the limits.
///
/// **Source** ISO/IEC 11801, TIA-568: fixed link and channel are checked apart.
///
/// ```
/// use dw_core::Metres;
/// use dw_engine::link::ethernet::channel_fault;
/// assert_eq!(channel_fault(Metres::new(90.0), Metres::new(10.0)), None);
/// assert_eq!(channel_fault(Metres::new(92.0), Metres::new(6.0)), Some("permanent link over 90 m"));
/// ```
pub fn channel_fault(permanent_link: Metres, cords: Metres) -> Option<&'static str> {
    if permanent_link > PERMANENT_LINK {
        Some("permanent link over 90 m")
    } else if cords > CORDS {
        Some("cords over 10 m")
    } else {
        None
    }
}

/// Words of [`event_bytes`].
pub const EVENT_BYTES: Formula = Formula {
    title: "Bytes on the wire for one event",
    unit: "bytes",
    formula: "bytes = payload + tls + tcp_ip + ethernet + ack",
    source: "IEEE 802.3 framing with preamble and gap; header sizes from memory; payload is an estimate (common practice)",
};

/// Bytes of headers around the payload of one event.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Headers {
    /// TLS 1.3 record.
    pub tls: f64,
    /// TCP and IP.
    pub tcp_ip: f64,
    /// Ethernet with preamble and gap.
    pub ethernet: f64,
    /// The acknowledgement the other way.
    pub ack: f64,
}

/// Headers of one event over TLS 1.3. Source: IEEE 802.3 (38), RFC 8446, 9293, 791 (*from memory*).
pub const HEADERS: Headers = Headers { tls: 22.0, tcp_ip: 40.0, ethernet: 38.0, ack: 84.0 };

/// Payload of one event, bytes. *Common practice*, an estimate.
pub const EVENT_PAYLOAD: f64 = 500.0;

/// Bytes on the wire for one event.
///
/// **Formula** payload + 22 (TLS 1.3) + 40 (TCP/IP) + 38 (Ethernet) + 84 (acknowledgement).
/// **Source** IEEE 802.3; other header sizes *from memory*.
///
/// ```
/// use dw_engine::link::ethernet::{HEADERS, event_bytes};
/// assert_eq!(event_bytes(500.0, HEADERS), 684.0);
/// ```
pub fn event_bytes(payload: f64, headers: Headers) -> f64 {
    payload + headers.tls + headers.tcp_ip + headers.ethernet + headers.ack
}

/// Words of [`event_rate`].
pub const EVENT_RATE: Formula = Formula {
    title: "Mean traffic of events",
    unit: "bit/s",
    formula: "rate = events_per_hour * bytes * 8 / 3600",
    source: "derived",
};

/// Mean traffic of events, bit/s.
///
/// **Formula** r = n L 8 / 3600. **Source** derived.
///
/// ```
/// assert_eq!(dw_engine::link::ethernet::event_rate(3600.0, 684.0), 5472.0);
/// ```
pub fn event_rate(events_per_hour: f64, bytes: f64) -> f64 {
    events_per_hour * bytes * 8.0 / 3600.0
}

/// Words of [`picture_bytes`].
pub const PICTURE_BYTES: Formula = Formula {
    title: "Size of a picture",
    unit: "bytes",
    formula: "bytes = width * height * bits_per_pixel / 8",
    source: "derived; 1.5 bit a pixel is common practice",
};

/// Size of a compressed picture, bytes.
///
/// **Formula** w h b / 8. **Source** derived; 1.5 bit a pixel is *common practice*.
///
/// ```
/// assert_eq!(dw_engine::link::ethernet::picture_bytes(1280.0, 720.0, 1.5), 172_800.0);
/// ```
pub fn picture_bytes(width: f64, height: f64, bits_per_pixel: f64) -> f64 {
    width * height * bits_per_pixel / 8.0
}

/// Size of the picture a passage leaves, pixels and bits a pixel. *Common practice*.
pub const PICTURE: (f64, f64, f64) = (1280.0, 720.0, 1.5);

/// Overhead of headers on long transfers, as a factor. *Common practice*.
pub const TRANSFER_OVERHEAD: f64 = 1.1;

/// Words of [`picture_rate`].
pub const PICTURE_RATE: Formula = Formula {
    title: "Traffic of pictures",
    unit: "bit/s",
    formula: "rate = bytes * pictures_per_second * 8 * overhead",
    source: "derived; overhead of 10 % is common practice",
};

/// Traffic of pictures, bit/s.
///
/// **Formula** r = L n 8 o. **Source** derived.
///
/// ```
/// let rate = dw_engine::link::ethernet::picture_rate(172_800.0, 2.0, 1.1);
/// assert!((rate - 3_041_280.0).abs() < 1e-6);
/// ```
pub fn picture_rate(bytes: f64, per_second: f64, overhead: f64) -> f64 {
    bytes * per_second * 8.0 * overhead
}

/// Words of the traffic of a room.
pub const ROOM_LOAD: Formula = Formula {
    title: "Traffic of a room in the busiest hour",
    unit: "bit/s",
    formula: "load = 8 / 3600 * (events_per_hour * bytes + pictures_per_hour * picture * overhead)",
    source: "derived; peak flow of the openings, three events a passage where the leaf is watched (common practice)",
};

/// Words of [`backlog_s`].
pub const BACKLOG: Formula = Formula {
    title: "Time to send what was kept during an outage",
    unit: "s",
    formula: "time = events * bytes * 8 / rate",
    source: "derived",
};

/// Time to send stored events over a line, s.
///
/// **Formula** t = n L 8 / r. **Units and range** rate in bit/s above zero. **Source** derived.
///
/// ```
/// assert!((dw_engine::link::ethernet::backlog_s(50_000.0, 684.0, 1e6) - 273.6).abs() < 1e-9);
/// ```
pub fn backlog_s(events: f64, bytes: f64, rate: f64) -> f64 {
    events * bytes * 8.0 / rate
}

/// Words of [`ports`].
pub const PORTS: Formula = Formula {
    title: "Ports to provide",
    unit: "",
    formula: "ports = ceil(devices * (1 + spare))",
    source: "derived; spare of 20 % is common practice",
};

/// Ports to provide for devices, with some kept free.
///
/// **Formula** ⌈n (1 + s)⌉, s as a share. **Source** derived.
pub fn ports(devices: u32, spare: f64) -> u32 {
    libm::ceil(f64::from(devices) * (1.0 + spare) - 1e-9).clamp(0.0, f64::from(u32::MAX)) as u32
}

/// Words of [`switches`].
pub const SWITCHES: Formula = Formula {
    title: "Switches needed",
    unit: "",
    formula: "switches = ceil(ceil(devices * (1 + spare)) / usable_ports)",
    source: "derived; spare of 20 % is common practice",
};

/// Switches needed for devices, with some ports kept free.
///
/// **Formula** ⌈⌈n (1 + s)⌉ / usable⌉. **Units and range** usable ports of one switch above zero. **Source** derived.
///
/// ```
/// assert_eq!(dw_engine::link::ethernet::switches(61, 0.2, 22), 4);
/// ```
pub fn switches(devices: u32, spare: f64, usable: u32) -> u32 {
    ports(devices, spare).div_ceil(usable.max(1))
}

/// Words of [`power_budget`].
pub const POWER_BUDGET: Formula = Formula {
    title: "Power a switch must provide, by class",
    unit: "W",
    formula: "power = sum of count * source power of the class",
    source: "IEEE 802.3-2018 and 802.3bt-2018, class power at the source: the budget of a switch counts there",
};

/// Power a switch must provide at its ports for devices counted by class; `None` when a class does not exist.
///
/// **Formula** Σ n P_source(class). **Source** IEEE 802.3-2018, 802.3bt-2018.
///
/// ```
/// let watts = dw_engine::link::ethernet::power_budget([(3, 12), (4, 4), (6, 1)]).unwrap();
/// assert!((watts.get() - 364.8).abs() < 1e-9);
/// ```
pub fn power_budget(devices: impl IntoIterator<Item = (u32, u32)>) -> Option<Watts> {
    devices
        .into_iter()
        .map(|(class, count)| Some(Watts::new(network::power_class(class)?.source_w * f64::from(count))))
        .sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn link_and_channel_are_checked_apart() {
        let fault = |link: f64, cords: f64| channel_fault(Metres::new(link), Metres::new(cords));
        assert_eq!(fault(80.0, 10.1), Some("cords over 10 m"));
        assert_eq!(fault(90.01, 0.0), Some("permanent link over 90 m"));
        assert_eq!(fault(0.0, 0.0), None);
    }

    #[test]
    fn spare_ports_are_rounded_up_once() {
        assert_eq!(ports(61, 0.2), 74);
        assert_eq!(ports(5, 0.2), 6, "exactly six");
        assert_eq!(switches(0, 0.2, 22), 0);
    }

    #[test]
    fn a_class_that_does_not_exist_has_no_budget() {
        assert_eq!(power_budget([(9, 1)]), None);
        assert_eq!(power_budget([]), Some(Watts::ZERO));
    }
}
