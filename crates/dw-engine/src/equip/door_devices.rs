//! The smaller devices of an opening: power transfer, exit request, release, contact, sounder, splitter, expander.

use dw_core::Amps;
use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::{ExitRequest, OpeningKind, TransferPreparation};

use super::bench::Bench;
use super::control::milliamps;
use super::exclude::{Candidate, Ground, Picked, Reason, Settled, common, pick};
use super::plan::Role;
use super::situation::Surroundings;

/// What a part must do, as whole numbers.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Part {
    /// Takes power to the leaf: how it may reach it, the cores, the lock's highest current and nominal voltage.
    Transfer { by: Option<TransferPreparation>, cores: u32, lock_ma: u32, lock_mv: u32 },
    /// Asks to leave.
    Exit(ExitRequest),
    /// Breaks the lock's current.
    Release { lock_ma: u32 },
    /// Watches the leaf.
    Contact,
    /// Tells at the door.
    Sounder,
    /// Feeds unit and lock from the network: their current and the voltages they share.
    Splitter { load_ma: u32, low_mv: u32, high_mv: u32 },
    /// Adds inputs.
    Expander { inputs: u32 },
}

/// A part at an opening.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct PartDemand {
    pub part: Part,
    pub kind: OpeningKind,
    pub around: Surroundings,
    pub settled: Option<Settled>,
}

impl Part {
    /// Role and kind of device.
    pub(super) fn role(&self) -> (Role, DeviceKind) {
        match self {
            Self::Transfer { .. } => (Role::PowerTransfer, DeviceKind::PowerTransfer),
            Self::Exit(_) => (Role::ExitRequest, DeviceKind::ExitRequest),
            Self::Release { .. } => (Role::EmergencyRelease, DeviceKind::EmergencyRelease),
            Self::Contact => (Role::DoorContact, DeviceKind::DoorContact),
            Self::Sounder => (Role::Sounder, DeviceKind::Sounder),
            Self::Splitter { .. } => (Role::Splitter, DeviceKind::Splitter),
            Self::Expander { .. } => (Role::Other, DeviceKind::Expander),
        }
    }
}

/// Chooses a part.
pub(super) fn choose<'a>(bench: &Bench<'a>, demand: &PartDemand) -> Picked<'a, ()> {
    let (role, kind) = demand.part.role();
    let candidates = bench.catalogue.of_kind(kind).map(|device| {
        let mut reasons = common(device, &bench.refused, &demand.around);
        if !device.suits.is_empty() && !device.suits.contains(&demand.kind) {
            reasons.push(Reason::hard(Ground::Suits, format!("does not suit {} openings", demand.kind)));
        }
        reasons.extend(against(&demand.part, device));
        let cost = match &demand.settled {
            Some(Settled::Kept(id)) if *id == device.id => bench.costs.kept(device, None),
            _ => bench.costs.of(device).copied().unwrap_or_else(|| bench.costs.kept(device, None)),
        };
        Candidate { device, cost, beside: dw_core::Money::ZERO, reasons, detail: () }
    });
    pick(role, candidates.collect(), demand.settled.as_ref())
}

fn against(part: &Part, device: &Device) -> Option<Reason> {
    match *part {
        Part::Transfer { by, cores, lock_ma, lock_mv } => transfer(device, by, cores, lock_ma, lock_mv),
        Part::Exit(wanted) => {
            let is = exit_kind(device);
            (is != wanted).then(|| Reason::hard(Ground::OtherKind, format!("is a {is}, a {wanted} is asked for")))
        }
        Part::Release { lock_ma } => {
            let breaks = milliamps(device.control.output?.get());
            (breaks < lock_ma)
                .then(|| Reason::hard(Ground::Current, format!("breaks {breaks} mA, the lock draws {lock_ma} mA")))
        }
        Part::Splitter { load_ma, low_mv, high_mv } => splitter(device, load_ma, low_mv, high_mv),
        Part::Expander { inputs } => {
            let has = device.limits.inputs.unwrap_or(0);
            (has < inputs).then(|| Reason::hard(Ground::Inputs, format!("has {has} inputs, {inputs} more are needed")))
        }
        Part::Contact | Part::Sounder => None,
    }
}

/// What an exit request device is: a switch in the handle sits on the leaf, a sensor draws current at rest, a button
/// does neither. The catalogue states it so.
pub(super) fn exit_kind(device: &Device) -> ExitRequest {
    if device.lock.on_leaf == Some(true) {
        ExitRequest::HandleSwitch
    } else if device.electrical.standby.is_some_and(|amps| amps > Amps::ZERO) {
        ExitRequest::Sensor
    } else {
        ExitRequest::Button
    }
}

/// Share of the lock's voltage a transfer may drop, so that the cable keeps the rest (*common practice*: a fifth of
/// the 10 % a lock bears).
const TRANSFER_DROP_SHARE: f64 = 0.02;

fn transfer(
    device: &Device,
    by: Option<TransferPreparation>,
    cores: u32,
    lock_ma: u32,
    lock_mv: u32,
) -> Option<Reason> {
    // A surface loop goes on any leaf; the others need what the door was made for.
    if let (Some(is), Some(prepared)) = (device.transfer, by)
        && is != prepared
        && is != TransferPreparation::Loop
        && prepared != TransferPreparation::None
    {
        return Some(Reason::hard(Ground::Preparation, format!("is a {is}, the door is made for a {prepared}")));
    }
    if let Some(has) = device.cable.cores.filter(|has| *has < cores) {
        return Some(Reason::hard(Ground::Cores, format!("has {has} cores, {cores} are needed")));
    }
    if let (Some(resistance), Some(length)) = (device.cable.resistance, device.size.height) {
        let drop = (resistance * length).get() * 2.0 * f64::from(lock_ma) / 1000.0;
        let limit = f64::from(lock_mv) / 1000.0 * TRANSFER_DROP_SHARE;
        if drop > limit {
            let text = format!("drops {drop:.2} V at the lock's highest current, {limit:.2} V is the limit");
            return Some(Reason::hard(Ground::Voltage, text));
        }
    }
    let hidden = matches!(by, Some(TransferPreparation::Concealed | TransferPreparation::Hinge));
    (hidden && device.transfer == Some(TransferPreparation::Loop))
        .then(|| Reason::soft(Ground::Preference, 2, "shows on the leaf, the door is made for a hidden one"))
}

fn splitter(device: &Device, load_ma: u32, low_mv: u32, high_mv: u32) -> Option<Reason> {
    let Some(volts) = device.supply.output_voltage.map(dw_core::Volts::get) else {
        return Some(Reason::missing("output voltage"));
    };
    let millivolts = f64::from(milliamps(volts));
    if millivolts < f64::from(low_mv) || millivolts > f64::from(high_mv) {
        let (low, high) = (f64::from(low_mv) / 1e3, f64::from(high_mv) / 1e3);
        return Some(Reason::hard(
            Ground::Voltage,
            format!("gives {volts:.1} V, the devices work at {low:.1} to {high:.1} V"),
        ));
    }
    let Some(gives) = device.supply.output.map(|amps| milliamps(amps.get())) else {
        return Some(Reason::missing("output current"));
    };
    (gives < load_ma).then(|| Reason::hard(Ground::Current, format!("gives {gives} mA, the devices draw {load_ma} mA")))
}
