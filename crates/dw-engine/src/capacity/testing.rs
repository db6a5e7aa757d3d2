//! One site for every test of the pass: some openings behind controllers with four ports, one group of people.

use std::sync::Arc;

use dw_core::{DeviceId, Money, OpeningId, RoomId, ZoneId};
use dw_job::catalogue::{Catalogue, Device, DeviceKind};
use dw_job::model::{CardNumber, CardRange, Factor, HeadEndKind, Right};
use dw_job::{Job, Profile};

use super::{CapacityPlan, capacity, verify};
use crate::Cx;
use crate::equip::{Choice, ControlNeed, Equipment, Equipped, Fitted, Role};
use crate::place::{PlacedController, Placement, Served};
use crate::price::testing as build;
use crate::survey::{Population, Survey};

/// What a test varies. Everybody passes ten times a day and enrols two fingers.
pub(super) struct Case {
    pub(super) openings: u32,
    pub(super) people: u32,
    /// Card store of the controllers.
    pub(super) cards: Option<u32>,
    /// Finger store of the controllers; with one, the readers take fingers instead of cards.
    pub(super) fingers: Option<u32>,
    /// Log of the controllers.
    pub(super) events: Option<u32>,
    /// Openings and cards of the only head-end.
    pub(super) head_end: Option<(u32, u32)>,
    /// Openings of the only licence.
    pub(super) licence: Option<u32>,
    /// Whether cards can be bought.
    pub(super) card: bool,
    /// What the cards carry.
    pub(super) cards_policy: Cards,
}

/// What the cards of a test carry.
#[derive(Clone)]
pub(super) struct Cards {
    pub(super) layout: Option<&'static str>,
    pub(super) facility: Option<u64>,
    pub(super) first: Option<u64>,
    /// Layout, facility code, first and last number of cards in use.
    pub(super) in_use: Vec<(&'static str, Option<u64>, u64, u64)>,
}

impl Default for Cards {
    fn default() -> Self {
        Self { layout: Some("w26"), facility: Some(90), first: None, in_use: Vec::new() }
    }
}

impl Cards {
    fn put(&self, job: &mut Job) {
        let cards = &mut job.policy.cards;
        cards.layout = self.layout.map(str::to_owned);
        cards.facility = self.facility.map(CardNumber);
        cards.first_number = self.first.map(CardNumber);
        let range = |&(layout, facility, first, last): &(&str, Option<u64>, u64, u64)| CardRange {
            layout: Some(layout.to_owned()),
            facility: facility.map(CardNumber),
            first: Some(CardNumber(first)),
            last: Some(CardNumber(last)),
            ..CardRange::default()
        };
        job.card_ranges = self.in_use.iter().map(range).collect();
    }
}

impl Default for Case {
    fn default() -> Self {
        Self {
            openings: 1,
            people: 100,
            cards: Some(100_000),
            fingers: None,
            events: Some(10_000_000),
            head_end: Some((10_000, 100_000)),
            licence: Some(1),
            card: true,
            cards_policy: Cards::default(),
        }
    }
}

/// Runs the pass and compares the codes raised.
pub(super) fn check(case: &Case, codes: &[&str]) {
    assert_eq!(plan(case).1, codes);
}

/// The plan and the codes raised.
pub(super) fn plan(case: &Case) -> (CapacityPlan, Vec<&'static str>) {
    let site = Site::of(case);
    let profile = Profile::default();
    let mut cx = Cx::new(&site.catalogue, &profile);
    let plan = capacity(&mut cx, &site.job, &site.survey, &site.equipment, &site.placement);
    (plan, cx.sink.findings.iter().map(|finding| finding.code).collect())
}

/// Headlines of the judge over a plan.
pub(super) fn verified(case: &Case, plan: &CapacityPlan) -> Vec<String> {
    let site = Site::of(case);
    let profile = Profile::default();
    let mut cx = Cx::new(&site.catalogue, &profile);
    verify(&mut cx, &site.survey, &site.equipment, &site.placement, plan);
    cx.sink.findings.iter().map(|finding| finding.headline.clone()).collect()
}

/// All inputs of the pass.
pub(super) struct Site {
    pub(super) job: Job,
    pub(super) catalogue: Catalogue,
    pub(super) survey: Survey,
    pub(super) equipment: Equipment,
    pub(super) placement: Placement,
}

impl Site {
    pub(super) fn of(case: &Case) -> Self {
        let mut job = Job::default();
        job.rights.push(right("staff", "office"));
        case.cards_policy.put(&mut job);
        let people = population(case.people);
        let mut survey = build::survey();
        survey.groups.insert(dw_core::GroupId::new("staff"), people.clone());
        let mut equipment = Equipment { openings: Vec::new() };
        let mut placement = build::placement();
        for number in 0..case.openings {
            let mark = OpeningId::new(&format!("D-{}", number + 1));
            let mut opening = build::surveyed(&mark);
            opening.zone = Some(ZoneId::new("office"));
            opening.users = people.clone();
            opening.watch_position = true;
            survey.openings.push(opening);
            let factor = if case.fingers.is_some() { Factor::Finger } else { Factor::Card };
            equipment.openings.push(equipped(&mark, &[factor]));
            serve(&mut placement, &mark, number);
        }
        Self { job, catalogue: catalogue(case), survey, equipment, placement }
    }
}

pub(super) fn right(group: &str, zone: &str) -> Right {
    Right { group: Some(dw_core::GroupId::new(group)), zone: Some(ZoneId::new(zone)), schedule: None }
}

pub(super) fn population(people: u32) -> Population {
    Population {
        today: people,
        planned: people,
        passages_per_day: f64::from(people) * 10.0,
        finger_templates: people * 2,
        ..Population::default()
    }
}

/// The choice of a reader that asks for these factors.
pub(super) fn reads(factors: &[Factor]) -> Arc<Choice> {
    Arc::new(Choice {
        role: Role::ReaderIn,
        chosen: Some(DeviceId::new("reader")),
        whole_life: Money::ZERO,
        pinned: false,
        runner_up: None,
        excluded: Vec::new(),
        factors: factors.to_vec(),
    })
}

fn equipped(mark: &OpeningId, factors: &[Factor]) -> Equipped {
    let reader = Fitted { device: DeviceId::new("reader"), count: 1, role: Role::ReaderIn, kept: false };
    let control = ControlNeed::Ports { ports: 1, models: vec![DeviceId::new("controller")] };
    let mut equipped = build::equipped(mark, control, vec![reader]);
    equipped.choices.push(reads(factors));
    equipped
}

fn serve(placement: &mut Placement, mark: &OpeningId, number: u32) {
    let room = RoomId::new("T");
    if number.is_multiple_of(4) {
        let count = number / 4 + 1;
        placement.controllers.push(PlacedController {
            label: format!("T/C{count}"),
            room: room.clone(),
            device: DeviceId::new("controller"),
            number: count,
            ports: vec![None; 4],
            kept: false,
        });
    }
    let controller = placement.controllers.len() - 1;
    placement.controllers[controller].ports[number as usize % 4] = Some(mark.clone());
    placement.served.push(Served {
        mark: mark.clone(),
        room,
        controller: Some(controller),
        first_port: number % 4,
        length_m: dw_core::Metres::new(30.0),
        fixed: false,
        arrangement: dw_job::model::ArrangementKind::Ports,
        way: 0,
    });
}

fn catalogue(case: &Case) -> Catalogue {
    let mut controller = priced("controller", DeviceKind::Controller, 90_000);
    controller.limits.cards = case.cards;
    controller.limits.fingers = case.fingers;
    controller.limits.events = case.events;
    controller.control.matches_fingers = Some(case.fingers.is_some());
    let mut reader = priced("reader", DeviceKind::Reader, 14_000);
    reader.reading.factors = vec![if case.fingers.is_some() { Factor::Finger } else { Factor::Card }];
    let mut devices = vec![controller, reader];
    if let Some((openings, cards)) = case.head_end {
        let mut head_end = priced("head-end", DeviceKind::HeadEnd, 100_000);
        head_end.head_end = Some(HeadEndKind::OwnComputer);
        head_end.limits.openings = Some(openings);
        head_end.limits.cards = Some(cards);
        devices.push(head_end);
    }
    if let Some(openings) = case.licence {
        let mut licence = priced("licence", DeviceKind::Licence, 5000);
        licence.limits.openings = Some(openings);
        devices.push(licence);
    }
    if case.card {
        let mut card = priced("card", DeviceKind::Credential, 300);
        card.reading.factors = vec![Factor::Card];
        devices.push(card);
    }
    let devices = devices.into_iter().map(|device| (device.id.clone(), device)).collect();
    Catalogue { devices, ..Catalogue::default() }
}

pub(super) fn priced(id: &str, kind: DeviceKind, cents: i64) -> Device {
    Device { kind: Some(kind), price: Some(Money::from_cents(cents)), ..Device::new(id) }
}
