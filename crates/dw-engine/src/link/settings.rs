//! The section `network` of the job with every value resolved.

use dw_core::Place;
use dw_job::Job;
use dw_job::model::SubnetFor;

use super::ipv4::Subnet;
use super::rules::NetworkPolicyWrong;
use super::{polling, radio};
use crate::Cx;

/// Highest number of a VLAN. Source: IEEE 802.1Q, 4094.
pub(super) const LAST_VLAN: u32 = 4094;

/// What the network may be and must do.
#[derive(Clone, Debug)]
pub(super) struct Settings {
    pub(super) base: Subnet,
    pub(super) first_vlan: u32,
    pub(super) subnet_for: SubnetFor,
    /// Room for more devices, as a share.
    pub(super) growth: f64,
    pub(super) uplink_bit_per_s: f64,
    pub(super) poll_target_ms: f64,
    pub(super) backlog_min: f64,
    pub(super) max_eirp_dbm: Option<f64>,
    pub(super) fade_margin_db: f64,
    pub(super) rain_mm_per_h: f64,
}

/// Range the addresses come from where the job names none. Source: RFC 1918; the choice is ours.
const BASE: Subnet = Subnet { first: u32::from_be_bytes([10, 20, 0, 0]), prefix: 16 };

impl Settings {
    pub(super) fn of(cx: &mut Cx<'_>, job: &Job) -> Self {
        let network = &job.network;
        let mut usual = |given: Option<f64>, field: &str, value: f64, unit: &str, because: &str| {
            given.unwrap_or_else(|| {
                cx.sink.assume(Place::named("network", "").field(field), format!("{value} {unit}"), because);
                value
            })
        };
        let growth = usual(network.growth_percent, "growth_percent", 25.0, "%", "common practice");
        let uplink = usual(network.uplink_mbit_per_s, "uplink_mbit_per_s", 100.0, "Mbit/s", "common practice");
        let target = polling::TARGET_MS;
        let because = "common practice: what a person at a door does not notice";
        let poll_target_ms = usual(network.poll_target_ms, "poll_target_ms", target, "ms", because);
        let backlog_min = usual(network.backlog_min, "backlog_min", 60.0, "min", "common practice");
        Self {
            base: base(cx, network.base_range.as_deref()),
            first_vlan: first_vlan(cx, network.first_vlan),
            subnet_for: network.subnet_for.unwrap_or(SubnetFor::Building),
            growth: growth / 100.0,
            uplink_bit_per_s: uplink * 1e6,
            poll_target_ms,
            backlog_min,
            max_eirp_dbm: network.max_eirp_dbm,
            fade_margin_db: network.fade_margin_db.unwrap_or(radio::FADE_MARGIN_DB),
            rain_mm_per_h: network.rain_mm_per_h.unwrap_or(radio::RAIN_MM_PER_H),
        }
    }

    /// The number of a VLAN; the last there is beyond it.
    pub(super) fn vlan(&self, index: usize) -> u32 {
        let index = u32::try_from(index).unwrap_or(LAST_VLAN);
        self.first_vlan.saturating_add(index).min(LAST_VLAN)
    }
}

/// The range the job names, when it is private and can be read.
fn base(cx: &mut Cx<'_>, written: Option<&str>) -> Subnet {
    let Some(written) = written else {
        let place = Place::named("network", "").field("base_range");
        cx.sink.assume(place, BASE.to_string(), "a private range (RFC 1918) until the customer names one");
        return BASE;
    };
    let why = match Subnet::parse(written) {
        Some(range) if range.is_private() => return range,
        Some(_) => "is not private (RFC 1918)",
        None => "is no range such as 10.20.0.0/16 that begins on its own boundary",
    };
    cx.sink.report(&NetworkPolicyWrong { field: "base_range", written: written.to_owned(), why });
    BASE
}

fn first_vlan(cx: &mut Cx<'_>, given: Option<u32>) -> u32 {
    given.unwrap_or_else(|| {
        let place = Place::named("network", "").field("first_vlan");
        cx.sink.assume(place, "20", "common practice: numbers below are often taken");
        20
    })
}
