//! The lock of a leaf: what excludes one, how it fails, whether it holds people on their way out.

use dw_core::{Amps, DeviceId, Hours, Money};
use dw_job::catalogue::{Device, DeviceKind, LockKind};
use dw_job::model::{
    EscapeDuty, FailMode, FrameFill, InsideHandle, Material, OpeningKind, Preparation, TransferPreparation,
};

use super::bench::{Bench, works_between};
use super::body;
use super::exclude::{Candidate, Ground, Picked, Reason, Settled, common, pick};
use super::flow::Flow;
use super::plan::Role;
use super::situation::{Surroundings, has_leaf, millimetres};

/// Everything that decides the lock of an opening.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct LockDemand {
    pub kind: OpeningKind,
    pub leaf: Option<Material>,
    pub preparation: Option<Preparation>,
    pub fill: Option<FrameFill>,
    pub frame_section_mm: Option<i64>,
    pub header_depth_mm: Option<i64>,
    pub stile_width_mm: Option<i64>,
    pub inside: Option<InsideHandle>,
    pub transfer: Option<TransferPreparation>,
    /// Fire resistance of the door set in minutes; 0 for none.
    pub fire_min: i64,
    pub escape: EscapeDuty,
    /// The load from which panic hardware is wanted, where the occupant load reaches it.
    pub panic_from: Option<u32>,
    /// Whether somebody wrote that the fire alarm must release it.
    pub release_asked: bool,
    /// What the lock must do when power is lost, when the customer or a pin said so.
    pub fail_mode: Option<FailMode>,
    /// Whether a pin said so.
    pub mode_pinned: bool,
    /// What the policy prefers.
    pub policy_mode: Option<FailMode>,
    pub around: Surroundings,
    /// Place in a bank of lanes, from 0, and lanes of the bank.
    pub bank: (u32, u32),
    /// People an hour, where a body limits them.
    pub flow: Flow,
    pub settled: Option<Settled>,
    /// Work on a kept lock, in thousandths of an hour.
    pub adapt: Option<i64>,
}

impl LockDemand {
    /// Whether this lane of its bank belongs to a full group of so many.
    pub(super) fn shares_body(&self, lanes: u32) -> bool {
        let (place, of) = self.bank;
        lanes > 1 && (place / lanes + 1).checked_mul(lanes).is_some_and(|end| end <= of)
    }
}

/// What a candidate lock would do at the opening.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct LockDetail {
    pub fail_mode: Option<FailMode>,
    /// Whether the way out is always free by hand.
    pub free_exit: bool,
    /// Whether it holds people on a way of escape.
    pub holds_escape: bool,
    /// Why the choice stands only until a survey confirms it.
    pub provisional: Option<String>,
    pub count: u32,
}

/// Chooses the lock, turnstile body or vehicle drive.
pub(super) fn choose<'a>(bench: &Bench<'a>, demand: &LockDemand) -> Picked<'a, LockDetail> {
    let kind = body::kind_for(demand.kind);
    let pinned = match &demand.settled {
        Some(Settled::Pinned(id) | Settled::Kept(id)) => Some(id),
        None => None,
    };
    let named = pinned.and_then(|id| bench.catalogue.devices.get(id)).filter(|device| device.kind != Some(kind));
    let candidates =
        bench.catalogue.of_kind(kind).chain(named).map(|device| candidate(bench, demand, device)).collect();
    pick(Role::Lock, candidates, demand.settled.as_ref())
}

fn candidate<'a>(bench: &Bench<'a>, demand: &LockDemand, device: &'a Device) -> Candidate<'a, LockDetail> {
    let (mut reasons, detail) =
        if has_leaf(demand.kind) { leaf_lock(bench, demand, device) } else { body::judge(demand, device) };
    reasons.extend(common(device, &bench.refused, &demand.around));
    let is_kept = matches!(&demand.settled, Some(Settled::Kept(id)) if *id == device.id);
    let cost = if is_kept {
        bench.costs.kept(device, demand.adapt.map(|hours| Hours::new(hours as f64 / 1000.0)))
    } else {
        bench.costs.of(device).copied().unwrap_or_else(|| bench.costs.kept(device, None))
    };
    let lanes = device.lanes.filter(|lanes| demand.shares_body(*lanes)).unwrap_or(1);
    let cost = cost.shared_by(lanes);
    let others = detail.count.saturating_sub(1);
    let beside = cost.total() * others + dragged_along(bench, demand, device, &detail);
    Candidate { device, cost, beside, reasons, detail }
}

/// What a lock makes necessary beside itself: the way of its power to the leaf, and the release of one that holds.
fn dragged_along(bench: &Bench<'_>, demand: &LockDemand, device: &Device, detail: &LockDetail) -> Money {
    let mut sum = Money::ZERO;
    if device.lock.on_leaf == Some(true) {
        sum += bench.least_of(DeviceKind::PowerTransfer);
    }
    if detail.holds_escape && has_leaf(demand.kind) {
        sum += bench.least_of(DeviceKind::EmergencyRelease) + bench.least_of(DeviceKind::ExitRequest);
    }
    sum
}

fn leaf_lock(bench: &Bench<'_>, demand: &LockDemand, device: &Device) -> (Vec<Reason>, LockDetail) {
    let mut reasons = Vec::new();
    let lock = &device.lock;
    if device.kind != Some(DeviceKind::Lock) {
        reasons.push(Reason::hard(Ground::OtherKind, "is no lock"));
    }
    if !lock.suits.is_empty() && !lock.suits.contains(&demand.kind) {
        reasons.push(Reason::hard(Ground::Suits, format!("does not suit {} openings", demand.kind)));
    }
    let mut doubts = Vec::new();
    material(demand, device, &mut reasons, &mut doubts);
    preparation(demand, device, &mut reasons, &mut doubts);
    room(demand, device, &mut reasons);
    fire(demand, device, &mut reasons);
    let free_exit = frees_the_way_out(device, demand.inside);
    let holds_escape = demand.escape != EscapeDuty::None && !free_exit;
    let fail_mode = match fail_mode(demand, device, holds_escape) {
        Ok((mode, soft)) => {
            reasons.extend(soft);
            mode
        }
        Err(reason) => {
            reasons.push(reason);
            lock.fail_modes.last().copied()
        }
    };
    if holds_escape {
        reasons.push(Reason::soft(
            Ground::HoldsEscape,
            HOLDS,
            "holds people on a way of escape; one whose inside handle is always free does not",
        ));
    }
    panic_hardware(demand, device, &mut reasons);
    voltage(bench, device, &mut reasons);
    output(bench, device, &mut reasons);
    let provisional = (!doubts.is_empty()).then(|| doubts.join("; "));
    let count = leaves_locked(demand, device);
    (reasons, LockDetail { fail_mode, free_exit, holds_escape, provisional, count })
}

/// How far behind a lock ranks: weights are ours and only order; a graver one outweighs all lighter ones together.
const MODE_PINNED: u32 = 64;
const PANIC: u32 = 32;
const HOLDS: u32 = 16;
const PREFERENCE: u32 = 2;

/// Whether people inside always get out by hand, without power, card or knowledge.
///
/// A strike leaves the way out to the door's own handle or bar; a magnet blocks it whatever the handle does; every
/// other lock brings its own inside handle and says so.
pub(super) fn frees_the_way_out(device: &Device, inside: Option<InsideHandle>) -> bool {
    match device.lock.kind {
        Some(LockKind::ElectricStrike) => matches!(inside, Some(InsideHandle::Free | InsideHandle::PushBar)),
        Some(LockKind::ElectromagneticLock) => false,
        _ => device.lock.free_exit == Some(true),
    }
}

/// A lock made for pairs only serves both leaves; any other magnet or exit device is fitted on each.
fn leaves_locked(demand: &LockDemand, device: &Device) -> u32 {
    let each_leaf = matches!(device.lock.kind, Some(LockKind::ElectromagneticLock | LockKind::LatchRetraction));
    let single_too = device.lock.suits.is_empty() || device.lock.suits.contains(&OpeningKind::Single);
    if demand.kind == OpeningKind::Pair && each_leaf && single_too { 2 } else { 1 }
}

fn material(demand: &LockDemand, device: &Device, reasons: &mut Vec<Reason>, doubts: &mut Vec<String>) {
    let leaves = &device.lock.leaves;
    match demand.leaf {
        _ if leaves.is_empty() => {}
        Some(leaf) if !leaves.contains(&leaf) => {
            reasons.push(Reason::hard(Ground::Leaf, format!("does not suit a leaf of {leaf}")));
        }
        Some(_) => {}
        None => doubts.push("the survey does not say what the leaf is made of".to_owned()),
    }
}

fn preparation(demand: &LockDemand, device: &Device, reasons: &mut Vec<Reason>, doubts: &mut Vec<String>) {
    let Some(needed) = device.lock.preparation.filter(|needed| *needed != Preparation::None) else { return };
    match demand.preparation {
        Some(have) if have == needed => {}
        None => doubts.push(format!(
            "the survey does not say what leaf and frame are prepared for; {} needs {}",
            device.id,
            cut_for(needed)
        )),
        // A magnet is fixed to the header, whatever leaf and frame are cut for.
        Some(have) if needed == Preparation::Magnet => {
            reasons.push(Reason::soft(
                Ground::Preference,
                PREFERENCE,
                format!("needs a header that takes it; the survey says \"{have}\""),
            ));
            doubts.push(format!("the survey does not say that the header takes {}", device.id));
        }
        Some(Preparation::None) => uncut(demand, device, needed, reasons, doubts),
        Some(have) => reasons.push(Reason::hard(
            Ground::Preparation,
            format!("needs {}, the door is prepared for \"{have}\"", cut_for(needed)),
        )),
    }
}

/// A door that nothing is cut in: cut on site, unless it is a fire door or its frame is filled with grout.
///
/// Source: field cutting of a labelled fire door beyond small holes needs the label service (NFPA 80, from memory).
fn uncut(
    demand: &LockDemand,
    device: &Device,
    needed: Preparation,
    reasons: &mut Vec<Reason>,
    doubts: &mut Vec<String>,
) {
    if demand.fire_min > 0 {
        reasons.push(Reason::hard(
            Ground::Preparation,
            format!(
                "needs {}; nothing is cut, and a door set of {} min is not cut on site without its label service",
                cut_for(needed),
                demand.fire_min
            ),
        ));
    } else if needed == Preparation::Strike && demand.fill == Some(FrameFill::Grout) {
        reasons
            .push(Reason::hard(Ground::Preparation, "needs a cut frame, and the frame section is filled with grout"));
    } else {
        doubts.push(format!("{} needs {}, and nothing is cut yet", device.id, cut_for(needed)));
    }
}

fn cut_for(needed: Preparation) -> &'static str {
    match needed {
        Preparation::None => "nothing cut",
        Preparation::Strike => "a frame cut for a strike",
        Preparation::Mortise => "a leaf cut for a mortise lock",
        Preparation::ExitDevice => "a leaf drilled for an exit device",
        Preparation::Magnet => "a header that takes a magnet",
    }
}

/// Sizes against the room there, where both are known.
fn room(demand: &LockDemand, device: &Device, reasons: &mut Vec<Reason>) {
    let size = &device.size;
    let (needs, has, what) = match device.lock.kind {
        Some(LockKind::ElectricStrike) => (size.depth, demand.frame_section_mm, "the frame section"),
        Some(LockKind::ElectromagneticLock) => (size.height, demand.header_depth_mm, "the header"),
        Some(LockKind::ElectrifiedMortiseLock) => (size.width, demand.stile_width_mm, "the stile"),
        _ => return,
    };
    if let (Some(needs), Some(has)) = (needs.map(millimetres), has)
        && needs > has
    {
        reasons.push(Reason::hard(Ground::Room, format!("needs {needs} mm, {what} gives {has} mm")));
    }
}

/// A fire door latches by itself and stays latched without power; its hardware is listed for it.
fn fire(demand: &LockDemand, device: &Device, reasons: &mut Vec<Reason>) {
    if demand.fire_min == 0 {
        return;
    }
    let rating = demand.fire_min;
    if device.lock.kind == Some(LockKind::ElectromagneticLock) {
        reasons.push(Reason::hard(Ground::FireLatch, format!("is no latch, the door set is rated {rating} min")));
    } else if device.lock.fire_rated != Some(true) {
        let listed = if device.lock.fire_rated.is_none() { "states no listing" } else { "is not listed" };
        reasons.push(Reason::hard(
            Ground::FireListing,
            format!("{listed} for fire doors, the door set is rated {rating} min"),
        ));
    }
}

/// What the lock does when power is lost, with soft reasons; or the hard reason why it can do nothing lawful.
fn fail_mode(
    demand: &LockDemand,
    device: &Device,
    holds_escape: bool,
) -> Result<(Option<FailMode>, Vec<Reason>), Reason> {
    let lock = &device.lock;
    let mut allowed = lock.fail_modes.clone();
    if allowed.is_empty() {
        return Err(Reason::hard(Ground::FailMode, "states no fail mode"));
    }
    let mut soft = Vec::new();
    if let Some(wanted) = demand.fail_mode {
        allowed.retain(|mode| *mode == wanted);
        if allowed.is_empty() {
            return Err(Reason::hard(Ground::FailMode, format!("cannot be {wanted}, as is asked")));
        }
    }
    let strike_on_fire_door = demand.fire_min > 0 && lock.kind == Some(LockKind::ElectricStrike);
    if strike_on_fire_door {
        let text = format!(
            "would be fail-safe on a door set of {} min; its strike stays latched without power",
            demand.fire_min
        );
        keep_mode(demand, &mut allowed, FailMode::Secure, Ground::FireStrike, text, &mut soft)?;
    } else if demand.fire_min > 0
        && let Some(listed) = lock.fail_modes.last().copied()
        && demand.fail_mode.is_none()
    {
        allowed.retain(|mode| *mode == listed);
    }
    if holds_escape {
        let text = "would stay locked without power while it holds people on a way of escape".to_owned();
        keep_mode(demand, &mut allowed, FailMode::Safe, Ground::FailSecureOnEscape, text, &mut soft)?;
    }
    let liked = demand.policy_mode.or(demand.release_asked.then_some(FailMode::Safe));
    let mode = liked.filter(|mode| allowed.contains(mode)).or_else(|| allowed.first().copied());
    if let (Some(liked), Some(mode), None) = (liked, mode, demand.fail_mode)
        && liked != mode
    {
        soft.push(Reason::soft(Ground::Preference, PREFERENCE, format!("is {mode}, {liked} is preferred")));
    }
    Ok((mode, soft))
}

/// Keeps one mode; a pinned other mode stands and is reported.
fn keep_mode(
    demand: &LockDemand,
    allowed: &mut Vec<FailMode>,
    lawful: FailMode,
    ground: Ground,
    text: String,
    soft: &mut Vec<Reason>,
) -> Result<(), Reason> {
    if allowed.contains(&lawful) {
        allowed.retain(|mode| *mode == lawful);
    } else if demand.mode_pinned {
        soft.push(Reason::soft(ground, MODE_PINNED, text));
    } else {
        return Err(Reason::hard(ground, text));
    }
    Ok(())
}

/// Panic hardware: an exit device, or a strike beside a push bar the door has.
fn panic_hardware(demand: &LockDemand, device: &Device, reasons: &mut Vec<Reason>) {
    let Some(limit) = demand.panic_from else { return };
    let has_bar = match device.lock.kind {
        Some(LockKind::LatchRetraction) => true,
        Some(LockKind::ElectricStrike) => demand.inside == Some(InsideHandle::PushBar),
        _ => false,
    };
    if !has_bar {
        reasons.push(Reason::soft(
            Ground::Panic,
            PANIC,
            format!("brings no panic hardware, which is wanted from {limit} people, as would use the door"),
        ));
    }
}

/// The firm's lock voltage is preferred, not demanded: an exit device may only come for 24 V.
fn voltage(bench: &Bench<'_>, device: &Device, reasons: &mut Vec<Reason>) {
    let (Some(wanted), Some((low, high))) = (bench.lock_voltage, works_between(device)) else { return };
    if wanted.get() < low || wanted.get() > high {
        reasons.push(Reason::soft(
            Ground::Preference,
            PREFERENCE,
            format!("works at {low:.1} to {high:.1} V, the firm prefers {:.0} V", wanted.get()),
        ));
    }
}

/// A lock beyond every output needs a relay and a supply of its own, so it ranks behind.
fn output(bench: &Bench<'_>, device: &Device, reasons: &mut Vec<Reason>) {
    let draws = peak_amps(device);
    if let Some(largest) = bench.largest_output
        && draws > largest
    {
        let text = format!("draws {draws:.2} at most, no controller output switches more than {largest:.2}");
        reasons.push(Reason::soft(Ground::Output, PREFERENCE, text));
    }
}

/// The highest current of a lock: its inrush, or what it draws at work.
pub(super) fn peak_amps(lock: &Device) -> Amps {
    let electrical = &lock.electrical;
    [electrical.inrush, electrical.active, electrical.standby].into_iter().flatten().max().unwrap_or(Amps::ZERO)
}

/// The settled device among pins and existing equipment.
pub(super) fn settled(pin: Option<&DeviceId>, kept: Option<&DeviceId>) -> Option<Settled> {
    pin.cloned().map(Settled::Pinned).or_else(|| kept.cloned().map(Settled::Kept))
}
