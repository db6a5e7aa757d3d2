//! What is wrong or worth knowing at one opening, once its devices are chosen.

use std::collections::BTreeSet;

use dw_core::DeviceId;
use dw_job::catalogue::{Device, LockKind};
use dw_job::model::{EscapeDuty, ExitRequest, Factor, FailMode, OpeningKind, TransferPreparation};

use super::control::ReadingDetail;
use super::demand::Case;
use super::door_devices::{Part, exit_kind};
use super::exclude::{Ground, Picked, Reason};
use super::fit::Outfit;
use super::flow::Flow;
use super::lock::LockDetail;
use super::plan::Role;
use super::register::Misfit;
use super::rules::{
    BiometricsCaution, DeviceFigureMissing, DoorDoesNotLatch, ExistingCannotStay, ExitReadOnEscape, FaceInTheSun,
    FactorsNotMet, FailSafeStrikeOnFireDoor, FailSecureOnEscape, FalseMatchesTooMany, FireDoorNotLatching, HandsUnfit,
    LockBeyondOutput, LockHoldsEscape, LockProvisional, NothingFits, OlderUsers, PairNotSettled, PanicHardwareOnRoute,
    PanicHardwareWanted, PassageTooSlow, PinAgainstAdvice, PinBreaksRule, PowerTransferMissing, ReaderTooWide,
    ReleasedElectrically, TemperatureNearLimit, UnitOnAttackSide, VehicleEntrapment,
};
use super::situation::{has_leaf, is_vehicle};
use crate::Cx;

/// Share of users over sixty from which it is told where fingers are read (*common practice*).
const MANY_OVER_SIXTY: f64 = 0.25;

/// What was said already and is said once a job.
#[derive(Default)]
pub(super) struct Said {
    figures: BTreeSet<(DeviceId, &'static str)>,
    biometrics: bool,
}

/// Reports on one opening.
pub(super) struct Reporter<'r, 'x, 'a> {
    pub cx: &'r mut Cx<'x>,
    pub case: Case<'r>,
    pub outfit: &'r Outfit<'a>,
    pub said: &'r mut Said,
}

impl Reporter<'_, '_, '_> {
    pub(super) fn report(&mut self) {
        let outfit = self.outfit;
        if let Some(lock) = &outfit.lock {
            self.picked(lock, "locks");
            self.lock(lock);
        }
        for picked in [&outfit.reading.main, &outfit.reading.second].into_iter().flatten() {
            self.picked(picked, "readers");
            self.reader(picked);
        }
        for (part, picked) in &outfit.parts {
            // Without a splitter the unit is fed from the room.
            if !matches!(part, Part::Splitter { .. }) {
                self.picked(picked, plural(part));
            }
        }
        self.misfits();
        self.control();
        self.transfer();
        self.exit_read();
    }

    /// What holds for every choice: nothing fits, a pin, a device on site that has to go, missing figures.
    fn picked<T: Clone>(&mut self, picked: &Picked<'_, T>, part: &'static str) {
        let opening = self.case.surveyed.mark.clone();
        if let Some(nothing) = &picked.nothing {
            self.cx.sink.report(&NothingFits {
                opening: opening.clone(),
                part,
                looked_at: nothing.looked_at,
                binding: nothing.binding.map(Ground::demand),
                freed: nothing.freed,
            });
        }
        if let (false, Some(kept)) = (picked.turned_out.is_empty(), self.kept_device(picked.choice.role)) {
            let text = picked.turned_out.iter().map(|reason| reason.text.as_str()).collect::<Vec<_>>().join("; ");
            self.cx.sink.report(&ExistingCannotStay { opening, device: kept, text });
        }
        if let Some(chosen) = &picked.chosen {
            let rest: Vec<&Reason> =
                chosen.reasons.iter().filter(|reason| !self.reason(chosen.device, reason)).collect();
            if picked.choice.pinned {
                self.pin(picked.choice.role, chosen.device, &rest);
            }
        }
    }

    fn kept_device(&self, role: Role) -> Option<DeviceId> {
        let excluded = &self.outfit_choice(role)?.excluded;
        let kept = self.case.kept.iter().find(|staying| staying.role == role)?;
        excluded.iter().any(|one| one.device == kept.device).then(|| kept.device.clone())
    }

    fn outfit_choice(&self, role: Role) -> Option<&super::plan::Choice> {
        let outfit = self.outfit;
        let readers = [&outfit.reading.main, &outfit.reading.second].into_iter().flatten().map(|one| &one.choice);
        let lock = outfit.lock.iter().map(|lock| &lock.choice);
        let parts = outfit.parts.iter().map(|(_, picked)| &picked.choice);
        readers.chain(lock).chain(parts).find(|choice| choice.role == role).map(|choice| &**choice)
    }

    /// What a pin breaks beside the rules that have a finding of their own: one finding, one for mere advice.
    fn pin(&mut self, role: Role, device: &Device, rest: &[&Reason]) {
        let text = |hard: bool| {
            let texts = rest.iter().filter(|reason| reason.excludes() == hard).map(|reason| reason.text.as_str());
            texts.collect::<Vec<_>>().join("; ")
        };
        let (opening, device, rows) = (&self.case.surveyed.mark, &device.id, self.case.pinned.rows);
        let (field, row) = if role == Role::Lock { ("lock", rows.lock) } else { ("reader", rows.reader) };
        let (breaks, advice) = (text(true), text(false));
        if !breaks.is_empty() {
            let (opening, device) = (opening.clone(), device.clone());
            self.cx.sink.report(&PinBreaksRule { opening, device, text: breaks, row, field });
        }
        if !advice.is_empty() {
            let (opening, device) = (opening.clone(), device.clone());
            self.cx.sink.report(&PinAgainstAdvice { opening, device, text: advice, row });
        }
    }

    /// One reason against a chosen device, as the rule it breaks; whether there is such a rule.
    fn reason(&mut self, device: &Device, reason: &Reason) -> bool {
        let opening = self.case.surveyed.mark.clone();
        let (device_id, text) = (device.id.clone(), self.worded(device, reason));
        let profile = self.cx.profile;
        let sink = &mut self.cx.sink;
        macro_rules! report {
            ($rule:ident $(, $field:ident: $value:expr)*) => {
                sink.report(&$rule { opening, device: device_id, text $(, $field: $value)* })
            };
        }
        match reason.ground {
            Ground::FigureMissing | Ground::PriceMissing => {
                let figure = reason.figure.unwrap_or("price");
                if self.said.figures.insert((device_id.clone(), figure)) {
                    sink.report(&DeviceFigureMissing { opening, device: device_id, figure });
                }
            }
            Ground::Width => report!(ReaderTooWide),
            Ground::Hands => report!(HandsUnfit),
            Ground::Sun => report!(FaceInTheSun),
            Ground::FalseMatch => report!(FalseMatchesTooMany),
            Ground::Factors => report!(FactorsNotMet),
            Ground::Passage => report!(PassageTooSlow),
            Ground::Temperature if !reason.excludes() => report!(TemperatureNearLimit),
            Ground::AttackSide => report!(UnitOnAttackSide),
            Ground::FireLatch => report!(FireDoorNotLatching, source: profile.fire_door_source.clone()),
            Ground::FireStrike => report!(FailSafeStrikeOnFireDoor, source: profile.fire_door_source.clone()),
            Ground::FailSecureOnEscape => report!(FailSecureOnEscape, source: profile.power_loss_source.clone()),
            Ground::Panic if self.case.surveyed.escape == EscapeDuty::Exit => {
                report!(PanicHardwareWanted, source: profile.panic_source.clone());
            }
            Ground::Panic => report!(PanicHardwareOnRoute, source: profile.panic_source.clone()),
            // The rules of lock and control say these with all their figures.
            Ground::HoldsEscape | Ground::Output => {}
            _ => return false,
        }
        true
    }

    /// A reason shared by many openings, with the figures of this one.
    fn worded(&self, device: &Device, reason: &Reason) -> String {
        match (reason.ground, Flow::through(device), self.case.panic()) {
            (Ground::Passage, Some(rate), _) => {
                format!("passes {} an hour, {} come at the busiest", rate / 1000, self.case.surveyed.peak_flow)
            }
            (Ground::Panic, _, Some((load, limit))) => {
                format!("brings no panic hardware; {load} people would use the door, it is wanted from {limit}")
            }
            _ => reason.text.clone(),
        }
    }

    fn lock(&mut self, lock: &Picked<'_, LockDetail>) {
        let Some(chosen) = &lock.chosen else { return };
        let (device, detail) = (chosen.device, &chosen.detail);
        let surveyed = self.case.surveyed;
        let opening = surveyed.mark.clone();
        if let Some(why) = detail.provisional.clone().filter(|_| !lock.kept) {
            self.cx.sink.report(&LockProvisional { opening: opening.clone(), device: device.id.clone(), why });
        }
        if detail.holds_escape {
            self.holding(device, detail);
        }
        if is_vehicle(surveyed.kind) {
            self.cx.sink.report(&VehicleEntrapment { opening, device: device.id.clone() });
        }
        self.pair(detail);
        self.latching(device);
    }

    /// The four conditions on a lock that holds people on a way of escape.
    fn holding(&mut self, device: &Device, detail: &LockDetail) {
        let surveyed = self.case.surveyed;
        let mut missing = Vec::new();
        let secure = self
            .outfit
            .lock
            .as_ref()
            .and_then(|lock| lock.chosen.as_ref())
            .is_some_and(|chosen| chosen.reasons.iter().any(|reason| reason.ground == Ground::FailSecureOnEscape));
        // A fail-secure lock has a finding of its own.
        if detail.fail_mode != Some(FailMode::Safe) && !secure {
            missing.push("fail-safe");
        }
        if !surveyed.fire_release {
            missing.push("release by the fire alarm");
        }
        if self.outfit.part(Role::EmergencyRelease).is_none() {
            missing.push("an emergency release");
        }
        if has_leaf(surveyed.kind) && surveyed.exit_request == ExitRequest::None {
            missing.push("an exit request the survey confirms (it names none; the sensor counted here is assumed)");
        } else if has_leaf(surveyed.kind) && self.outfit.part(Role::ExitRequest).is_none() {
            missing.push("an exit request");
        }
        let (opening, device) = (surveyed.mark.clone(), device.id.clone());
        let source = self.cx.profile.free_exit_source.clone();
        if missing.is_empty() && secure {
            return;
        }
        if missing.is_empty() {
            self.cx.sink.report(&ReleasedElectrically { opening, device, source });
        } else {
            self.cx.sink.report(&LockHoldsEscape { opening, device, missing, source });
        }
    }

    fn pair(&mut self, detail: &LockDetail) {
        if self.case.surveyed.kind != OpeningKind::Pair {
            return;
        }
        let door = &self.case.opening.door;
        let mut missing = Vec::new();
        if door.active_leaf.is_none() {
            missing.push("the active leaf");
        }
        // Two locks hold both leaves; one works against a leaf that is held otherwise.
        if door.flush_bolts.is_none() && detail.count < 2 {
            missing.push("how the inactive leaf is held");
        }
        if door.closing_sequence.is_none() {
            missing.push("the closing sequence");
        }
        if !missing.is_empty() {
            self.cx.sink.report(&PairNotSettled { opening: self.case.surveyed.mark.clone(), missing });
        }
    }

    /// A strike, and any fire door, needs a door that closes and latches by itself.
    fn latching(&mut self, device: &Device) {
        let surveyed = self.case.surveyed;
        let strike = device.lock.kind == Some(LockKind::ElectricStrike);
        let fire_door = surveyed.fire_rating_min.get() > 0.0 && has_leaf(surveyed.kind);
        if !strike && !fire_door {
            return;
        }
        let door = &self.case.opening.door;
        let mut missing = Vec::new();
        if door.closer != Some(true) {
            missing.push("a closer");
        }
        if door.latches_unaided != Some(true) {
            missing.push("that it latches unaided");
        }
        if !missing.is_empty() {
            let (opening, device) = (surveyed.mark.clone(), device.id.clone());
            self.cx.sink.report(&DoorDoesNotLatch { opening, device, missing });
        }
    }

    fn reader(&mut self, picked: &Picked<'_, ReadingDetail>) {
        let Some(chosen) = &picked.chosen else { return };
        let used = &chosen.detail.used;
        let opening = &self.case.surveyed.mark;
        let biometric = used.iter().any(|factor| matches!(factor, Factor::Finger | Factor::Face | Factor::Vein));
        if biometric && !self.said.biometrics {
            self.said.biometrics = true;
            self.cx.sink.report(&BiometricsCaution { opening: opening.clone() });
        }
        let older = self.case.surveyed.users.over_sixty_share;
        let inward = picked.choice.role == Role::ReaderIn || !self.case.reads_in();
        if inward && used.contains(&Factor::Finger) && older >= MANY_OVER_SIXTY {
            self.cx.sink.report(&OlderUsers {
                opening: opening.clone(),
                share_percent: older * 100.0,
                limit_percent: MANY_OVER_SIXTY * 100.0,
            });
        }
    }

    /// Pins of devices that cannot play the part.
    fn misfits(&mut self) {
        for misfit in self.case.pinned.misfits.clone() {
            let Misfit { field, row, device, text } = misfit;
            self.cx.sink.report(&PinBreaksRule { opening: self.case.surveyed.mark.clone(), device, text, row, field });
        }
    }

    fn control(&mut self) {
        let reading = &self.outfit.reading;
        let opening = &self.case.surveyed.mark;
        if let Some(controller) = &self.case.pinned.controller {
            for reason in &reading.controller_breaks {
                self.cx.sink.report(&PinBreaksRule {
                    opening: opening.clone(),
                    device: controller.clone(),
                    text: reason.text.clone(),
                    row: self.case.pinned.rows.controller,
                    field: "controller",
                });
            }
        }
        // An opening that is only watched has no reader to tell that no controller fits.
        let wired = self.outfit.lock.is_some() || !self.outfit.parts.is_empty();
        if reading.main.is_none() && wired && reading.models.is_empty() {
            self.cx.sink.report(&NothingFits {
                opening: opening.clone(),
                part: "controllers",
                looked_at: 0,
                binding: Some(Ground::Control.demand()),
                freed: 0,
            });
        }
        let ports = !reading.models.is_empty();
        if let (Some((draws_ma, output_ma)), Some(lock), true) =
            (reading.output_short, self.outfit.lock_device(), ports)
        {
            let (opening, device) = (opening.clone(), lock.id.clone());
            self.cx.sink.report(&LockBeyondOutput { opening, device, draws_ma, output_ma });
        }
    }

    /// Something electric on the leaf needs a way for its wires.
    fn transfer(&mut self) {
        if !self.outfit.parts.iter().any(|(part, _)| matches!(part, Part::Transfer { .. })) {
            return;
        }
        let by = self.case.opening.door.power_transfer;
        if !matches!(by, None | Some(TransferPreparation::None)) {
            return;
        }
        let lock = self.outfit.lock_device().filter(|lock| lock.lock.on_leaf == Some(true));
        let looped =
            self.outfit.part(Role::PowerTransfer).is_some_and(|part| part.transfer == Some(TransferPreparation::Loop));
        // Wires of a switch go over a surface loop, which any leaf takes.
        if lock.is_none() && looped {
            return;
        }
        let switch = self.outfit.part(Role::ExitRequest).filter(|exit| exit_kind(exit) == ExitRequest::HandleSwitch);
        if let Some(device) = lock.or(switch) {
            self.cx.sink.report(&PowerTransferMissing {
                opening: self.case.surveyed.mark.clone(),
                device: device.id.clone(),
                prepared: by.is_some(),
            });
        }
    }

    fn exit_read(&mut self) {
        let surveyed = self.case.surveyed;
        if surveyed.factors_out > 0 && surveyed.escape != EscapeDuty::None && has_leaf(surveyed.kind) {
            self.cx.sink.report(&ExitReadOnEscape {
                opening: surveyed.mark.clone(),
                factors: surveyed.factors_out,
                free: self.outfit.lock_detail().is_some_and(|detail| detail.free_exit),
                source: self.cx.profile.free_exit_source.clone(),
            });
        }
    }
}

fn plural(part: &Part) -> &'static str {
    match part {
        Part::Transfer { .. } => "power transfers",
        Part::Exit(_) => "exit request devices",
        Part::Release { .. } => "emergency releases",
        Part::Contact => "door contacts",
        Part::Sounder => "sounders",
        Part::Splitter { .. } => "splitters",
        Part::Expander { .. } => "expanders",
    }
}
