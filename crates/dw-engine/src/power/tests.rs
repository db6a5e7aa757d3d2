//! The pass as a whole, and what must hold for every length, gauge, temperature and load.

use std::collections::BTreeSet;

use dw_core::{Amps, Celsius, DeviceId, FigureId, Hours, Metres, Ohms, OhmsPerMetre, OpeningId, SquareMm, Volts};
use dw_job::Profile;
use dw_job::catalogue::Draws;
use dw_job::model::FailMode;
use proptest::prelude::*;

use super::testing::*;
use super::wire_tables::{Strand, gauge_resistance};
use super::{battery, power, voltage, wire};
use crate::calc;
use crate::equip::ControlNeed;

fn id(text: &str) -> DeviceId {
    DeviceId::new(text)
}

#[test]
fn a_plain_door_gets_the_least_dear_supply_battery_and_cable_that_suffice() {
    let (plan, found) = site().check();
    assert_eq!(codes(&found), [""; 0]);
    let [enclosure] = &plan.enclosures[..] else { panic!("one enclosure") };
    assert_eq!(enclosure.supply, Some(id("supply-5")));
    assert_eq!((enclosure.battery.clone(), enclosure.batteries), (Some(id("battery-7")), 1));
    // 0.2 controller + 0.08 reader + 0.4 lock released 36 x 5 s in the hour.
    assert!((enclosure.standby_a.get() - (0.2 + 0.08 + 0.4 * 0.05)).abs() < 1e-12);
    assert!((enclosure.active_a.get() - (0.3 + 0.1 + 0.4)).abs() < 1e-12);
    assert!((enclosure.peak_a.get() - (0.8 + 0.2)).abs() < 1e-12);
    // Plain charge 0.3 x 4 + 0.8 x 5/60; the alarm runs above the rate of a battery that small, standby does too.
    assert!(enclosure.needed_ah.get() > (1.2 + 0.8 / 12.0) * 1.1 / 0.8 * 1.056);
    assert!(enclosure.standby_h >= Hours::new(4.0));
    let [lock] = &plan.locks[..] else { panic!("one lock") };
    assert_eq!((lock.cable.clone(), lock.parallel), (Some(id("cable-thin")), 1));
    assert!((lock.loop_ohm.get() - 2.0 * 20.0 * 0.026).abs() < 1e-12);
    assert!((lock.at_end_v.get() - (10.5 - 0.6 * 1.04)).abs() < 1e-12);
    assert!((lock.at_mains_v.get() - (13.8 - 0.6 * 1.04)).abs() < 1e-12);
}

#[test]
fn a_fail_safe_lock_is_held_all_through_standby() {
    let mut site = site();
    site.equipped("D-1").fail_mode = Some(FailMode::Safe);
    let held = site.check().0.enclosures[0].standby_a;
    assert!((held.get() - (0.2 + 0.08 + 0.3)).abs() < 1e-12);
    site.device("lock").electrical.standby = Some(Amps::ZERO);
    let held = site.check().0.enclosures[0].standby_a;
    assert!((held.get() - (0.2 + 0.08 + 0.4)).abs() < 1e-12, "held by its working current");
}

#[test]
fn a_longer_run_gets_a_thicker_cable_and_then_two_conductors_in_parallel() {
    let mut site = site();
    let mut chosen = |metres: f64| {
        site.length("D-1", metres);
        let lock = site.check().0.locks.remove(0);
        (lock.cable.map(|cable| cable.to_string()), lock.parallel)
    };
    let cable = |name: &str| Some(name.to_owned());
    assert_eq!(chosen(25.0), (cable("cable-thin"), 1));
    assert_eq!(chosen(60.0), (cable("cable-thick"), 1));
    assert_eq!(chosen(120.0), (cable("cable-thick"), 2));
    assert_eq!(chosen(250.0), (None, 2));
}

#[test]
fn an_opening_outdoors_gets_a_cable_for_outdoors() {
    let mut site = site();
    site.opening("D-1").exposure = vec![dw_job::model::Exposure::Outdoors];
    assert_eq!(site.check().0.locks[0].cable, Some(id("cable-thick")));
}

#[test]
fn a_cable_in_the_wall_serves_with_its_own_gauge_and_length() {
    let mut site = site();
    site.equipped("D-1").cables[0].existing = true;
    let old = &mut site.opening("D-1").existing_cable;
    (old.area, old.length) = (Some(SquareMm::new(1.0)), Some(Metres::new(30.0)));
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    let lock = &plan.locks[0];
    assert_eq!((lock.cable.clone(), lock.length_m), (None, Metres::new(30.0)));
    assert!((lock.loop_ohm.get() - 2.0 * 30.0 * 0.0195).abs() < 1e-12, "IEC 60228 class 5, 1 mm²");
    site.opening("D-1").existing_cable.length = Some(Metres::new(100.0));
    let (_, found) = site.check();
    assert_eq!(codes(&found), ["POW-003"]);
    assert!(found[0].notes[0].contains("the cable in the wall would reach"), "{:?}", found[0].notes);
}

#[test]
fn locks_of_another_voltage_are_fed_apart_and_each_enclosure_has_one_voltage() {
    let mut site = site();
    site.add_opening("D-2");
    site.device("ctrl").electrical.max = Some(Volts::new(15.0));
    site.equipped("D-2").devices[1].device = id("lock-24");
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    let seen: Vec<_> =
        plan.enclosures.iter().map(|one| (one.nominal_v.get(), one.units.len(), one.batteries)).collect();
    assert_eq!(seen, [(12.0, 0, 1), (24.0, 1, 2)]);
    assert_eq!(plan.locks[1].enclosure, Some(plan.enclosures[1].id.clone()));
    assert!(plan.locks[1].at_end_v.get() > 20.0, "two blocks in series end at 21 V");
}

#[test]
fn a_controller_that_takes_both_voltages_goes_where_its_locks_are() {
    let mut site = site();
    site.equipped("D-1").devices[1].device = id("lock-24");
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    assert_eq!((plan.enclosures.len(), plan.enclosures[0].nominal_v), (1, Volts::new(24.0)));
    assert_eq!(plan.enclosures[0].supply, Some(id("supply-24")));
}

#[test]
fn a_kit_brings_its_own_enclosure_and_supply_and_gets_its_battery() {
    let mut site = site();
    site.placement.controllers[0].device = id("kit");
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    let enclosure = &plan.enclosures[0];
    assert_eq!((enclosure.enclosure.clone(), enclosure.supply.clone()), (Some(id("kit")), Some(id("kit"))));
    assert_eq!(enclosure.battery, Some(id("battery-7")));
    site.device("kit").supply.output = Some(Amps::new(0.9));
    let (_, found) = site.check();
    assert_eq!(codes(&found), ["POW-009"]);
    assert!(found[0].headline.contains("the supply in kit"), "{}", found[0].headline);
}

#[test]
fn a_unit_without_splitter_hangs_on_the_supply_of_its_room_with_its_lock() {
    let mut site = site();
    site.split("splitter", &[("unit", 1), ("lock", 1)]);
    site.equipped("D-1").devices.retain(|fitted| fitted.role != crate::equip::Role::Splitter);
    site.job.policy.power.standby = Some(Hours::new(4.0));
    site.device("unit").electrical.min = Some(Volts::new(9.0));
    site.device("lock").electrical.min = Some(Volts::new(9.0));
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    assert_eq!(plan.enclosures[0].units, [OpeningId::new("D-1")]);
    let lock = &plan.locks[0];
    assert!((lock.current_a.get() - (0.4 + 0.2)).abs() < 1e-12, "the lock with its inrush, the unit beside it");
    // 20 m of 0.75 mm² shared, 3 m from the unit to the lock.
    assert!((lock.shared_ohm.get() - 1.04).abs() < 1e-12 && (lock.loop_ohm.get() - 1.196).abs() < 1e-12);
    let [unit, at_lock] = &plan.devices[..] else { panic!("unit and lock") };
    assert!(!unit.on_unit && at_lock.on_unit);
    assert!((at_lock.at_end_v.unwrap() - lock.at_end_v).get().abs() < 1e-9);
    // 0.3 A at 12 V are 3.6 W, whatever the voltage.
    let volts = unit.at_end_v.unwrap().get();
    assert!((10.5 - volts - 1.04 * (0.6 + 3.6 / volts)).abs() < 1e-9, "{volts}");
    assert!((volts - lock.at_end_v.get() - 0.156 * 0.6).abs() < 1e-9);
    assert_eq!(unit.needs_v, Some(Volts::new(9.0)));
    site.device("unit").electrical.min = Some(Volts::new(10.1));
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    assert_eq!(plan.locks[0].cable, Some(id("cable-thick")), "thicker for the unit, the lock needs no more");
    site.length("D-1", 200.0);
    let (_, found) = site.check();
    assert_eq!(codes(&found), ["POW-003", "POW-024"]);
}

#[test]
fn a_reader_gets_power_cores_in_parallel_where_the_cheapest_cable_is_too_thin() {
    let mut site = site();
    site.wire_reader("D-1");
    let mut chosen = |metres: f64| {
        site.length("D-1", metres);
        site.device("lock").electrical.min = Some(Volts::new(1.0));
        let reader = site.check().0.devices.remove(0);
        (reader.cable.map(|cable| cable.to_string()), reader.parallel, reader.margin_v.unwrap().get() >= 0.0)
    };
    let cable = |name: &str| Some(name.to_owned());
    // 1.2 W at 9 V are 0.133 A; 1.5 V over it are 11.25 ohm, 71 m of 0.22 mm² and twice that in parallel.
    assert_eq!(chosen(71.0), (cable("signal-6"), 1, true));
    assert_eq!(chosen(73.0), (cable("signal-8"), 2, true));
    assert_eq!(chosen(143.0), (cable("signal-8"), 2, true));
    assert_eq!(chosen(145.0), (cable("signal-6"), 1, false), "none is enough: the cheapest, and a finding");
}

#[test]
fn a_reader_for_12_v_in_an_enclosure_of_24_v_gets_what_its_port_regulates() {
    let mut site = site();
    site.wire_reader("D-1");
    site.equipped("D-1").devices[1].device = id("lock-24");
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    let reader = &plan.devices[0];
    assert!(reader.at_mains_v < Volts::new(12.0) && reader.at_mains_v > Volts::new(11.5), "{reader:?}");
    assert_eq!(Some(reader.at_mains_v), reader.at_end_v);
}

#[test]
fn the_governing_case_is_the_one_with_the_least_margin() {
    let mut site = site();
    let of = |site: &mut Site| {
        let lock = site.check().0.devices.remove(0);
        (lock.governs, lock.margin_v.unwrap())
    };
    let (case, margin) = of(&mut site);
    assert_eq!(case, super::SourceCase::End);
    assert!((margin.get() - (10.5 - 0.6 * 1.04 - 9.6)).abs() < 1e-9);
    site.device("lock").electrical.max = Some(Volts::new(14.0));
    assert_eq!(of(&mut site).0, super::SourceCase::Float);
    site.job.policy.power.standby = Some(Hours::ZERO);
    site.device("lock").electrical.max = None;
    assert_eq!(of(&mut site).0, super::SourceCase::Mains);
}

#[test]
fn a_lock_behind_a_splitter_is_fed_at_the_door() {
    let mut site = site();
    site.split("splitter", &[("unit", 1), ("lock", 1)]);
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    assert_eq!(plan.locks[0].enclosure, None);
    assert!(plan.locks[0].length_m < Metres::new(10.0));
    assert!(plan.locks[0].at_mains_v < Volts::new(12.0));
}

#[test]
fn many_controllers_share_enclosures_within_places_and_supplies() {
    let mut site = site();
    for number in 2..=5 {
        let mut controller = site.placement.controllers[0].clone();
        controller.label = format!("TR-1/C{number}");
        controller.number = number;
        controller.ports = vec![None; 4];
        site.placement.controllers.push(controller);
    }
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    let sizes: Vec<usize> = plan.enclosures.iter().map(|one| one.controllers.len()).collect();
    assert_eq!(sizes, [2, 2, 1], "four places, two for each controller");
    let all: BTreeSet<usize> = plan.enclosures.iter().flat_map(|one| one.controllers.iter().copied()).collect();
    assert_eq!(all.len(), 5);
}

#[test]
fn a_battery_lasts_half_as_long_ten_kelvin_above_its_reference_and_no_longer_below_it() {
    let mut site = site();
    site.device("battery-7").life_years = Some(4.0);
    let of = |site: &mut Site| site.check().0.enclosures.remove(0);
    let plan = of(&mut site);
    let inside = plan.inside_c.get();
    assert!(inside > 25.0, "25 °C in the room and the heat of the supply");
    assert!((plan.battery_years.unwrap() - 4.0 * libm::pow(0.5, (inside - 25.0) / 10.0)).abs() < 1e-9);
    // 0.3 A in standby and 7 Ah in 48 h.
    assert!((plan.charger_a.get() - (0.3 + 1.15 * 7.0 / 48.0)).abs() < 1e-9);
    site.job.rooms[0].temperature_max = Some(Celsius::new(10.0));
    site.job.rooms[0].temperature_min = Some(Celsius::new(10.0));
    assert_eq!(of(&mut site).battery_years, Some(4.0));
    site.device("battery-7").life_years = None;
    assert_eq!(of(&mut site).battery_years, None);
}

#[test]
fn a_battery_without_standby_is_not_bought() {
    let mut site = site();
    site.job.policy.power.standby = Some(Hours::ZERO);
    let (plan, found) = site.check();
    assert_eq!(codes(&found), [""; 0]);
    assert_eq!((plan.enclosures[0].battery.clone(), plan.enclosures[0].batteries), (None, 0));
    assert_eq!(plan.locks[0].at_end_v, plan.locks[0].at_mains_v);
}

#[test]
fn every_figure_of_the_plan_has_its_working() {
    let mut site = site();
    let profile = Profile::default();
    let survey = crate::survey::survey(&mut crate::Cx::new(&site.catalogue, &profile), &site.job);
    let mut cx = crate::Cx::new(&site.catalogue, &profile);
    power(&mut cx, &site.job, &survey, &site.equipment, &site.placement, &site.routes);
    let shown: BTreeSet<String> = cx.sink.workings.iter().map(|working| working.figure.to_string()).collect();
    let enclosure = [
        "standby_a",
        "active_a",
        "peak_a",
        "needed_ah",
        "fitted_ah",
        "standby_h",
        "recharge_h",
        "heat_w",
        "mains_w",
        "inside_c",
    ];
    let lock = ["loop_ohm", "lock_mains_v", "lock_end_v", "lock_needs_v", "lock_current_a"];
    let wanted = enclosure.iter().map(|name| FigureId::new("enclosure", "TR-1/E1", name));
    for figure in wanted.chain(lock.iter().map(|name| FigureId::new("opening", "D-1", name))) {
        assert!(shown.contains(figure.path()), "{figure}");
    }
    site.network_unit(12.0);
    let mut cx = crate::Cx::new(&site.catalogue, &profile);
    power(&mut cx, &site.job, &survey, &site.equipment, &site.placement, &site.routes);
    let shown: BTreeSet<String> = cx.sink.workings.iter().map(|working| working.figure.to_string()).collect();
    assert!(shown.contains("opening/D-1/network_source_w") && shown.contains("room/TR-1/network_power_w"), "{shown:?}");
}

#[test]
fn a_lock_of_unknown_voltage_is_told_as_a_missing_figure_and_nothing_more() {
    let mut site = site();
    site.device("lock").electrical.nominal = None;
    let (plan, found) = site.check();
    assert_eq!(codes(&found), ["POW-001"]);
    assert_eq!(plan.locks, []);
}

#[test]
fn a_lock_without_any_cable_for_it_is_left_to_the_cable_schedule() {
    let mut site = site();
    site.catalogue.devices.remove(&id("cable-thick"));
    site.opening("D-1").exposure = vec![dw_job::model::Exposure::Outdoors];
    let (plan, found) = site.check();
    assert_eq!((codes(&found), plan.locks), (Vec::new(), Vec::new()));
}

#[test]
fn absurd_figures_count_as_missing_and_nothing_overflows() {
    let mut site = site();
    let huge = f64::MAX;
    site.device("lock").electrical.inrush = Amps::try_new(huge);
    site.device("reader").electrical.standby = Amps::try_new(-huge);
    site.device("reader").electrical.active = Amps::try_new(huge);
    site.device("supply-5").supply.output = Amps::try_new(huge);
    site.device("supply-10").supply.output_voltage = Volts::try_new(-huge);
    site.device("battery-7").battery.capacity = dw_core::AmpHours::try_new(1e-300);
    site.device("cable-thin").cable.resistance = OhmsPerMetre::try_new(huge);
    site.device("box").size.width = Metres::try_new(huge);
    site.length("D-1", huge);
    site.equipped("D-1").devices[0].count = u32::MAX;
    site.equipped("D-1").control = ControlNeed::Ports { ports: u32::MAX, models: Vec::new() };
    site.job.policy.power.standby = Hours::try_new(huge);
    let (_, found) = site.check();
    assert!(codes(&found).contains(&"POW-001"), "{:?}", codes(&found));
}

fn amps() -> impl Strategy<Value = f64> {
    (1_u32..20_000).prop_map(|milli| f64::from(milli) / 1000.0)
}

fn metres() -> impl Strategy<Value = f64> {
    (1_u32..50_000).prop_map(|centi| f64::from(centi) / 100.0)
}

proptest! {
    #[test]
    fn a_longer_cable_never_loses_less(a in metres(), b in metres(), awg in 10_u32..=26, current in amps()) {
        let (short, long) = (a.min(b), a.max(b));
        let (resistance, _) = gauge_resistance(awg, Strand::Stranded, Celsius::new(75.0));
        let lost = |metres| voltage::drop(
            Amps::new(current),
            voltage::loop_resistance(resistance, Metres::new(metres), 1, Ohms::ZERO),
        );
        prop_assert!(lost(long) >= lost(short));
    }

    #[test]
    fn a_thicker_conductor_never_loses_more(a in 0_u32..=40, b in 0_u32..=40, t in -20.0_f64..90.0, solid: bool) {
        let strand = if solid { Strand::Solid } else { Strand::Stranded };
        let of = |awg| gauge_resistance(awg, strand, Celsius::new(t)).0;
        prop_assert!(of(a.min(b)) <= of(a.max(b)), "{a} and {b} AWG at {t} °C");
    }

    #[test]
    fn a_hotter_conductor_never_resists_less(a in -40.0_f64..125.0, b in -40.0_f64..125.0, awg in 0_u32..=40) {
        let of = |t| gauge_resistance(awg, Strand::Stranded, Celsius::new(t)).0;
        prop_assert!(of(a.max(b)) >= of(a.min(b)));
    }

    #[test]
    fn more_standby_never_asks_for_a_smaller_battery(
        load in amps(), alarm in amps(), a in 0.1_f64..100.0, b in 0.1_f64..100.0, n in 1.0_f64..1.6,
    ) {
        let of = |hours| battery::rate_capacity(
            (Amps::new(load), Hours::new(hours)), (Amps::new(alarm), Hours::new(0.25)), Hours::new(20.0), n,
        );
        prop_assert!(of(a.max(b)).get() >= of(a.min(b)).get() * (1.0 - 1e-9));
    }

    #[test]
    fn a_battery_of_the_size_asked_for_lasts_and_a_smaller_one_does_not(
        load in amps(), alarm in amps(), hours in 0.5_f64..48.0, n in 1.0_f64..1.6,
    ) {
        let (rated, time) = (Hours::new(20.0), Hours::new(hours));
        let size = battery::rate_capacity((Amps::new(load), time), (Amps::new(alarm), Hours::new(0.25)), rated, n);
        let used = |capacity| {
            let lasts = |amps| battery::runtime(capacity, rated, Amps::new(amps), n).unwrap().get();
            hours / lasts(load) + 0.25 / lasts(alarm)
        };
        prop_assert!((used(size) - 1.0).abs() < 1e-6, "{}", used(size));
        prop_assert!(used(size * 0.99) > 1.0);
    }

    #[test]
    fn metric_and_us_inputs_agree(feet in 1_u32..5000, milliamps in 1_u32..5000, awg in 10_u32..=26, f in 0_u32..200) {
        let us = format!("length_ft={feet};current_ma={milliamps};awg={awg};temperature_f={f}");
        let (m, a, c) = (f64::from(feet) * 0.3048, f64::from(milliamps) / 1000.0, (f64::from(f) - 32.0) / 1.8);
        let metric = format!("length_m={m};current_a={a};awg={awg};temperature_c={c}");
        let of = |line: &str| match calc::run_line("voltage-drop", line).unwrap().value {
            dw_core::InputValue::Number(number) => number,
            dw_core::InputValue::Text(text) => panic!("{text}"),
        };
        prop_assert!((of(&us) - of(&metric)).abs() <= 1e-9 * of(&us).max(1.0));
    }

    #[test]
    fn gauge_and_area_of_the_same_copper_agree(awg in 10_u32..=26, t in -20.0_f64..90.0) {
        let area = wire::awg_area(awg);
        let by_area = wire::solid_resistance(area, 1.0, Celsius::new(t));
        let (by_gauge, _) = gauge_resistance(awg, Strand::Solid, Celsius::new(t));
        prop_assert!((by_area.get() - by_gauge.get()).abs() < 1e-12);
    }

    #[test]
    fn the_plan_of_any_unit_reader_and_lock_on_one_run_passes_its_judge(
        length in metres(), unit in amps(), surge in amps(), reader in amps(), lock in amps(), split: bool, kind in 0_usize..4,
    ) {
        let mut site = site();
        site.split("splitter", &[("unit", 1), ("reader", 1), ("lock", 1)]);
        site.job.policy.power.standby = Some(Hours::new(4.0));
        if !split {
            site.equipped("D-1").devices.retain(|fitted| fitted.role != crate::equip::Role::Splitter);
        }
        site.wire_reader("D-1");
        site.equipped("D-1").cables[0].local = true;
        site.length("D-1", length);
        site.device("unit").electrical.active = Some(Amps::new(unit / 5.0));
        site.device("unit").electrical.inrush = Some(Amps::new(surge / 5.0));
        site.device("reader").electrical.active = Some(Amps::new(reader / 20.0));
        site.device("lock").electrical.active = Some(Amps::new(lock / 5.0));
        site.device("lock").electrical.draws = [None, Some(Draws::Current), Some(Draws::Resistance), Some(Draws::Power)][kind];
        let (plan, found) = site.check();
        prop_assert!(codes(&found).iter().all(|code| *code < "POW-900"), "{:?}", found);
        prop_assert!(plan.devices.len() == 3 || plan.enclosures.iter().any(|one| one.supply.is_none()));
    }

    #[test]
    fn a_longer_run_a_hotter_conductor_and_a_larger_load_never_raise_the_voltage_at_a_reader(
        length in 1.0_f64..400.0, longer in 1.0_f64..2.0, t in 0.0_f64..60.0, hotter in 0.0_f64..40.0,
        load in 0.05_f64..0.4, more in 1.0_f64..2.0,
    ) {
        let at = |length: f64, t: f64, load: f64| {
            let mut site = site();
            site.wire_reader("D-1");
            site.catalogue.devices.remove(&id("signal-8"));
            site.length("D-1", length);
            site.job.policy.power.conductor_temperature = Some(Celsius::new(t));
            site.device("reader").electrical.active = Some(Amps::new(load));
            let reader = site.check().0.devices.remove(0);
            (reader.at_mains_v, reader.at_end_v.unwrap())
        };
        let base = at(length, t, load);
        for harder in [at(length * longer, t, load), at(length, t + hotter, load), at(length, t, load * more)] {
            prop_assert!(harder.0.get() <= base.0.get() + 1e-9 && harder.1.get() <= base.1.get() + 1e-9);
        }
    }

    #[test]
    fn the_plan_of_any_load_and_length_passes_its_judge(
        length in metres(), active in amps(), inrush in amps(), standby in 0_u32..30, safe: bool,
    ) {
        let mut site = site();
        site.length("D-1", length);
        site.device("lock").electrical.active = Some(Amps::new(active));
        site.device("lock").electrical.inrush = Some(Amps::new(inrush));
        site.job.policy.power.standby = Some(Hours::new(f64::from(standby)));
        site.equipped("D-1").fail_mode = Some(if safe { FailMode::Safe } else { FailMode::Secure });
        let (_, found) = site.check();
        prop_assert!(codes(&found).iter().all(|code| *code < "POW-900"), "{:?}", found);
    }
}
