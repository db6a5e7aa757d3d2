//! The customer's network, and what stands in the way of radio bridges.

use dw_core::{Metres, RoomId};

use crate::text::{record, section, words};

words! {
    /// What gets a subnet of its own.
    pub enum SubnetFor {
        /// Each building.
        Building "building",
        /// Each telecom room.
        Room "room",
    }
}

section! {
    /// The network the design may use: addresses, rates, what the country allows on the air.
    pub struct Network {
        /// Private range the addresses come from, such as `10.20.0.0/16`.
        base_range: Option<String>,
        /// Number of the first VLAN.
        first_vlan: Option<u32>,
        /// What gets a subnet of its own.
        subnet_for: Option<SubnetFor>,
        /// Room for more devices in each subnet, percent.
        growth_percent: Option<f64>,
        /// Rate of the customer's lines between rooms, Mbit/s, left for this system.
        uplink_mbit_per_s: Option<f64>,
        /// Every reader on a bus is asked once within this many milliseconds.
        poll_target_ms: Option<f64>,
        /// Events kept during an outage are sent within this many minutes.
        backlog_min: Option<f64>,
        /// Highest radiated power the country allows a bridge, dBm (EIRP).
        max_eirp_dbm: Option<f64>,
        /// Margin a bridge keeps against fading, dB.
        fade_margin_db: Option<f64>,
        /// Rain a bridge must bear, mm/h.
        rain_mm_per_h: Option<f64>,
    }
}

record! {
    /// Something that stands in the path of a radio bridge: a roof, a mast, trees.
    pub struct PathObstacle: "path_obstacle" by row {
        /// The room that the bridge brings the network to.
        room: Option<RoomId>,
        /// What it is, in words.
        what: Option<String>,
        /// How far from that room it stands, along the path.
        distance: Option<Metres>,
        /// Height of its top above the site's datum.
        top: Option<Metres>,
        /// How much it will grow, for trees.
        growth: Option<Metres>,
    }
}
