//! Addresses: subnets with their VLANs, what is kept for which device, who opens connections to whom.

use std::collections::BTreeMap;

use dw_core::{DeviceId, Id, RoomId};
use dw_job::model::{HeadEndKind, SubnetFor};

use super::ipv4::{Subnet, shown, smallest_prefix};
use super::rules::{BaseRangeFull, NetworkPolicyWrong};
use super::settings::{LAST_VLAN, Settings};
use super::{FirewallRow, Given, LinkPlan, NetworkDevice, PlannedSubnet};
use crate::Cx;

/// Addresses the network keeps for itself at the start: router, and two for its own redundancy (*common practice*).
const OF_NETWORK: u32 = 3;

/// No subnet is smaller than 32 addresses, so that a device more does not renumber the next one (*common practice*).
const LARGEST_PREFIX: u32 = 27;

/// Name of the subnet of head-ends.
const HEAD_ENDS: &str = "Head-end";

/// Gives every device its subnet and, unless it opens every connection itself, an address kept for it.
///
/// Subnets stand one behind the other from the start of the range, each on its own boundary, head-ends first, then
/// buildings or rooms in the order of ids.
pub(super) fn plan(cx: &mut Cx<'_>, given: &Given<'_>, settings: &Settings, link: &mut LinkPlan) {
    let mut groups: BTreeMap<(u32, String), Vec<NetworkDevice>> = BTreeMap::new();
    let head_ends = head_ends(given);
    if !head_ends.is_empty() {
        groups.insert((0, HEAD_ENDS.to_owned()), head_ends);
    }
    let names: BTreeMap<String, u32> = names(given, settings);
    for device in std::mem::take(&mut link.devices) {
        let name = device.room.as_ref().map_or_else(String::new, |room| name_of(given, settings, room));
        let order = names.get(&name).copied().unwrap_or(u32::MAX);
        groups.entry((order, name)).or_default().push(device);
    }
    let last_vlan = u64::from(settings.first_vlan) + groups.len() as u64;
    if last_vlan > u64::from(LAST_VLAN) + 1 {
        let why = "leaves too few VLANs up to 4094";
        cx.sink.report(&NetworkPolicyWrong { field: "first_vlan", written: settings.first_vlan.to_string(), why });
    }
    let mut next = u64::from(settings.base.first);
    for (index, ((_, name), mut members)) in groups.into_iter().enumerate() {
        let devices = u32::try_from(members.len()).unwrap_or(u32::MAX);
        let planned = super::ethernet::ports(devices.saturating_add(OF_NETWORK), settings.growth);
        let prefix = smallest_prefix(planned, 0.0).unwrap_or(0).min(LARGEST_PREFIX);
        let size = 1u64 << (32 - prefix);
        let first = next.div_ceil(size) * size;
        let range = u32::try_from(first).ok().map(|first| Subnet { first, prefix });
        let Some(range) = range.filter(|range| settings.base.holds(range)) else {
            cx.sink.report(&BaseRangeFull { range: settings.base, subnet: name, devices });
            link.devices.extend(members);
            continue;
        };
        next = first + size;
        let number = link.subnets.len();
        let kept = keep(cx, &mut members, range, number);
        let after = kept.map_or(range.first + OF_NETWORK + 1, |kept| kept.1 + 1);
        let last = range.last() - 1;
        link.subnets.push(PlannedSubnet {
            vlan: settings.vlan(index),
            name,
            range,
            devices,
            planned,
            router: shown(range.first + 1),
            kept: kept.map(|(from, to)| (shown(from), shown(to))),
            leased: (after <= last).then(|| (shown(after), shown(last))),
        });
        link.devices.extend(members);
    }
    link.firewall = firewall(given, &link.devices, |device| opens_itself(cx, device), !link.bridges.is_empty());
}

/// Keeps an address for each device that must be found, in order; first and last of them.
fn keep(cx: &Cx<'_>, members: &mut [NetworkDevice], range: Subnet, subnet: usize) -> Option<(u32, u32)> {
    let first = range.first + OF_NETWORK + 1;
    let mut next = first;
    for device in members {
        device.subnet = Some(subnet);
        if !opens_itself(cx, &device.device) {
            device.address = Some(shown(next));
            next += 1;
        }
    }
    (next > first).then(|| (first, next - 1))
}

/// Whether a device opens every connection itself, so that nothing must find it.
fn opens_itself(cx: &Cx<'_>, id: &DeviceId) -> bool {
    cx.device(id).is_some_and(|device| device.link.outbound == Some(true))
}

/// Head-ends on the customer's site.
fn head_ends(given: &Given<'_>) -> Vec<NetworkDevice> {
    let (Some(id), true) = (&given.capacity.head_end, given.survey.settings.head_end != HeadEndKind::Hosted) else {
        return Vec::new();
    };
    let one = |number: u32| NetworkDevice {
        label: format!("head-end {number}"),
        device: id.clone(),
        room: None,
        mark: None,
        link_m: dw_core::Metres::ZERO,
        subnet: None,
        address: None,
        kept: false,
    };
    (1..=given.capacity.head_ends).map(one).collect()
}

/// Name of the subnet of a room.
fn name_of(given: &Given<'_>, settings: &Settings, room: &RoomId) -> String {
    if settings.subnet_for == SubnetFor::Room {
        return room.text().to_owned();
    }
    let storey = given.survey.room(room).map(|room| &room.storey);
    let storey = storey.and_then(|id| given.job.storeys.iter().find(|storey| storey.id == *id));
    storey.and_then(|storey| storey.building.as_ref()).map_or_else(|| "Site".to_owned(), |id| id.text().to_owned())
}

/// Names of subnets in the order of the ids of rooms or buildings, from 1.
fn names(given: &Given<'_>, settings: &Settings) -> BTreeMap<String, u32> {
    let mut names: Vec<String> = given.survey.rooms.iter().map(|room| name_of(given, settings, &room.id)).collect();
    names.sort_by(|a, b| dw_core::natural_cmp(a, b));
    names.dedup();
    (1..).zip(names).map(|(number, name)| (name, number)).collect()
}

/// Who opens connections to whom. Ports are those of the services' standards; the maker of a device may name others.
fn firewall(
    given: &Given<'_>,
    devices: &[NetworkDevice],
    opens_itself: impl Fn(&DeviceId) -> bool,
    bridges: bool,
) -> Vec<FirewallRow> {
    let row = |from: &str, to: &str, port: &'static str, purpose: &'static str| FirewallRow {
        from: from.to_owned(),
        to: to.to_owned(),
        port,
        purpose,
    };
    let in_rooms = || devices.iter().filter(|device| device.room.is_some());
    if in_rooms().next().is_none() {
        return Vec::new();
    }
    let hosted = given.survey.settings.head_end == HeadEndKind::Hosted;
    let head_end = if hosted { "head-end outside the site" } else { "head-end" };
    let all = "controllers, units and cameras";
    let mut rows = vec![row(all, head_end, "TCP 443", "events, pictures and rights over TLS")];
    if in_rooms().any(|device| !device.label.starts_with("bridge ") && !opens_itself(&device.device)) {
        rows.push(row(
            head_end,
            "devices with an address kept",
            "TCP 443",
            "commands over TLS, to devices that wait to be called",
        ));
    }
    if bridges {
        rows.push(row("network management", "radio bridges", "TCP 443", "settings and state of the bridges"));
    }
    rows.push(row("workstations", head_end, "TCP 443", "work of guards and administrators"));
    rows.push(row(all, "time server", "UDP 123", "time (NTP)"));
    rows.push(row(all, "name server", "UDP and TCP 53", "names (DNS)"));
    rows.push(row(all, "address server", "UDP 67", "leases and kept addresses (DHCP)"));
    rows.push(row(all, "certificate server", "TCP 443", "renewal of certificates (EST)"));
    rows.push(row("switches", "authentication server", "UDP 1812", "who may use a port (IEEE 802.1X over RADIUS)"));
    rows
}
