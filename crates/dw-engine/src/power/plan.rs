//! What the power pass gives: supplies, batteries, conductors, and the voltage at every lock.

use dw_core::{AmpHours, Amps, Celsius, DeviceId, EnclosureId, Hours, Metres, Ohms, OpeningId, RoomId, Volts, Watts};
use dw_job::catalogue::Draws;
use schemars::JsonSchema;
use serde::Serialize;

use crate::equip::Role;

/// Power of the whole design.
#[derive(Clone, Debug, Serialize, JsonSchema)]
pub struct PowerPlan {
    /// Enclosures by room and number.
    pub enclosures: Vec<EnclosurePlan>,
    /// Feed of every electric lock or drive that an enclosure or splitter supplies, in the order of marks.
    pub locks: Vec<LockFeed>,
    /// Voltage at every device that takes low voltage over a cable, locks among them, in the order of marks.
    pub devices: Vec<DeviceFeed>,
    /// Units at openings fed over the network.
    pub network_feeds: Vec<NetworkFeed>,
}

/// An enclosure with its supply and batteries.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct EnclosurePlan {
    /// Label: room and number, such as `TR-1/E1`.
    pub id: EnclosureId,
    /// Room.
    pub room: RoomId,
    /// Controllers in it: indices into the placement.
    pub controllers: Vec<usize>,
    /// Openings whose units and locks it feeds without a controller in it.
    pub units: Vec<OpeningId>,
    /// Enclosure chosen; `None` when none fits.
    pub enclosure: Option<DeviceId>,
    /// Supply chosen; `None` when none fits.
    pub supply: Option<DeviceId>,
    /// How many supplies, each with its own batteries.
    pub supplies: u32,
    /// Battery chosen; `None` when none fits or none is wanted.
    pub battery: Option<DeviceId>,
    /// How many batteries, all supplies together.
    pub batteries: u32,
    /// System voltage.
    pub nominal_v: Volts,
    /// Load on battery in standby.
    pub standby_a: Amps,
    /// Highest lasting load: every lock in its hungrier state.
    pub active_a: Amps,
    /// Highest load with the largest inrush.
    pub peak_a: Amps,
    /// Battery capacity needed, everything counted.
    pub needed_ah: AmpHours,
    /// Battery capacity fitted.
    pub fitted_ah: AmpHours,
    /// Standby the fitted battery gives at the end of its life.
    pub standby_h: Hours,
    /// Time to recharge after full standby.
    pub recharge_h: Hours,
    /// Output that carries the standby load and recharges in the time asked for; zero without a battery.
    pub charger_a: Amps,
    /// Years the battery is good for at the temperature inside; `None` without a battery or a stated life.
    pub battery_years: Option<f64>,
    /// Heat left in the room.
    pub heat_w: Watts,
    /// Power taken from the mains.
    pub mains_w: Watts,
    /// Temperature inside at the room's highest.
    pub inside_c: Celsius,
    /// What draws the load.
    pub loads: Vec<Load>,
    /// Fused outputs of the supply with what hangs on each.
    pub outputs: Vec<SupplyOutput>,
    /// What found no output.
    pub without_output: Vec<OutputLoad>,
}

/// A fused output of a supply.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SupplyOutput {
    /// Number, from 1.
    pub number: u32,
    /// Rating of its limiter; that of the supply where none is stated.
    pub rating_a: Amps,
    /// Highest voltage it ever has: on float with the battery at its coldest.
    pub highest_v: Volts,
    /// Highest current of a class 2 source at that voltage; `None` where class 2 ends.
    pub limit_a: Option<Amps>,
    /// Whether it is a class 2 source.
    pub class_2: OutputClass,
    /// Highest lasting load.
    pub lasting_a: Amps,
    /// Highest load with the largest inrush.
    pub peak_a: Amps,
    /// What hangs on it.
    pub loads: Vec<OutputLoad>,
}

/// Devices of one load that hang together on an output.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub struct OutputLoad {
    /// Position among the loads of the enclosure.
    pub load: usize,
    /// How many of its devices.
    pub count: u32,
}

/// How an output stands to class 2 (NFPA 70-2017 chapter 9 table 11(B)).
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum OutputClass {
    /// Within the limits, and listed by its maker.
    Listed,
    /// Within the limits, but nobody states a listing.
    NotListed,
    /// Beyond the limits.
    Beyond,
}

/// One load on an enclosure.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Load {
    /// The device.
    pub device: DeviceId,
    /// The opening it belongs to; `None` for the controllers themselves.
    pub opening: Option<OpeningId>,
    /// How many.
    pub count: u32,
    /// Standby current, all together.
    pub standby_a: Amps,
    /// Highest lasting current, all together.
    pub active_a: Amps,
    /// Inrush above the active current, of one.
    pub inrush_a: Amps,
}

/// Voltage at one lock.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LockFeed {
    /// Opening.
    pub mark: OpeningId,
    /// Lock.
    pub lock: DeviceId,
    /// Where the power comes from: an enclosure, or `None` for a splitter at the opening.
    pub enclosure: Option<EnclosureId>,
    /// Cable chosen; `None` when an existing one serves or none is thick enough.
    pub cable: Option<DeviceId>,
    /// Conductors in parallel each way.
    pub parallel: u32,
    /// Length one way.
    pub length_m: Metres,
    /// Loop resistance at conductor temperature, power transfer included.
    pub loop_ohm: Ohms,
    /// Of it, the run from the room that the lock shares with the unit at the opening.
    pub shared_ohm: Ohms,
    /// Highest lasting current of the lock.
    pub lasting_a: Amps,
    /// Current of the lock at the worst moment.
    pub current_a: Amps,
    /// Voltage at the lock with the supply at its mains output.
    pub at_mains_v: Volts,
    /// Voltage at the lock with the battery at its end voltage.
    pub at_end_v: Volts,
    /// Least voltage the lock works at.
    pub needs_v: Volts,
}

/// How the source of a run stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum SourceCase {
    /// The supply at its output, every device at work.
    Mains,
    /// The battery on float at its coldest, every device at rest: the highest voltage.
    Float,
    /// The battery at its end, every device at work.
    End,
}

/// Voltage at one device.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct DeviceFeed {
    /// Opening.
    pub mark: OpeningId,
    /// Device.
    pub device: DeviceId,
    /// Its part at the opening.
    pub role: Role,
    /// Where the power comes from: an enclosure, or `None` for a splitter at the opening.
    pub enclosure: Option<EnclosureId>,
    /// Whether it hangs on the unit at the opening and shares the run of that.
    pub on_unit: bool,
    /// The cable it is fed over: position among the cables of the equipment; `None` for a lock and for a unit that shares
    /// the cable of its lock.
    pub need: Option<usize>,
    /// Cable chosen; `None` when an existing one serves, none is thick enough for a lock, or none is wanted.
    pub cable: Option<DeviceId>,
    /// Power cores in parallel each way.
    pub parallel: u32,
    /// Length of its own cable one way.
    pub length_m: Metres,
    /// Loop resistance of its own cable at conductor temperature, power transfer included.
    pub loop_ohm: Ohms,
    /// What it draws when its voltage falls.
    pub draws: Draws,
    /// Current at its worst moment, at nominal voltage.
    pub current_a: Amps,
    /// Voltage at it with the supply at its mains output and everything at work; zero where the run cannot carry it.
    pub at_mains_v: Volts,
    /// Voltage at it with the battery on float and everything at rest.
    pub at_float_v: Volts,
    /// Voltage at it with the battery at its end and everything at work; `None` without a battery.
    pub at_end_v: Option<Volts>,
    /// Least voltage it works at.
    pub needs_v: Option<Volts>,
    /// Highest voltage it bears, where its maker states one.
    pub bears_v: Option<Volts>,
    /// The case that leaves the least margin.
    pub governs: SourceCase,
    /// What is left in that case above the least voltage, or below the highest; below zero the device is out of its window.
    pub margin_v: Option<Volts>,
}

/// A unit at an opening fed over the network.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NetworkFeed {
    /// Opening.
    pub mark: OpeningId,
    /// Room whose switch feeds it.
    pub room: RoomId,
    /// Splitter, when one is used.
    pub splitter: Option<DeviceId>,
    /// Power class at the port (IEEE 802.3); `None` when no class is enough.
    pub class: Option<u32>,
    /// Power the devices take behind the splitter.
    pub load_w: Watts,
    /// Power at the end of the network cable.
    pub device_w: Watts,
    /// Power the switch must provide for.
    pub source_w: Watts,
    /// Length of the network cable.
    pub length_m: Metres,
}
