//! Figures of the pass that no single rule covers.

use std::collections::BTreeSet;

use dw_core::{DeviceId, GroupId, Money, OpeningId, ZoneId};
use dw_job::catalogue::DeviceKind;
use dw_job::model::{CardNumber, CardRange, Factor};
use dw_job::{Job, Profile};
use proptest::prelude::*;

use super::testing::{Case, Site, plan, population, priced, reads, right, verified};
use super::{CapacityPlan, capacity, events, licence_mix};
use crate::Cx;
use crate::equip::{ControlNeed, Role};

fn run(site: &Site) -> CapacityPlan {
    let profile = Profile::default();
    let mut cx = Cx::new(&site.catalogue, &profile);
    capacity(&mut cx, &site.job, &site.survey, &site.equipment, &site.placement)
}

/// Two openings on one controller: the office for staff, the store for staff and drivers.
fn two_zones() -> Site {
    let mut site = Site::of(&Case { openings: 2, people: 100, ..Case::default() });
    site.job.rights = vec![right("staff", "office"), right("staff", "store"), right("drivers", "store")];
    site.survey.groups.insert(GroupId::new("drivers"), population(30));
    site.survey.openings[1].zone = Some(ZoneId::new("store"));
    site.survey.openings[1].users = population(130);
    site
}

#[test]
fn a_controller_holds_each_person_once() {
    let plan = run(&two_zones());
    assert_eq!(plan.holders[0].stores[0].needed, 130);
    assert_eq!(plan.credentials, [(DeviceId::new("card"), 130)]);
}

#[test]
fn people_no_right_names_still_count_at_their_opening() {
    let mut site = two_zones();
    site.job.rights.clear();
    assert_eq!(run(&site).holders[0].stores[0].needed, 130);
}

#[test]
fn passages_are_spent_once_over_the_site() {
    let mut site = two_zones();
    site.survey.openings[0].peak_flow = 30;
    site.survey.openings[1].peak_flow = 10;
    let events = events::per_opening(&site.job, &site.survey, &site.equipment);
    // Staff: 1,000 passages a day, three quarters at the office; drivers: 300, all at the store; three events each.
    assert!((events[&OpeningId::new("D-1")] - 750.0 * 3.0).abs() < 1e-9);
    assert!((events[&OpeningId::new("D-2")] - 550.0 * 3.0).abs() < 1e-9);
}

#[test]
fn a_unit_with_its_own_store_holds_templates_and_cards_at_its_opening() {
    let mut site = Site::of(&Case { people: 40, ..Case::default() });
    let mut unit = priced("unit", DeviceKind::StandaloneUnit, 70_000);
    unit.reading.factors = vec![Factor::Card, Factor::Finger];
    (unit.limits.cards, unit.limits.fingers, unit.limits.events) = (Some(1000), Some(500), Some(10_000));
    site.catalogue.devices.insert(unit.id.clone(), unit);
    site.equipment.openings[0].choices = vec![reads(&[Factor::Card, Factor::Finger])];
    site.equipment.openings[0].control = ControlNeed::OwnUnit { unit: DeviceId::new("unit") };
    site.equipment.openings[0].devices[0].device = DeviceId::new("unit");
    site.placement.controllers.clear();
    site.placement.served[0].controller = None;
    let plan = run(&site);
    let stores: Vec<_> = plan.holders[0].stores.iter().map(|store| (store.what, store.needed)).collect();
    assert_eq!((plan.holders.len(), plan.holders[0].label.as_str()), (1, "D-1"));
    assert_eq!(stores, [("cards", 40), ("finger templates", 80)]);
}

#[test]
fn a_unit_that_reads_for_a_controller_keeps_its_templates_and_no_log() {
    let mut site = Site::of(&Case { people: 40, ..Case::default() });
    let mut unit = priced("unit", DeviceKind::StandaloneUnit, 90_000);
    unit.reading.factors = vec![Factor::Card, Factor::Face];
    unit.limits.faces = Some(100);
    site.catalogue.devices.insert(unit.id.clone(), unit);
    site.equipment.openings[0].choices = vec![reads(&[Factor::Face, Factor::Card])];
    site.equipment.openings[0].devices[0].device = DeviceId::new("unit");
    let plan = run(&site);
    let labels: Vec<_> = plan.holders.iter().map(|holder| holder.label.as_str()).collect();
    assert_eq!(labels, ["T/C1", "D-1 reader in"]);
    assert_eq!((plan.holders[0].stores[0].what, plan.holders[1].stores[0].what), ("cards", "face templates"));
    assert_eq!((plan.holders[1].events_per_day, plan.holders[1].offline_days), (0.0, None));
}

#[test]
fn vehicles_need_plates_where_plates_are_read() {
    let mut site = Site::of(&Case::default());
    site.survey.groups.get_mut(&GroupId::new("staff")).unwrap().vehicles = 25;
    site.survey.openings[0].users.vehicles = 25;
    let mut camera = priced("camera", DeviceKind::PlateCamera, 160_000);
    camera.reading.factors = vec![Factor::Plate];
    camera.limits.plates = Some(1000);
    let mut permit = priced("permit", DeviceKind::Credential, 90);
    permit.reading.factors = vec![Factor::Plate];
    for device in [camera, permit] {
        site.catalogue.devices.insert(device.id.clone(), device);
    }
    site.equipment.openings[0].devices[0].device = DeviceId::new("camera");
    site.equipment.openings[0].choices = vec![reads(&[Factor::Plate])];
    let plan = run(&site);
    assert_eq!(plan.credentials, [(DeviceId::new("permit"), 25)]);
    assert_eq!(plan.holders.last().unwrap().stores[0].needed, 25);
}

#[test]
fn a_kit_is_limited_by_the_controller_inside() {
    let mut site = Site::of(&Case { cards: Some(500), ..Case::default() });
    let mut kit = priced("kit", DeviceKind::Kit, 120_000);
    kit.contains = vec![DeviceId::new("controller")];
    site.catalogue.devices.insert(kit.id.clone(), kit);
    site.placement.controllers[0].device = DeviceId::new("kit");
    assert_eq!(run(&site).holders[0].stores[0].limit, Some(500));
}

#[test]
fn an_opening_without_control_needs_no_licence() {
    let mut site = Site::of(&Case { openings: 3, ..Case::default() });
    site.equipment.openings[2].control = ControlNeed::None;
    site.equipment.openings[2].devices.retain(|fitted| fitted.role != Role::ReaderIn);
    let plan = run(&site);
    assert_eq!((plan.openings, plan.licences), (2, vec![(DeviceId::new("licence"), 2)]));
}

#[test]
fn several_head_ends_cover_what_one_cannot() {
    let plan = plan(&Case { openings: 9, head_end: Some((4, 1000)), ..Case::default() }).0;
    assert_eq!((plan.head_end, plan.head_ends), (Some(DeviceId::new("head-end")), 3));
}

#[test]
fn an_empty_job_needs_nothing() {
    let site = Site::of(&Case { openings: 0, people: 0, ..Case::default() });
    let plan = run(&Site { job: Job::default(), ..site });
    assert_eq!((plan.openings, plan.head_end, plan.licences.len()), (0, None, 0));
}

#[test]
fn groups_get_their_numbers_in_a_row_after_those_in_use() {
    let mut site = two_zones();
    site.job.policy.cards.spare_percent = Some(5.0);
    site.job.card_ranges = vec![range(1, 500, None), range(501, 540, Some("staff"))];
    let order = run(&site).card_order.unwrap();
    assert_eq!((order.people, order.kept, order.spares, order.quantity), (130, 40, 5, 95));
    let blocks: Vec<_> = order.blocks.iter().map(|it| (it.group.to_string(), it.spares, it.first, it.last)).collect();
    // Drivers 30 and 2 spares; staff 60 and 3.
    assert_eq!(blocks, [("drivers".to_owned(), 2, 541, 572), ("staff".to_owned(), 3, 573, 635)]);
    assert_eq!(run(&site).credentials, [(DeviceId::new("card"), 95)]);
}

#[test]
fn people_who_all_keep_their_cards_need_no_order() {
    let mut site = two_zones();
    site.job.card_ranges = vec![range(1, 100, Some("staff")), range(101, 130, Some("drivers"))];
    assert_eq!((run(&site).card_order, run(&site).credentials.len()), (None, 0));
}

#[test]
fn the_judge_notices_a_number_given_twice() {
    let (mut plan, case) = (run(&two_zones()), Case::default());
    assert!(verified(&case, &plan).iter().all(|told| !told.contains("card number")));
    let order = plan.card_order.as_mut().unwrap();
    order.blocks[1].first -= 1;
    let told = verified(&case, &plan).join("\n");
    assert!(told.contains("share card number 30") && told.contains("130 cards to order, 131 numbers"), "{told}");
}

fn range(first: u64, last: u64, kept_by: Option<&str>) -> CardRange {
    CardRange {
        layout: Some("w26".to_owned()),
        facility: Some(CardNumber(90)),
        first: Some(CardNumber(first)),
        last: Some(CardNumber(last)),
        kept_by: kept_by.map(GroupId::new),
        ..CardRange::default()
    }
}

/// Every mix up to `most` of each pack.
fn cheapest_by_trying(openings: u32, packs: &[(u32, Money)]) -> Money {
    let mut costs = BTreeSet::new();
    let most = |pack: usize| openings.div_ceil(packs[pack].0);
    for a in 0..=most(0) {
        for b in 0..=most(1) {
            for c in 0..=most(2) {
                if a * packs[0].0 + b * packs[1].0 + c * packs[2].0 >= openings {
                    costs.insert(packs[0].1 * a + packs[1].1 * b + packs[2].1 * c);
                }
            }
        }
    }
    *costs.first().unwrap()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn the_licence_mix_is_the_cheapest_of_all(
        openings in 1_u32..40,
        packs in prop::collection::vec((1_u32..20, 1_i64..10_000), 3),
    ) {
        let packs: Vec<(u32, Money)> = packs.into_iter().map(|(size, cents)| (size, Money::from_cents(cents))).collect();
        let (counts, cost) = licence_mix(openings, &packs).unwrap();
        let bought: u32 = counts.iter().zip(&packs).map(|(count, pack)| count * pack.0).sum();
        let paid: Money = counts.iter().zip(&packs).map(|(count, pack)| pack.1 * *count).sum();
        prop_assert!(bought >= openings);
        prop_assert_eq!(paid, cost);
        prop_assert_eq!(cost, cheapest_by_trying(openings, &packs));
    }

    #[test]
    fn the_union_lies_between_the_largest_and_the_sum(a in 0_u32..500, b in 0_u32..500, shared in 0_u32..500) {
        let mut site = Site::of(&Case { openings: 2, ..Case::default() });
        let people = [("a", a), ("b", b), ("shared", shared)];
        site.survey.groups = people.iter().map(|(id, count)| (GroupId::new(id), population(*count))).collect();
        site.job.rights = vec![right("a", "x"), right("shared", "x"), right("b", "y"), right("shared", "y")];
        for (opening, (zone, users)) in site.survey.openings.iter_mut().zip([("x", a + shared), ("y", b + shared)]) {
            opening.zone = Some(ZoneId::new(zone));
            opening.users = population(users);
        }
        prop_assert_eq!(run(&site).holders[0].stores[0].needed, a + b + shared);
    }
}
