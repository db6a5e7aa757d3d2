//! Judges equipment a second time, by plain reading of survey and catalogue; shares no code with the choice.

use dw_core::{DeviceId, OpeningId};
use dw_job::catalogue::{CableUse, Device, DeviceKind};
use dw_job::model::{EscapeDuty, Exposure, OpeningKind, ReaderPlace};

use super::plan::{ControlNeed, Equipment, Equipped, Fitted, Role};
use super::rules::{ControlDoesNotAddUp, DeviceBreaksDemand, EquipmentOutOfStep};
use crate::Cx;
use crate::survey::{Survey, Surveyed};

/// Judges the equipment of every opening, ours or pinned. Demands that a pin overrides are not judged again: the
/// choice reports them.
pub fn verify(cx: &mut Cx<'_>, survey: &Survey, equipment: &Equipment) {
    let marks = |count: usize| survey.openings.iter().map(|one| &one.mark).take(count);
    let in_step = equipment.openings.len() == survey.openings.len()
        && equipment.openings.iter().map(|one| &one.mark).eq(marks(equipment.openings.len()));
    if !in_step {
        let (surveyed, equipped) = (survey.openings.len(), equipment.openings.len());
        cx.sink.report(&EquipmentOutOfStep { surveyed, equipped });
        return;
    }
    for (surveyed, equipped) in survey.openings.iter().zip(&equipment.openings) {
        for text in mismatches(cx, surveyed, equipped) {
            cx.sink.report(&ControlDoesNotAddUp { opening: surveyed.mark.clone(), text });
        }
        for fitted in &equipped.devices {
            judge(cx, surveyed, equipped, fitted);
        }
    }
}

fn judge(cx: &mut Cx<'_>, surveyed: &Surveyed, equipped: &Equipped, fitted: &Fitted) {
    let Some(device) = cx.device(&fitted.device) else {
        say(cx, &surveyed.mark, fitted, "is not in the catalogue".to_owned());
        return;
    };
    let pinned = equipped.choices.iter().any(|choice| choice.role == fitted.role && choice.pinned);
    if pinned {
        return;
    }
    let wrong = match fitted.role {
        Role::ReaderIn => reader(surveyed, device, surveyed.factors_in),
        Role::ReaderOut => reader(surveyed, device, surveyed.factors_out),
        Role::Lock => lock(surveyed, equipped, device),
        _ => Vec::new(),
    };
    for text in wrong {
        say(cx, &surveyed.mark, fitted, text);
    }
}

fn say(cx: &mut Cx<'_>, opening: &OpeningId, fitted: &Fitted, text: String) {
    cx.sink.report(&DeviceBreaksDemand { opening: opening.clone(), device: fitted.device.clone(), text });
}

fn reader(surveyed: &Surveyed, device: &Device, factors: u32) -> Vec<String> {
    let mut wrong = Vec::new();
    let lawful = device.reading.factors.iter().filter(|factor| !surveyed.refused.contains(factor)).count();
    if lawful < factors as usize {
        wrong.push(format!("takes {lawful} of {factors} factors"));
    }
    if device.reading.max_factors.is_some_and(|most| most < factors) {
        wrong.push(format!("asks for fewer than {factors} factors at once"));
    }
    let mullion = surveyed.reader_place == ReaderPlace::Mullion;
    if let (true, Some(room), Some(width)) = (mullion, surveyed.reader_width_m, device.size.width)
        && width.get() > room.get() + 0.0005
    {
        wrong.push(format!("is {width:.3} wide in a place of {room:.3}"));
    }
    if !device.reading.places.is_empty() && !device.reading.places.contains(&surveyed.reader_place) {
        wrong.push(format!("does not sit on a {}", surveyed.reader_place));
    }
    let in_the_open = surveyed.exposure.contains(&Exposure::Outdoors)
        && matches!(surveyed.kind, OpeningKind::Gate | OpeningKind::VehicleBarrier | OpeningKind::VehicleGate);
    let splashes = device.environment.ip.map(|ip| (ip / 10, ip % 10));
    if in_the_open && splashes.is_some_and(|(solids, water)| solids < 5 || water < 4) {
        wrong.push("bears neither dust nor splashes in the open".to_owned());
    }
    let reads = matches!(device.kind, Some(DeviceKind::Reader | DeviceKind::StandaloneUnit | DeviceKind::PlateCamera));
    if !reads {
        wrong.push("is no reader".to_owned());
    }
    wrong
}

fn lock(surveyed: &Surveyed, equipped: &Equipped, device: &Device) -> Vec<String> {
    use OpeningKind as K;
    let mut wrong = Vec::new();
    let kind = match surveyed.kind {
        K::TurnstileLane | K::WideLane => DeviceKind::Turnstile,
        K::VehicleBarrier | K::VehicleGate => DeviceKind::VehicleDrive,
        _ => DeviceKind::Lock,
    };
    if device.kind != Some(kind) {
        wrong.push(format!("is no {kind}"));
    }
    if let Some(mode) = equipped.fail_mode
        && !device.lock.fail_modes.contains(&mode)
    {
        wrong.push(format!("cannot be {mode}"));
    }
    if surveyed.fire_rating_min.get() > 0.0 && kind == DeviceKind::Lock && device.lock.fire_rated != Some(true) {
        wrong.push(format!("is not listed for a fire door of {:.0}", surveyed.fire_rating_min));
    }
    wrong
}

/// What control, cables and release do not agree on.
fn mismatches(cx: &Cx<'_>, surveyed: &Surveyed, equipped: &Equipped) -> Vec<String> {
    let mut wrong = Vec::new();
    match &equipped.control {
        ControlNeed::Ports { ports, models } => wrong.extend(ports_and_cables(cx, equipped, *ports, models)),
        ControlNeed::OwnUnit { unit } => {
            let there = equipped.devices.iter().any(|fitted| fitted.device == *unit);
            let decides = cx.device(unit).is_some_and(|unit| unit.kind == Some(DeviceKind::StandaloneUnit));
            if !there || !decides {
                wrong.push(format!("{unit} decides, and is not a unit at the opening"));
            }
        }
        ControlNeed::None if !equipped.devices.is_empty() => wrong.push("has devices and no control".to_owned()),
        ControlNeed::None => {}
    }
    if equipped.cables.iter().any(|cable| cable.cores.is_empty() || cable.cores.iter().any(String::is_empty)) {
        wrong.push("has a cable with a core that does nothing".to_owned());
    }
    let holds = equipped.holds_escape && surveyed.escape != EscapeDuty::None;
    let wants_release = equipped.choices.iter().any(|choice| choice.role == Role::EmergencyRelease);
    if holds && !wants_release {
        wrong.push("holds a way of escape and no emergency release was looked for".to_owned());
    }
    wrong
}

/// What ports and cables do not agree on, for an opening served from a room.
fn ports_and_cables(cx: &Cx<'_>, equipped: &Equipped, ports: u32, models: &[DeviceId]) -> Vec<String> {
    let mut wrong = Vec::new();
    if ports == 0 {
        wrong.push("wants no port on a controller".to_owned());
    }
    let pinned = equipped.choices.iter().any(|choice| choice.pinned);
    let readers = || equipped.devices.iter().filter(|fitted| matches!(fitted.role, Role::ReaderIn | Role::ReaderOut));
    for controller in models.iter().filter_map(|model| cx.device(model)) {
        if controller.control.ports.unwrap_or(0) < ports {
            wrong.push(format!("wants {ports} ports, {} has fewer", controller.id));
        }
        let deaf = readers().filter_map(|fitted| cx.device(&fitted.device)).find(|reader| {
            !reader.interfaces.iter().any(|interface| controller.control.interfaces.contains(interface))
        });
        if let Some(reader) = deaf.filter(|_| !pinned) {
            wrong.push(format!("{} cannot be read by {}", reader.id, controller.id));
        }
    }
    wrong.extend(inputs(cx, equipped, models));
    let lines = equipped.cables.iter().filter(|cable| matches!(cable.purpose, CableUse::Reader | CableUse::Network));
    let (lines, wired) = (lines.count(), readers().count());
    if lines != wired {
        wrong.push(format!("has {wired} readers and {lines} cables for them"));
    }
    let powered = equipped.devices.iter().filter(|fitted| fitted.role == Role::Lock);
    let powered =
        powered.filter(|fitted| cx.device(&fitted.device).is_some_and(|lock| lock.electrical.mains.is_none()));
    let locks: u32 = powered.map(|fitted| fitted.count).sum();
    let feeds = equipped.cables.iter().filter(|cable| cable.purpose == CableUse::Lock).count();
    if feeds != locks as usize {
        wrong.push(format!("has {locks} locks to power and {feeds} cables for them"));
    }
    wrong
}

/// More pairs that tell something than there are inputs, counted from the cores; silent where no expander was found.
fn inputs(cx: &Cx<'_>, equipped: &Equipped, models: &[DeviceId]) -> Option<String> {
    let others = || equipped.choices.iter().filter(|choice| choice.role == Role::Other);
    if others().any(|choice| choice.chosen.is_none()) {
        return None;
    }
    let stated = models.iter().filter_map(|model| cx.device(model)?.limits.inputs).min()?;
    let expanders = equipped.devices.iter().filter(|fitted| fitted.role == Role::Other);
    let added: u32 = expanders.filter_map(|fitted| cx.device(&fitted.device)?.limits.inputs).sum();
    let telling = equipped.cables.iter().filter(|cable| !matches!(cable.purpose, CableUse::Reader | CableUse::Network));
    let pairs = telling.flat_map(|cable| &cable.cores).filter(|core| core.ends_with(" a") && *core != "release a");
    let wired = pairs.count();
    (wired > stated as usize + added as usize)
        .then(|| format!("has {wired} pairs that tell something and {stated} + {added} inputs for them"))
}
