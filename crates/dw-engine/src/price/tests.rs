//! Figures of the pass that no single rule covers, and properties of every price.

use dw_core::{BuildingId, DeviceId, Hours, Metres, Money, OpeningId, RoomId, StoreyId, Watts};
use dw_job::catalogue::{CableUse, DeviceKind};
use dw_job::model::{Existing, Exposure, Extra, Keep, OpeningKind, Storey};
use proptest::prelude::*;
use rust_decimal::Decimal;

use super::testing::{Site, price, run, run_of, verified};
use super::{MaterialLine, Price};
use crate::equip::Role;
use crate::power::NetworkFeed;
use crate::route::CutReel;

/// How many of a device are bought.
fn bought(price: &Price, device: &str) -> i64 {
    let lines = price.materials.iter().filter(|line| line.device == DeviceId::new(device));
    lines.map(|line| line.quantity as i64).sum()
}

fn hours(price: &Price, task: &str) -> Hours {
    price.labour.iter().filter(|line| line.task == task).map(|line| line.hours_h + line.out_of_hours_h).sum()
}

#[test]
fn five_doors_are_priced_as_by_hand() {
    let price = price(&Site::doors(5));
    // Five doors: 142.00 + 98.00 + 22.50 each; two controllers with enclosure, supply, two batteries: 980 + 142 + 176
    // + 48 each; 162 m of cable at 0.42; 275 cards at 3.20.
    assert_eq!(price.materials_cost, Money::from_cents(5 * 26_250 + 2 * 134_600 + 6804 + 88_000));
    // Fitting 48.00/h: 1.75 h a door, 1.00 + 0.75 + 0.50 + 2 x 0.25 h a controller; setting to work 64.00/h, half of
    // that; cable 5 x 0.3 h; tasks 5 x 1.5 and 2 x 0.75 at 48.00, 2 x 0.5, 2.5 x 4 and 8 at 64.00.
    let fitting = 5.0 * 1.75 + 2.0 * 2.75;
    let cents = 4800.0 * (fitting + 1.5 + 7.5 + 1.5) + 6400.0 * (fitting / 2.0 + 1.0 + 10.0 + 8.0);
    assert_eq!(price.labour_cost, Money::from_cents(cents as i64));
    let net = price.materials_cost.times(Decimal::new(122, 2)) + price.labour_cost.times(Decimal::new(115, 2));
    assert_eq!(price.net, net);
    assert_eq!(price.total, net + net.times(Decimal::new(2, 1)));
    assert_eq!(price.openings[0].hours_h, Hours::new(1.75 * 1.5 + 0.3 + 1.5));
    assert_eq!(price.tax_name, "Tax 20 %");
}

#[test]
fn sections_come_in_the_order_of_paper() {
    let price = price(&Site::doors(1));
    let sections: Vec<&str> = price.materials.iter().map(|line| line.section).collect();
    assert_eq!(sections, ["Control", "Readers", "Locks", "Door devices", "Power", "Power", "Power", "Cable", "People"]);
}

#[test]
fn a_kit_brings_its_own_enclosure_and_supply() {
    let mut site = Site::doors(4);
    let device = site.device("controller");
    device.kind = Some(DeviceKind::Kit);
    device.contains = vec![DeviceId::new("enclosure"), DeviceId::new("supply")];
    let price = price(&site);
    assert_eq!((bought(&price, "enclosure"), bought(&price, "supply"), bought(&price, "battery")), (0, 0, 2));
}

#[test]
fn a_second_supply_beside_a_kit_is_bought() {
    let mut site = Site::doors(4);
    let device = site.device("controller");
    device.kind = Some(DeviceKind::Kit);
    device.contains = vec![DeviceId::new("enclosure"), DeviceId::new("supply")];
    site.power.enclosures[0].supplies = 2;
    assert_eq!(bought(&price(&site), "supply"), 1);
}

#[test]
fn a_kit_named_as_its_own_enclosure_and_supply_is_bought_once() {
    let mut site = Site::doors(4);
    site.device("controller").kind = Some(DeviceKind::Kit);
    site.power.enclosures[0].enclosure = Some(DeviceId::new("controller"));
    site.power.enclosures[0].supply = Some(DeviceId::new("controller"));
    let price = price(&site);
    assert_eq!((bought(&price, "controller"), bought(&price, "enclosure"), bought(&price, "supply")), (1, 0, 0));
}

#[test]
fn what_stays_is_not_bought_and_only_set_to_work() {
    let mut site = Site::doors(4);
    for fitted in &mut site.equipment.openings[0].devices {
        fitted.kept = true;
    }
    site.placement.controllers[0].kept = true;
    let mut row = Existing::new("X-1");
    (row.device, row.room) = (Some(DeviceId::new("supply")), Some(RoomId::new("T")));
    row.decision = Some(Keep::Kept);
    site.job.existing.push(row);
    let price = price(&site);
    assert_eq!((bought(&price, "lock"), bought(&price, "controller"), bought(&price, "supply")), (3, 0, 0));
    assert_eq!(price.openings[0].hours_h, Hours::new(1.75 / 2.0 + 0.3 + 1.5));
}

#[test]
fn a_cable_that_is_in_the_wall_is_neither_bought_nor_pulled() {
    let mut site = Site::doors(1);
    site.cables.runs[0].existing = true;
    site.cables.runs[0].device = None;
    site.cables.purchases.clear();
    let price = price(&site);
    assert_eq!((bought(&price, "cable"), hours(&price, "Pull cable")), (0, Hours::ZERO));
}

#[test]
fn work_out_of_hours_costs_its_factor_at_its_opening_only() {
    let (normal, mut site) = (price(&Site::doors(2)), Site::doors(2));
    site.survey.openings[1].out_of_hours = true;
    let late = price(&site);
    assert_eq!(late.openings[0], normal.openings[0]);
    assert_eq!(late.openings[1].hours_h, normal.openings[1].hours_h);
    assert_eq!(late.openings[1].labour, normal.openings[1].labour.times(Decimal::new(15, 1)));
    let extra = late.labour_cost - normal.labour_cost;
    assert_eq!(extra, normal.openings[1].labour.times(Decimal::new(5, 1)));
}

#[test]
fn lanes_share_bodies_evenly() {
    let mut site = Site::doors(4);
    let lock = site.device("lock");
    lock.kind = Some(DeviceKind::Turnstile);
    lock.lanes = Some(2);
    for lane in [1, 3] {
        site.equipment.openings[lane].devices[1].count = 0;
    }
    let whole = price(&site);
    assert_eq!(bought(&whole, "lock"), 2);
    assert_eq!(whole.openings[0].materials, Money::from_cents(14_200 + 4900 + 2250 + 1260));
    assert_eq!(whole.openings[0].net, whole.openings[1].net);
    // One lane alone in its body: three lanes take two bodies, and no part of one is lost.
    site.equipment.openings[2].devices.remove(1);
    site.equipment.openings[3].devices[1].count = 1;
    let odd = price(&site);
    assert_eq!(bought(&odd, "lock"), 2);
    assert_eq!(verified(&site, &odd), [""; 0]);
}

#[test]
fn extras_are_bought_and_fitted() {
    let mut site = Site::doors(1);
    site.job.extras.push(Extra { device: Some(DeviceId::new("camera")), count: Some(2), location: None });
    let (before, after) = (price(&Site::doors(1)), price(&site));
    assert_eq!(bought(&after, "camera"), 2);
    assert_eq!(hours(&after, "Fit devices") - hours(&before, "Fit devices"), Hours::new(6.0));
}

#[test]
fn surge_protectors_among_the_extras_are_not_bought_twice() {
    let mut site = Site::doors(2);
    for opening in &mut site.survey.openings {
        opening.kind = OpeningKind::Gate;
        opening.exposure = vec![Exposure::Outdoors];
    }
    assert_eq!(bought(&price(&site), "surge"), 2);
    site.job.extras.push(Extra { device: Some(DeviceId::new("surge")), count: Some(1), location: None });
    assert_eq!(bought(&price(&site), "surge"), 2);
}

#[test]
fn credentials_among_the_extras_are_not_bought_twice() {
    let mut site = Site::doors(1);
    site.job.extras.push(Extra { device: Some(DeviceId::new("card")), count: Some(100), location: None });
    assert_eq!(bought(&price(&site), "card"), 275, "275 people, 100 of their cards bought by number");
    site.job.extras[0].count = Some(300);
    assert_eq!(bought(&price(&site), "card"), 300, "more than everybody needs");
}

#[test]
fn a_task_for_readers_and_locks_is_booked_only_where_one_is_newly_fitted() {
    let mut site = Site::doors(2);
    site.equipment.openings[1].devices.retain(|fitted| fitted.role == Role::DoorContact);
    site.catalogue.tasks[0].fitted = vec![DeviceKind::DoorContact];
    assert_eq!(hours(&price(&site), "terminate"), Hours::new(3.0));
    site.catalogue.tasks[0].fitted = vec![DeviceKind::Reader, DeviceKind::Lock];
    assert_eq!(hours(&price(&site), "terminate"), Hours::new(1.5), "the second door is only watched");
    for fitted in &mut site.equipment.openings[0].devices {
        fitted.kept = true;
    }
    assert_eq!(hours(&price(&site), "terminate"), Hours::ZERO, "what stays is there already");
}

#[test]
fn lines_between_buildings_are_protected_at_both_ends() {
    let mut site = Site::doors(1);
    for (storey, building) in [("ground", "hall"), ("yard", "pump house")] {
        let mut row = Storey::new(storey);
        row.building = Some(BuildingId::new(building));
        site.job.storeys.push(row);
    }
    site.survey.openings[0].storey = StoreyId::new("yard");
    assert_eq!(bought(&price(&site), "surge"), 2);
    assert_eq!(verified(&site, &price(&site)), [""; 0]);
}

#[test]
fn switches_cover_ports_and_power() {
    let mut site = Site::doors(4);
    let device = site.device("switch");
    (device.network.power_budget, device.network.class) = (Some(Watts::new(120.0)), Some(4));
    site.survey.rooms[0].network_ports = Some(10);
    site.survey.rooms[0].network_power_w = Some(Watts::new(30.0));
    for number in 1..=4 {
        site.power.network_feeds.push(NetworkFeed {
            mark: OpeningId::new(&format!("D-{number}")),
            room: RoomId::new("T"),
            splitter: None,
            class: Some(4),
            load_w: Watts::new(20.0),
            device_w: Watts::new(25.5),
            source_w: Watts::new(30.0),
            length_m: Metres::new(30.0),
        });
    }
    // 120 W needed, 30 W free: 90 W short, one switch of 120 W.
    assert_eq!(bought(&price(&site), "switch"), 1);
    site.survey.rooms[0].network_power_w = Some(Watts::new(120.0));
    assert_eq!(bought(&price(&site), "switch"), 0);
    site.power.network_feeds[0].class = Some(6);
    site.survey.rooms[0].network_power_w = Some(Watts::ZERO);
    assert_eq!(run(&site).1.sink.findings[0].code, "PRC-011");
}

#[test]
fn cable_is_held_back_by_the_share_of_its_openings() {
    let mut site = Site::doors(4);
    site.survey.openings[0].orderable = false;
    let line = |price: &Price| -> MaterialLine {
        price.materials.iter().find(|line| line.device == DeviceId::new("cable")).cloned().unwrap()
    };
    let line = line(&price(&site));
    // 120 m cut, 129.6 bought: 130 by the whole metre, a quarter held back.
    assert_eq!((line.quantity, line.held_back), (130.0, 33.0));
}

#[test]
fn keeping_counts_yearly_cost_and_replacements() {
    let mut site = Site::doors(1);
    site.survey.settings.money.discount_share = 0.0;
    for device in site.catalogue.devices.values_mut() {
        device.life_years = None;
    }
    site.device("battery").life_years = Some(4.0);
    site.device("controller").yearly_cost = Some(Money::from_cents(1000));
    let price = price(&site);
    assert_eq!(price.yearly, Money::from_cents(1220));
    // Two batteries twice in ten years: 24.00 x 1.22 and (0.25 h x 48.00 + 0.125 h x 64.00) x 1.15 each.
    let batteries = Money::from_cents(4 * (2928 + 2300));
    assert_eq!(price.whole_life, price.net + Money::from_cents(12_200) + batteries);
}

#[test]
fn every_total_and_opening_has_a_working() {
    let site = Site::doors(2);
    let (_, cx) = run(&site);
    let figures: Vec<&str> = cx.sink.workings.iter().map(|working| working.figure.path()).collect();
    for figure in
        ["price/net", "price/total", "price/materials_cost", "price/shared", "opening/D-2/hours_h", "opening/D-2/net"]
    {
        assert!(figures.contains(&figure), "{figure}");
    }
}

#[test]
fn an_empty_catalogue_and_a_huge_job_do_not_panic() {
    let mut site = Site::doors(3);
    site.catalogue = dw_job::Catalogue::default();
    assert_eq!(price(&site).net, Money::ZERO);
    let mut site = Site::doors(3);
    site.device("lock").price = Some(Money::new(Decimal::MAX));
    site.device("reader").labour.fit = Some(Hours::new(1e300));
    site.equipment.openings[0].devices[0].count = u32::MAX;
    site.cables.purchases[0].bought_m = Metres::new(1e300);
    site.cables.runs[0].length_m = Metres::new(1e300);
    site.job.extras.push(Extra { device: Some(DeviceId::new("lock")), count: Some(u32::MAX), location: None });
    assert!(price(&site).net > Money::ZERO);
}

/// Doors with any quantities, prices, rates, mark-ups and hours.
fn any_site() -> impl Strategy<Value = Site> {
    let numbers = (1_u32..12, 1_i64..200_000, 1_i64..20_000, 0_i64..5000, 0_i64..5000, 0_i64..3000);
    let measures = (0.0..9.0_f64, 0.0..200.0_f64, prop::collection::vec(any::<bool>(), 12), 1_u32..4);
    (numbers, measures).prop_map(|((doors, cents, rate, markup, work, tax), (fit, length, late, count))| {
        let mut site = Site::doors(doors);
        site.device("lock").price = Some(Money::new(Decimal::new(cents, 3)));
        site.device("lock").labour.fit = Some(Hours::new(fit));
        site.catalogue.grades[0].rate_per_hour = Some(Money::new(Decimal::new(rate, 2)));
        let money = &mut site.survey.settings.money;
        (money.equipment_markup, money.labour_markup) = (Decimal::new(markup, 4), Decimal::new(work, 4));
        money.tax = Decimal::new(tax, 4);
        for (opening, late) in site.survey.openings.iter_mut().zip(late) {
            (opening.out_of_hours, opening.orderable) = (late, !late);
        }
        site.equipment.openings[0].devices[1].count = count;
        site.cables.runs.push(run_of(&OpeningId::new("D-1"), "cable", CableUse::Lock, Metres::new(length)));
        site
    })
}

/// Two doors with 60 m of cable from a reel of 100 m at this price, stated a second time at another; gives the price.
fn on_a_reel(cents: i64, again: Option<i64>) -> Price {
    let mut site = Site::doors(2);
    let cable = &mut site.device("cable").cable;
    (cable.reel, cable.reel_price) = (Some(Metres::new(100.0)), Some(Money::from_cents(cents)));
    cable.short_reel.length = again.and(cable.reel);
    cable.short_reel.price = again.map(Money::from_cents);
    let purchase = &mut site.cables.purchases[0];
    (purchase.bought_m, purchase.least_bought_m) = (Metres::new(100.0), Metres::new(100.0));
    purchase.reels = vec![CutReel { length_m: Metres::new(100.0), cuts: Vec::new(), left_m: Metres::new(100.0) }];
    price(&site)
}

#[test]
fn a_reel_stated_twice_is_counted_once_at_its_lower_price() {
    let reels = |price: &Price| -> Vec<(f64, Money)> {
        let lines = price.materials.iter().filter(|line| line.unit == "reel");
        lines.map(|line| (line.quantity, line.total)).collect()
    };
    assert_eq!(reels(&on_a_reel(9_000, Some(8_000))), [(1.0, Money::from_cents(8_000))]);
    assert_eq!(reels(&on_a_reel(8_000, Some(9_000))), [(1.0, Money::from_cents(8_000))]);
}

#[test]
fn openings_take_the_metres_of_a_reel_at_what_they_cost_on_it() {
    // The metre costs 0.42 by itself. On a reel of 5.00 it costs 0.05, on one of 20.00 0.20: 30 m with 22 % on them.
    let first = |price: &Price| price.openings[0].net;
    assert_eq!(first(&on_a_reel(2_000, None)) - first(&on_a_reel(500, None)), Money::from_cents(549));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(128))]

    #[test]
    fn every_price_reconciles_to_the_cent(site in any_site()) {
        let price = price(&site);
        prop_assert_eq!(verified(&site, &price), [""; 0]);
        let openings: Money = price.openings.iter().map(|opening| opening.net).sum();
        prop_assert_eq!(openings + price.shared, price.net);
        prop_assert!(price.materials.iter().all(|line| line.held_back <= line.quantity));
    }

    #[test]
    fn the_order_of_devices_cables_and_controllers_changes_nothing(site in any_site(), seed in any::<u32>()) {
        let before = serde_json::to_string(&price(&site)).unwrap();
        let mut shuffled = site;
        for equipped in &mut shuffled.equipment.openings {
            equipped.devices.reverse();
        }
        let turned = (seed as usize) % shuffled.cables.runs.len();
        shuffled.cables.runs.rotate_left(turned);
        shuffled.power.enclosures.reverse();
        prop_assert_eq!(serde_json::to_string(&price(&shuffled)).unwrap(), before);
    }

    #[test]
    fn one_more_lock_never_costs_less(site in any_site()) {
        let before = price(&site).net;
        let mut more = site;
        let devices = &mut more.equipment.openings[0].devices;
        devices.extend(devices.iter().find(|fitted| fitted.role == Role::Lock).cloned());
        prop_assert!(price(&more).net >= before);
    }
}

#[test]
fn a_trench_is_a_line_at_the_price_of_the_policy_and_its_fibre_is_bought_and_pulled() {
    let mut site = Site::doors(1);
    let without = price(&site);
    let fibre = Some(DeviceId::new("cable"));
    let trench = crate::route::Trench { length_m: Metres::new(40.5), fibre, fibre_m: Metres::new(44.0) };
    site.survey.settings.money.trench_metre = Some(Money::from_cents(9_000));
    site.routes.links.push(crate::route::RoomLink {
        from: RoomId::new("R"),
        to: RoomId::new("T"),
        device: None,
        length_m: trench.length_m,
        trench: Some(trench),
        bridge_cost: None,
        trench_cost: None,
    });
    let dug = price(&site);
    let line = dug.materials.iter().find(|line| line.device == DeviceId::new("TRENCH")).unwrap();
    assert_eq!((line.section, line.quantity, line.unit), ("Network", 40.5, "m"));
    assert_eq!((line.unit_price, line.total), (Some(Money::from_cents(9_000)), Money::from_cents(364_500)));
    assert_eq!(bought(&dug, "cable") - bought(&without, "cable"), 44);
    assert!(hours(&dug, "Pull cable") > hours(&without, "Pull cable"));
    assert_eq!(bought(&dug, "bridge"), 0);
    assert_eq!(dug.materials_cost - without.materials_cost, Money::from_cents(364_500 + 44 * 42));
    assert!(verified(&site, &dug).is_empty());
}
