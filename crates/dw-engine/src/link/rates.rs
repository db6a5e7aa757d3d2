//! What a received level carries: least levels by modulation and width of channel, and the data they bring.

use crate::power::Formula;

/// Words of the data a level carries.
pub const RATE: Formula = Formula {
    title: "Data a level carries, both ways together",
    unit: "bit/s",
    formula: "rate = carriers * bits / 4 us * 0.5, at the fastest modulation with level - least level >= margin",
    source: "IEEE 802.11 least levels and VHT carriers; half for headers and turns is common practice",
};

/// One way to modulate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Modulation {
    /// Number in IEEE 802.11.
    pub number: u32,
    /// Name with coding rate.
    pub name: &'static str,
    /// Bits each carrier holds a symbol, coding taken off.
    pub bits: f64,
    /// Least level at 20 MHz, dBm.
    pub at_20_dbm: f64,
}

/// Modulations with their least level. Source: IEEE 802.11 (HT, VHT, HE) minimum input sensitivity at 10 % packet errors,
/// as reproduced in a national radio regulation: floors, real radios are better.
pub const MODULATIONS: [Modulation; 12] = [
    row(0, "BPSK 1/2", 0.5, -82.0),
    row(1, "QPSK 1/2", 1.0, -79.0),
    row(2, "QPSK 3/4", 1.5, -77.0),
    row(3, "16-QAM 1/2", 2.0, -74.0),
    row(4, "16-QAM 3/4", 3.0, -70.0),
    row(5, "64-QAM 2/3", 4.0, -66.0),
    row(6, "64-QAM 3/4", 4.5, -65.0),
    row(7, "64-QAM 5/6", 5.0, -64.0),
    row(8, "256-QAM 3/4", 6.0, -59.0),
    row(9, "256-QAM 5/6", 20.0 / 3.0, -57.0),
    row(10, "1024-QAM 3/4", 7.5, -54.0),
    row(11, "1024-QAM 5/6", 25.0 / 3.0, -52.0),
];

const fn row(number: u32, name: &'static str, bits: f64, at_20_dbm: f64) -> Modulation {
    Modulation { number, name, bits, at_20_dbm }
}

/// Widths of a channel, MHz, with the carriers for data in one. Source: IEEE 802.11 VHT.
pub const WIDTHS: [(u32, f64); 4] = [(20, 52.0), (40, 108.0), (80, 234.0), (160, 468.0)];

/// A symbol with its long guard interval, s. Source: IEEE 802.11 VHT, 4 µs.
const SYMBOL_S: f64 = 4e-6;

/// Share of the rate in the air that arrives as data both ways together. *Common practice*, half.
pub const DATA_SHARE: f64 = 0.5;

/// Least level of a modulation at a width of channel, dBm; `None` for a width that does not exist.
///
/// **Formula** level at 20 MHz + 3 dB for each doubling. **Source** IEEE 802.11.
///
/// ```
/// use dw_engine::link::rates::{MODULATIONS, least_level};
/// assert_eq!(least_level(&MODULATIONS[1], 20), Some(-79.0));
/// assert_eq!(least_level(&MODULATIONS[7], 40), Some(-61.0));
/// ```
pub fn least_level(modulation: &Modulation, width_mhz: u32) -> Option<f64> {
    let doublings = WIDTHS.iter().position(|width| width.0 == width_mhz)?;
    Some(modulation.at_20_dbm + 3.0 * doublings as f64)
}

/// Data one stream brings with a modulation, bit/s, both ways together; `None` for a width that does not exist.
///
/// **Formula** carriers × bits / 4 µs × ½. **Source** IEEE 802.11 VHT; a half for headers and turns is *common practice*.
///
/// ```
/// use dw_engine::link::rates::{MODULATIONS, throughput};
/// assert!((throughput(&MODULATIONS[7], 20).unwrap() - 32.5e6).abs() < 1.0); // 65 Mbit/s in the air
/// ```
pub fn throughput(modulation: &Modulation, width_mhz: u32) -> Option<f64> {
    let (_, carriers) = WIDTHS.iter().find(|width| width.0 == width_mhz)?;
    Some(carriers * modulation.bits / SYMBOL_S * DATA_SHARE)
}

/// The fastest modulation whose least level keeps this margin under the level received.
///
/// ```
/// use dw_engine::link::rates::fastest;
/// assert_eq!(fastest(-63.2, 20, 0.0).unwrap().name, "64-QAM 5/6");
/// assert_eq!(fastest(-63.2, 20, 15.0).unwrap().name, "QPSK 1/2");
/// assert_eq!(fastest(-63.2, 20, 20.0), None);
/// ```
pub fn fastest(level_dbm: f64, width_mhz: u32, margin_db: f64) -> Option<&'static Modulation> {
    let reached =
        |row: &&Modulation| least_level(row, width_mhz).is_some_and(|least| level_dbm - least >= margin_db - 1e-9);
    MODULATIONS.iter().rev().find(reached)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_levels_in_code_are_the_levels_in_the_data_folder() {
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/wlan_sensitivity.csv"));
        let mut rows = 0;
        for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let fields: Vec<&str> = line.split(',').collect();
            let modulation = &MODULATIONS[fields[0].parse::<usize>().unwrap()];
            assert_eq!(modulation.name, format!("{} {}", fields[1], fields[2]), "{line}");
            for (width, level) in WIDTHS.iter().zip(&fields[3..]) {
                assert_eq!(least_level(modulation, width.0), Some(level.parse().unwrap()), "{line}");
            }
            rows += 1;
        }
        assert_eq!(rows, MODULATIONS.len());
    }

    #[test]
    fn a_stronger_level_never_brings_less() {
        let mut last = 0.0;
        for level in -100..-30 {
            let bits = fastest(f64::from(level), 40, 10.0).map_or(0.0, |row| throughput(row, 40).unwrap());
            assert!(bits >= last);
            last = bits;
        }
        assert!(last > 1e8);
        assert_eq!(least_level(&MODULATIONS[0], 30), None);
    }
}
