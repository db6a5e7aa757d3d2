//! Metric and US customary units may be written anywhere and mean the same.
//!
//! Exact factors: international foot and inch, NIST SP 811 (2008) appendix B.8.

use dw_core::{Metres, units_at_edge};
use dw_job::{Catalogue, Job};
use proptest::prelude::*;

use crate::helpers::{file, lines, read, read_openings};

/// Whether two figures agree to the last few digits.
fn near(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-12 * a.abs().max(b.abs()).max(1.0)
}

#[test]
fn one_length_in_every_unit_is_one_length() {
    for (key, written) in
        [("x_m", "3.048"), ("x_mm", "3048"), ("x_cm", "304.8"), ("x_km", "0.003048"), ("x_ft", "10"), ("x_in", "120")]
    {
        let (job, sink) = read_openings(format!("mark,{key}\nD-1,{written}\n"));
        assert_eq!(lines(&sink), [""; 0], "{key}");
        let x = job.openings[0].x.map(Metres::get).expect("the length");
        assert!(near(x, 3.048), "{key}: {x}");
    }
}

#[test]
fn a_metric_and_a_us_survey_of_one_site_are_one_job() {
    let (metric, first) = read(
        "[[room]]\nid = \"A\"\nx_m = 30.48\ny_m = 1.524\ntemperature_max_c = 35\ntemperature_min_c = -40\n\
         [[opening]]\nmark = \"D-1\"\nx_m = 6.096\n[opening.door]\nclear_width_mm = 914.4\nstile_width_mm = 50.8\n\
         fire_rating_min = 90\n",
    );
    let (us, second) = read(
        "[[room]]\nid = \"A\"\nx_ft = 100\ny_in = 60\ntemperature_max_f = 95\ntemperature_min_f = -40\n\
         [[opening]]\nmark = \"D-1\"\nx_ft = 20\n[opening.door]\nclear_width_in = 36\nstile_width_in = 2\n\
         fire_rating_h = 1.5\n",
    );
    assert_eq!((lines(&first), lines(&second)), (vec![], vec![]));
    let figures = |job: &Job| {
        let (room, door) = (&job.rooms[0], &job.openings[0].door);
        [
            room.x.map(Metres::get),
            room.y.map(Metres::get),
            room.temperature_max.map(dw_core::Celsius::get),
            room.temperature_min.map(dw_core::Celsius::get),
            job.openings[0].x.map(Metres::get),
            door.clear_width.map(Metres::get),
            door.stile_width.map(Metres::get),
            door.fire_rating.map(dw_core::Minutes::get),
        ]
        .map(|figure| figure.expect("every figure was read"))
    };
    for (a, b) in figures(&metric).into_iter().zip(figures(&us)) {
        assert!(near(a, b), "{a} {b}");
    }
}

#[test]
fn resistance_of_a_conductor_agrees_in_ohms_per_kilometre_and_per_thousand_feet() {
    let of = |key: &str, value: f64| {
        let text = format!("[[device]]\nid = \"C\"\ncable.{key} = {value}\n");
        let (catalogue, sink) = Catalogue::read(&[file("cable.toml", text)]);
        assert_eq!(lines(&sink), [""; 0]);
        catalogue.devices.values().next().and_then(|device| device.cable.resistance).expect("the resistance")
    };
    // 18 AWG, solid, uncoated copper: 6.385 Ω/kft at 20 °C is 20.948 Ω/km (NBS Handbook 100, 1966, table 4).
    let (us, metric) = (of("resistance_ohm_per_kft", 6.385), of("resistance_ohm_per_km", 20.948));
    assert!(((us * Metres::new(1000.0)).get() - 20.948).abs() < 0.001);
    assert!(((us.get() - metric.get()) / metric.get()).abs() < 1e-4);
}

#[test]
fn every_spelling_of_every_unit_is_read_by_some_field() {
    let schemas = [Job::json_schema(), Catalogue::json_schema()].map(|schema| schema.to_string()).concat();
    for unit in ["m", "mm²", "V", "A", "Ω", "Ω/m", "W", "Ah", "h", "min", "s", "°C"] {
        let spellings = units_at_edge(unit);
        assert!(!spellings.is_empty(), "{unit}");
        for (suffix, ..) in spellings {
            assert!(schemas.contains(&format!("_{suffix}\"")), "{unit} {suffix}");
        }
    }
}

proptest! {
    #[test]
    fn feet_and_metres_agree_for_any_length(feet in 0.0..1e6_f64) {
        let (us, _) = read(&format!("[[opening]]\nmark = \"D-1\"\nexisting_cable.length_ft = {feet}\n"));
        let (metric, _) =
            read(&format!("[[opening]]\nmark = \"D-1\"\nexisting_cable.length_m = {}\n", feet * 0.3048));
        let length = |job: &Job| job.openings[0].existing_cable.length.map(Metres::get).expect("the length");
        prop_assert!(near(length(&us), length(&metric)));
    }
}
