//! Turnstile bodies and vehicle drives: what stands in for a lock where there is no leaf.

use dw_job::catalogue::{Device, DeviceKind};
use dw_job::model::{EscapeDuty, FailMode, OpeningKind};

use super::exclude::{Ground, Reason};
use super::flow::Flow;
use super::lock::{LockDemand, LockDetail};
use super::situation::{has_leaf, is_lane, is_vehicle};

/// The kind of device that locks this kind of opening.
pub(super) fn kind_for(kind: OpeningKind) -> DeviceKind {
    match kind {
        kind if is_lane(kind) => DeviceKind::Turnstile,
        kind if is_vehicle(kind) => DeviceKind::VehicleDrive,
        _ => DeviceKind::Lock,
    }
}

/// Whether the opening takes a device in the lock's place; a lift car is freed by its controller in the room.
pub(super) fn has_lock(kind: OpeningKind) -> bool {
    has_leaf(kind) || is_lane(kind) || is_vehicle(kind)
}

/// What speaks against a body or drive, and what it would do.
pub(super) fn judge(demand: &LockDemand, device: &Device) -> (Vec<Reason>, LockDetail) {
    let mut reasons = Vec::new();
    if device.kind != Some(kind_for(demand.kind)) {
        reasons.push(Reason::hard(Ground::OtherKind, format!("is no {}", kind_for(demand.kind))));
    }
    if !device.suits.contains(&demand.kind) {
        reasons.push(Reason::hard(Ground::Suits, format!("does not suit {} openings", demand.kind)));
    }
    let lanes = device.lanes.unwrap_or(1).max(1);
    if is_lane(demand.kind) && lanes > 1 && !demand.shares_body(lanes) {
        reasons.push(Reason::hard(
            Ground::Lanes,
            format!("has {lanes} lanes; the bank has {} and this one is left over", demand.bank.1),
        ));
    }
    let free_exit = device.lock.free_exit == Some(true);
    // A vehicle gate is no way of escape for people on foot, whatever the survey says of the opening beside it.
    let holds_escape = demand.escape != EscapeDuty::None && !free_exit && !is_vehicle(demand.kind);
    let modes = &device.lock.fail_modes;
    let wanted = demand.fail_mode.or(holds_escape.then_some(FailMode::Safe));
    if let Some(wanted) = wanted {
        if modes.is_empty() {
            reasons.push(Reason::missing("fail mode"));
        } else if !modes.contains(&wanted) {
            let ground = if holds_escape { Ground::FailSecureOnEscape } else { Ground::FailMode };
            reasons.push(Reason::hard(ground, format!("cannot be {wanted}, as the opening wants")));
        }
    }
    let slow = Flow::through(device).and_then(|rate| demand.flow.too_slow(rate));
    reasons.extend(slow.map(|text| Reason::soft(Ground::Passage, SLOW, text)));
    let liked = wanted.or(demand.policy_mode).filter(|mode| modes.contains(mode));
    let fail_mode = liked.or_else(|| modes.first().copied());
    (reasons, LockDetail { fail_mode, free_exit, holds_escape, provisional: None, count: 1 })
}

/// Too slow a lane still passes people, so it only ranks behind.
const SLOW: u32 = 4;
