//! Limits the NEC sets: power-limited circuits of class 2, and current in bundles of four-pair cable.

use dw_core::{Amps, Volts};

use super::Formula;

/// Words of [`class_2_current`].
pub const CLASS_2_CURRENT: Formula = Formula {
    title: "Highest rated current of a class 2 source",
    unit: "A",
    formula: "current = 5 up to 20 V; 100 / voltage above; 0.005 above 60 V DC or 30 V AC when inherently limited",
    source: "NFPA 70-2017 chapter 9 tables 11(A) and 11(B)",
};

/// Highest rated current of a class 2 source, or `None` where class 2 ends.
///
/// The voltage is the highest the output ever has (float or adjustable maximum), not nominal: at 13.8 V the limit is
/// 5 A, not 100 VA / 13.8 V.
///
/// **Formula** up to 20 V: 5 A. DC to 60 V, AC to 30 V: 100/V. Inherently limited to 150 V: 0.005 A.
/// **Assumes** dry location; a wet contact is limited to 30 V DC (note 4).
/// **Source** NFPA 70-2017 chapter 9 tables 11(A) (AC) and 11(B) (DC).
///
/// ```
/// use dw_core::Volts;
/// use dw_engine::power::limits::class_2_current;
/// assert_eq!(class_2_current(Volts::new(13.8), true, false).unwrap().get(), 5.0);
/// assert!((class_2_current(Volts::new(27.6), true, false).unwrap().get() - 3.6232).abs() < 0.0001);
/// assert_eq!(class_2_current(Volts::new(75.0), true, false), None);
/// ```
pub fn class_2_current(voltage: Volts, direct: bool, inherently_limited: bool) -> Option<Amps> {
    let volts = voltage.get();
    let top = if direct { 60.0 } else { 30.0 };
    if volts <= 0.0 {
        None
    } else if volts <= 20.0 {
        Some(Amps::new(5.0))
    } else if volts <= top {
        Some(Amps::new(100.0 / volts))
    } else if inherently_limited && volts <= 150.0 {
        Some(Amps::new(0.005))
    } else {
        None
    }
}

/// Words of [`bundle_ampacity`].
pub const BUNDLE_AMPACITY: Formula = Formula {
    title: "Current each conductor of a four-pair cable may carry in a bundle",
    unit: "A",
    formula: "current = table(awg, rating, bundle) * (1.4 if half_loaded else 1)",
    source: "NFPA 70-2017 table 725.144 at 30 °C ambient, note 2 for half the conductors loaded",
};

/// Most cables of each column of [`BUNDLE_TABLE`]. Source: NFPA 70-2017 table 725.144.
pub const BUNDLE_SIZES: [u32; 7] = [1, 7, 19, 37, 61, 91, 192];
/// Gauge, temperature rating in °C, and amperes by bundle size; zero where the table has no value.
/// Source: NFPA 70-2017 table 725.144.
pub const BUNDLE_TABLE: [(u32, u32, [f64; 7]); 12] = [
    (26, 60, [1.0, 1.0, 0.7, 0.5, 0.4, 0.4, 0.0]),
    (26, 75, [1.0, 1.0, 0.8, 0.6, 0.5, 0.5, 0.0]),
    (26, 90, [1.0, 1.0, 1.0, 0.7, 0.6, 0.6, 0.0]),
    (24, 60, [2.0, 1.0, 0.8, 0.6, 0.5, 0.4, 0.3]),
    (24, 75, [2.0, 1.4, 1.0, 0.7, 0.6, 0.5, 0.4]),
    (24, 90, [2.0, 1.6, 1.1, 0.9, 0.7, 0.6, 0.5]),
    (23, 60, [2.5, 1.2, 0.8, 0.6, 0.5, 0.5, 0.4]),
    (23, 75, [2.5, 1.5, 1.1, 0.8, 0.7, 0.7, 0.5]),
    (23, 90, [2.5, 1.7, 1.2, 0.9, 0.8, 0.8, 0.6]),
    (22, 60, [3.0, 1.4, 1.0, 0.7, 0.6, 0.6, 0.5]),
    (22, 75, [3.0, 1.8, 1.2, 0.9, 0.8, 0.8, 0.6]),
    (22, 90, [3.0, 2.1, 1.4, 1.1, 0.9, 0.9, 0.7]),
];

/// Current each conductor of a four-pair cable may carry in a bundle at 30 °C ambient; `None` outside the table.
///
/// **Range** 22, 23, 24 or 26 AWG; rated 60, 75 or 90 °C; 1 to 192 cables. Applies to sources above 60 W.
/// **Source** NFPA 70-2017 table 725.144 and note 2. The 2020 edition raised most values and lowered none.
///
/// ```
/// use dw_engine::power::limits::bundle_ampacity;
/// assert_eq!(bundle_ampacity(24, 60, 192, false).unwrap().get(), 0.3);
/// assert_eq!(bundle_ampacity(26, 60, 192, false), None);
/// ```
pub fn bundle_ampacity(awg: u32, rating_c: u32, cables: u32, half_loaded: bool) -> Option<Amps> {
    let column = BUNDLE_SIZES.iter().position(|&most| cables <= most).filter(|_| cables > 0)?;
    let row = BUNDLE_TABLE.iter().find(|row| row.0 == awg && row.1 == rating_c)?;
    let listed = row.2[column];
    let factor = if half_loaded { 1.4 } else { 1.0 };
    (listed > 0.0).then(|| Amps::new(listed * factor))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_bundle_table_in_code_is_the_one_in_the_data_folder() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/nec_725_144_ampacity.csv"));
        let mut rows = 0;
        for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let row: Vec<&str> = line.split(',').collect();
            for (cables, printed) in BUNDLE_SIZES.iter().zip(&row[2..]) {
                let found = bundle_ampacity(row[0].parse().unwrap(), row[1].parse().unwrap(), *cables, false);
                assert_eq!(found.map(Amps::get), printed.parse().ok(), "{line}");
            }
            rows += 1;
        }
        assert_eq!(rows, BUNDLE_TABLE.len());
    }

    #[test]
    fn a_class_2_source_at_twenty_volts_has_five_amperes_and_just_above_it_the_hundred_volt_amperes() {
        assert_eq!(class_2_current(Volts::new(20.0), true, false), Some(Amps::new(5.0)));
        assert!(class_2_current(Volts::new(20.01), true, false).unwrap() < Amps::new(5.0));
        assert_eq!(class_2_current(Volts::new(42.0), false, false), None);
        assert_eq!(class_2_current(Volts::new(42.0), false, true), Some(Amps::new(0.005)));
    }
}
