//! What the link pass gives: lines of readers, the network by room, addresses, who opens connections to whom, bridges.

use dw_core::{DeviceId, Metres, Ohms, OpeningId, RoomId};
use dw_job::catalogue::Interface;
use schemars::JsonSchema;
use serde::Serialize;

use super::ipv4::Subnet;

/// The data path of the whole design.
#[derive(Clone, Debug, Default, Serialize, JsonSchema)]
pub struct LinkPlan {
    /// Readers on two data lines, in the order of marks.
    pub data_lines: Vec<DataLine>,
    /// Buses with their readers, by controller.
    pub buses: Vec<Bus>,
    /// Devices on the network, by subnet and address.
    pub devices: Vec<NetworkDevice>,
    /// Ports and traffic of each room that has devices on the network.
    pub rooms: Vec<RoomNetwork>,
    /// Subnets, each with a VLAN of its own.
    pub subnets: Vec<PlannedSubnet>,
    /// Who opens connections to whom; all else is refused.
    pub firewall: Vec<FirewallRow>,
    /// Radio bridges.
    pub bridges: Vec<BridgeSheet>,
    /// What whoever runs the network must see to.
    pub notes: Vec<NetworkNote>,
}

/// A reader on two data lines.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DataLine {
    /// Opening.
    pub mark: OpeningId,
    /// Reader.
    pub reader: DeviceId,
    /// Controller, or the mark of the opening whose unit reads it.
    pub decides: String,
    /// Port of the controller, counted from 1; 0 at a unit.
    pub port: u32,
    /// Label of its cable.
    pub cable: String,
    /// Length of its cable.
    pub length_m: Metres,
    /// Gauge counted with; `None` where it is not known or thinner than any the texts name.
    pub awg: Option<u32>,
    /// Reach planned with caution.
    pub cautious_m: Metres,
    /// The longest any text allows.
    pub longest_m: Metres,
    /// Time of a credential of 26 bits, ms.
    pub frame_ms: f64,
}

/// A multidrop bus with its readers.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Bus {
    /// Label: controller and number of the bus, such as `TR-1/C3 bus 2`.
    pub label: String,
    /// Index of its controller in the placement.
    pub controller: usize,
    /// Which bus it is.
    pub interface: Interface,
    /// Readers in the order of ports and marks.
    pub readers: Vec<BusReader>,
    /// Length of the trunk: its two longest cables, with the controller between them.
    pub trunk_m: Metres,
    /// The longest cable that hangs on the trunk as a branch; nothing with two cables or less.
    pub branch_m: Metres,
    /// Longest branch that does not reflect.
    pub branch_limit_m: Metres,
    /// Unit loads of readers, controller and bias network.
    pub unit_loads: f64,
    /// Load of terminators and devices on the driver.
    pub load_ohm: Ohms,
    /// Bias resistor on each wire, at the controller.
    pub bias_ohm: Ohms,
    /// Where the terminators go.
    pub terminators: Vec<String>,
    /// Bit rate to set, bit/s.
    pub bit_rate: u32,
    /// Longest trunk at that rate.
    pub longest_m: Metres,
    /// What polling takes; `None` on a bus whose protocol is the maker's own.
    pub polling: Option<Polling>,
}

/// How long a bus takes to ask its readers, ms.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Polling {
    /// Whether frames are counted over the secure channel.
    pub secure: bool,
    /// Every reader asked once.
    pub cycle_ms: f64,
    /// Longest wait from a card read to its report.
    pub wait_ms: f64,
    /// The same with one reader dead and still asked.
    pub wait_one_dead_ms: f64,
}

/// A reader on a bus.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BusReader {
    /// Opening.
    pub mark: OpeningId,
    /// Reader.
    pub device: DeviceId,
    /// Its address on the bus.
    pub address: u32,
    /// Port of the controller, counted from 1.
    pub port: u32,
    /// Label of its cable.
    pub cable: String,
    /// Length of its cable.
    pub length_m: Metres,
    /// Cores of that cable without a duty.
    pub spare_cores: u32,
}

/// A device on the network.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NetworkDevice {
    /// Label: controller, mark of the opening, or bridge end.
    pub label: String,
    /// Model.
    pub device: DeviceId,
    /// Room whose switch it hangs on; `None` for a head-end, which stands where the customer has it.
    pub room: Option<RoomId>,
    /// Opening, for a device that stands at one.
    pub mark: Option<OpeningId>,
    /// Fixed part of its channel; nothing for a device beside the switch.
    pub link_m: Metres,
    /// Index of its subnet; `None` when the range holds no more.
    pub subnet: Option<usize>,
    /// The address kept for it; `None` for one that opens every connection itself and takes any address.
    pub address: Option<String>,
    /// Whether it is there already, with its port.
    pub kept: bool,
}

/// Ports and traffic of a room.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RoomNetwork {
    /// Room.
    pub room: RoomId,
    /// New devices that need a port.
    pub ports: u32,
    /// Ports to provide with some kept free.
    pub ports_with_spare: u32,
    /// Ports free on the customer's switches; `None` without limit.
    pub free: Option<u32>,
    /// Room its network comes from over a radio bridge; `None` for the customer's own lines.
    pub over_radio_from: Option<RoomId>,
    /// Events in the busiest hour, of this room and those behind it.
    pub events_per_hour: f64,
    /// Pictures in the busiest hour, of this room and those behind it.
    pub pictures_per_hour: f64,
    /// Traffic in the busiest hour, bit/s.
    pub load_bit_per_s: f64,
    /// What its way out carries, bit/s.
    pub uplink_bit_per_s: f64,
    /// Time to send what an outage of the days the policy names has left; `None` where nothing is left to send it with.
    pub backlog_min: Option<f64>,
}

/// A subnet with its VLAN.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct PlannedSubnet {
    /// Number of the VLAN.
    pub vlan: u32,
    /// What it is for.
    pub name: String,
    /// Its range.
    pub range: Subnet,
    /// Devices of the design in it.
    pub devices: u32,
    /// Addresses planned for, growth and the network's own included.
    pub planned: u32,
    /// Address of the router.
    pub router: String,
    /// First and last address kept for devices; `None` when none is.
    pub kept: Option<(String, String)>,
    /// First and last address given on lease; `None` when none is left.
    pub leased: Option<(String, String)>,
}

/// One permitted connection.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct FirewallRow {
    /// Who opens it.
    pub from: String,
    /// To whom.
    pub to: String,
    /// Transport and port, such as "TCP 443".
    pub port: &'static str,
    /// What for.
    pub purpose: &'static str,
}

/// The sheet of a radio bridge.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BridgeSheet {
    /// Room it brings the network to.
    pub room: RoomId,
    /// Room it comes from.
    pub from: RoomId,
    /// Model, a pair of ends.
    pub device: DeviceId,
    /// Length of the path.
    pub length_m: Metres,
    /// Frequency, MHz.
    pub frequency_mhz: f64,
    /// Width of the channel, MHz.
    pub channel_mhz: u32,
    /// Radiated power, dBm.
    pub eirp_dbm: f64,
    /// Loss over the free path, dB.
    pub free_space_db: f64,
    /// Loss of air and rain, dB.
    pub weather_db: f64,
    /// Level received in that rain, dBm.
    pub level_dbm: f64,
    /// Margin wanted, dB.
    pub margin_wanted_db: f64,
    /// Margin over the slowest rate, dB.
    pub margin_db: f64,
    /// Fastest modulation with the margin wanted; `None` when even the slowest has less.
    pub modulation: Option<&'static str>,
    /// Data it carries both ways together, bit/s.
    pub throughput_bit_per_s: f64,
    /// Height of the antenna at the room, above the site's datum.
    pub antenna_m: Metres,
    /// Height of the antenna at the other room.
    pub antenna_from_m: Metres,
    /// Radius of the first Fresnel zone in the middle.
    pub fresnel_m: Metres,
    /// What stands in the path.
    pub obstacles: Vec<Obstacle>,
}

/// Something in the path of a bridge.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Obstacle {
    /// What it is.
    pub what: String,
    /// Distance from the room.
    pub distance_m: Metres,
    /// Height of its top, growth included.
    pub top_m: Metres,
    /// Height of the path there.
    pub path_m: Metres,
    /// Height the path must have there: top, earth bulge and the clear part of the Fresnel zone.
    pub needed_m: Metres,
}

/// Something whoever runs the network must see to.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NetworkNote {
    /// What it is about.
    pub topic: &'static str,
    /// What to do.
    pub text: String,
    /// Source.
    pub source: &'static str,
}
