//! What every controller and unit must hold.

use std::collections::{BTreeMap, BTreeSet};

use dw_core::{FigureId, Id, Input, InputValue, OpeningId, Working};
use dw_job::catalogue::{Device, DeviceKind, Limits};
use dw_job::model::Factor;

use super::crowd::{Crowd, Members};
use super::{Holder, Store};
use crate::Cx;
use crate::equip::{ControlNeed, Equipment, Equipped, Role};
use crate::place::Placement;
use crate::survey::{Survey, Surveyed};

/// Something a device stores.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Stored {
    Cards,
    Fingers,
    Faces,
    Veins,
    Plates,
}

impl Stored {
    const ALL: [Self; 5] = [Self::Cards, Self::Fingers, Self::Faces, Self::Veins, Self::Plates];

    /// What a factor needs stored. A number known by heart is kept with the person's card record.
    fn of(factor: Factor) -> Self {
        match factor {
            Factor::Card | Factor::Pin => Self::Cards,
            Factor::Finger => Self::Fingers,
            Factor::Face => Self::Faces,
            Factor::Vein => Self::Veins,
            Factor::Plate => Self::Plates,
        }
    }

    /// Name on paper.
    pub(super) fn name(self) -> &'static str {
        match self {
            Self::Cards => "cards",
            Self::Fingers => "finger templates",
            Self::Faces => "face templates",
            Self::Veins => "vein templates",
            Self::Plates => "plates",
        }
    }

    /// Key of the limit in the catalogue.
    pub(super) fn limit_key(self) -> &'static str {
        match self {
            Self::Cards => "limits.cards",
            Self::Fingers => "limits.fingers",
            Self::Faces => "limits.faces",
            Self::Veins => "limits.veins",
            Self::Plates => "limits.plates",
        }
    }

    /// The thing with this name on paper.
    pub(super) fn named(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|stored| stored.name() == name)
    }

    fn limit(self, limits: &Limits) -> Option<u32> {
        match self {
            Self::Cards => limits.cards,
            Self::Fingers => limits.fingers,
            Self::Faces => limits.faces,
            Self::Veins => limits.veins,
            Self::Plates => limits.plates,
        }
    }

    /// How many the people need: a card and a face each, the fingers they enrol, as many veins (*common practice*),
    /// a plate for each vehicle.
    fn needed(self, crowd: Crowd) -> u32 {
        match self {
            Self::Cards | Self::Faces => crowd.people,
            Self::Fingers | Self::Veins => crowd.fingers,
            Self::Plates => crowd.vehicles,
        }
    }
}

/// Where a holder is.
#[derive(Clone, Copy)]
enum Seat<'a> {
    Controller(&'a str),
    Unit(&'a OpeningId),
    ReaderIn(&'a OpeningId),
    ReaderOut(&'a OpeningId),
}

impl Seat<'_> {
    fn label(self) -> String {
        match self {
            Self::Controller(label) => label.to_owned(),
            Self::Unit(mark) => mark.to_string(),
            Self::ReaderIn(mark) => format!("{mark} reader in"),
            Self::ReaderOut(mark) => format!("{mark} reader out"),
        }
    }

    fn figure(self, name: &str) -> FigureId {
        match self {
            Self::Controller(label) => FigureId::new("controller", label, name),
            Self::Unit(mark) => FigureId::new("opening", mark.text(), name),
            Self::ReaderIn(mark) => FigureId::new("opening", mark.text(), &format!("reader_in_{name}")),
            Self::ReaderOut(mark) => FigureId::new("opening", mark.text(), &format!("reader_out_{name}")),
        }
    }

    /// Whether events are kept here: where the decision is made.
    fn decides(self) -> bool {
        matches!(self, Self::Controller(_) | Self::Unit(_))
    }
}

/// A holder while its openings are gathered.
struct Gathered<'a> {
    seat: Seat<'a>,
    device: &'a Device,
    openings: BTreeSet<&'a OpeningId>,
    stored: BTreeMap<Stored, BTreeSet<&'a OpeningId>>,
}

impl<'a> Gathered<'a> {
    fn new(seat: Seat<'a>, device: &'a Device, openings: BTreeSet<&'a OpeningId>) -> Self {
        Self { seat, device, openings, stored: BTreeMap::new() }
    }
}

/// Everything that stores people or events: controllers in the order of the placement, then units and readers with a
/// store of their own in the order of marks.
pub(super) fn holders(
    cx: &mut Cx<'_>,
    survey: &Survey,
    equipment: &Equipment,
    placement: &Placement,
    members: &Members<'_>,
    events: &BTreeMap<OpeningId, f64>,
) -> Vec<Holder> {
    let mut controllers: Vec<Option<Gathered<'_>>> = Vec::new();
    for placed in &placement.controllers {
        let openings = placed.ports.iter().flatten().collect();
        let seat = Seat::Controller(&placed.label);
        controllers.push(cx.device(&placed.device).map(|device| Gathered::new(seat, device, openings)));
    }
    let mut units = Vec::new();
    for equipped in &equipment.openings {
        match &equipped.control {
            ControlNeed::None => {}
            ControlNeed::Ports { .. } => {
                let index = placement.of(&equipped.mark).and_then(|served| served.controller);
                if let Some(controller) = index.and_then(|index| controllers.get_mut(index)).and_then(Option::as_mut) {
                    units.extend(gather(cx, equipped, controller));
                }
            }
            ControlNeed::OwnUnit { unit } => {
                if let Some(device) = cx.device(unit) {
                    let seat = Seat::Unit(&equipped.mark);
                    let mut unit = Gathered::new(seat, device, BTreeSet::from([&equipped.mark]));
                    let own = gather(cx, equipped, &mut unit);
                    units.push(unit);
                    units.extend(own);
                }
            }
        }
    }
    let all = controllers.into_iter().flatten().chain(units);
    all.map(|gathered| finish(cx, survey, members, events, &gathered)).collect()
}

/// Books what each reader of an opening needs stored at the device that decides; readers with a store of their own are
/// given back as holders.
fn gather<'a>(cx: &Cx<'a>, equipped: &'a Equipped, decider: &mut Gathered<'a>) -> Vec<Gathered<'a>> {
    let mut own = Vec::new();
    for fitted in &equipped.devices {
        let seat = match fitted.role {
            Role::ReaderIn => Seat::ReaderIn(&equipped.mark),
            Role::ReaderOut => Seat::ReaderOut(&equipped.mark),
            _ => continue,
        };
        let Some(device) = cx.device(&fitted.device) else { continue };
        let mut reader = Gathered::new(seat, device, BTreeSet::from([&equipped.mark]));
        for stored in equipped.factors(fitted.role).iter().copied().map(Stored::of) {
            let holder = if keeps(device, stored, decider.device) { &mut reader } else { &mut *decider };
            holder.stored.entry(stored).or_default().insert(&equipped.mark);
        }
        if !reader.stored.is_empty() {
            own.push(reader);
        }
    }
    own
}

/// Whether the reader itself keeps this rather than the device that decides: it states a store for templates or
/// plates, or nobody else can keep them. Cards are always kept where the decision is made.
fn keeps(reader: &Device, stored: Stored, decider: &Device) -> bool {
    if reader.id == decider.id || stored == Stored::Cards {
        return false;
    }
    if stored.limit(&reader.limits).is_some() || reader.kind == Some(DeviceKind::StandaloneUnit) {
        return true;
    }
    let elsewhere = match stored {
        Stored::Fingers => decider.control.matches_fingers == Some(true),
        _ => stored.limit(&decider.limits).is_some(),
    };
    !elsewhere
}

fn finish(
    cx: &mut Cx<'_>,
    survey: &Survey,
    members: &Members<'_>,
    events: &BTreeMap<OpeningId, f64>,
    gathered: &Gathered<'_>,
) -> Holder {
    let (seat, device) = (gathered.seat, gathered.device);
    let mut stores = Vec::new();
    for (&stored, marks) in &gathered.stored {
        let openings: Vec<&Surveyed> = marks.iter().filter_map(|mark| survey.opening(mark)).collect();
        let needed = stored.needed(members.behind(&openings));
        let limit = stated(cx, device, |limits| stored.limit(limits));
        cx.sink.show(store_working(seat, stored, needed, limit, openings.len()));
        stores.push(Store { what: stored.name(), needed, limit });
    }
    let passing = gathered.openings.iter().filter_map(|mark| events.get(*mark));
    let events_per_day: f64 = if seat.decides() { passing.sum() } else { 0.0 };
    let log = stated(cx, device, |limits| limits.events).filter(|_| events_per_day > 0.0);
    let offline_days = log.map(|log| f64::from(log) / events_per_day);
    if let (Some(log), Some(days)) = (log, offline_days) {
        cx.sink.show(log_working(seat, log, events_per_day, days));
    }
    let openings = gathered.openings.iter().map(|&mark| mark.clone()).collect();
    Holder { label: seat.label(), device: device.id.clone(), openings, stores, events_per_day, offline_days }
}

/// A limit as the device states it; a kit without its own is limited by the controller inside.
fn stated<T>(cx: &Cx<'_>, device: &Device, read: impl Fn(&Limits) -> Option<T>) -> Option<T> {
    let inside = || {
        let parts = device.contains.iter().filter_map(|id| cx.device(id));
        parts.filter(|part| part.kind == Some(DeviceKind::Controller)).find_map(|part| read(&part.limits))
    };
    read(&device.limits).or_else(inside)
}

fn store_working(seat: Seat<'_>, stored: Stored, needed: u32, limit: Option<u32>, openings: usize) -> Working {
    let limit = limit.map_or_else(|| InputValue::from("not stated"), InputValue::from);
    Working {
        figure: seat.figure(stored.limit_key().trim_start_matches("limits.")),
        title: "Records to hold, growth included",
        value: needed.into(),
        unit: stored.name(),
        formula: "everybody with a right into a zone behind the openings, each person once",
        inputs: vec![Input::new("openings", openings as f64, ""), Input::new("limit", limit, stored.name())],
        source: "common practice",
    }
}

fn log_working(seat: Seat<'_>, log: u32, per_day: f64, days: f64) -> Working {
    Working {
        figure: seat.figure("offline_days"),
        title: "Days of events kept without the network",
        value: days.into(),
        unit: "days",
        formula: "log / events_per_day",
        inputs: vec![Input::new("log", log, "events"), Input::new("events_per_day", per_day, "events/day")],
        source: "common practice: one event for the decision, two for a watched leaf; passages divide as peak flows do",
    }
}
