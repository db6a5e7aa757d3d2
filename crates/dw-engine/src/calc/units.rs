//! Units a calculator reads and answers in: those of the job document, and some that only a calculator needs.

use dw_core::units_at_edge;

use crate::power::wire::{MM2_PER_CMIL, OHM_MM2_PER_M};

/// A spelling of a unit: `inside = written * factor + offset`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spelling {
    /// The end of a key: `ft` in `length_ft`.
    pub suffix: &'static str,
    /// Factor to the unit inside.
    pub factor: f64,
    /// Offset to the unit inside.
    pub offset: f64,
}

/// Square metres in a square foot. Source: NIST SP 811 appendix B.
const M2_PER_FT2: f64 = dw_core::METRES_PER_FOOT * dw_core::METRES_PER_FOOT;

/// Metres a second in a mile an hour. Source: NIST SP 811 appendix B.
const MPS_PER_MPH: f64 = 0.447_04;

/// Spellings of units the job document does not have. Source: NIST SP 811 appendix B and definitions.
fn of_calculators(unit: &str) -> &'static [(&'static str, f64)] {
    match unit {
        "mm" => &[("mm", 1.0), ("in", 25.4)],
        "mm²" => &[("cmil", MM2_PER_CMIL), ("kcmil", 1000.0 * MM2_PER_CMIL)],
        "Ω·mm²/m" => &[("ohm_mm2_per_m", 1.0), ("ohm_cmil_per_ft", OHM_MM2_PER_M)],
        "m²" => &[("m2", 1.0), ("ft2", M2_PER_FT2)],
        "W/m²" => &[("w_per_m2", 1.0), ("w_per_ft2", 1.0 / M2_PER_FT2)],
        "W/(m²·K)" => &[("w_per_m2k", 1.0)],
        // A difference of temperatures: no offset.
        "K" => &[("k", 1.0), ("f", 5.0 / 9.0)],
        "BTU/h" => &[("btu_per_h", 1.0)],
        "VA·h" => &[("vah", 1.0), ("wh", 1.0)],
        "kg" => &[("kg", 1.0), ("lb", 0.453_592_37)],
        "m/s" => &[("kmh", 1.0 / 3.6), ("mph", MPS_PER_MPH), ("m_per_s", 1.0)],
        "°" => &[("deg", 1.0)],
        "J" => &[("j", 1.0)],
        "V/cell" => &[("v", 1.0)],
        "mV/K" => &[("mv_per_c", 1.0)],
        "year" => &[("y", 1.0)],
        "%" => &[("percent", 1.0)],
        "s" => &[("us", 1e-6), ("h", 3600.0), ("days", 86_400.0)],
        "ms" => &[("ms", 1.0), ("us", 1e-3), ("s", 1000.0)],
        "ns" => &[("ns", 1.0), ("us", 1000.0)],
        "MHz" => &[("mhz", 1.0), ("ghz", 1000.0), ("khz", 1e-3)],
        "bit/s" => &[("bit_per_s", 1.0), ("kbit_per_s", 1e3), ("mbit_per_s", 1e6)],
        "dB" => &[("db", 1.0)],
        "dBm" => &[("dbm", 1.0)],
        "dBi" => &[("dbi", 1.0)],
        "dB/km" => &[("db_per_km", 1.0)],
        "mm/h" => &[("mm_per_h", 1.0), ("in_per_h", 25.4)],
        _ => &[],
    }
}

/// Every spelling of a unit, the one we write first.
pub fn spellings(unit: &str) -> impl Iterator<Item = Spelling> {
    let of_jobs = units_at_edge(unit).iter().map(|&(suffix, factor, offset)| Spelling { suffix, factor, offset });
    let ours = of_calculators(unit).iter().map(|&(suffix, factor)| Spelling { suffix, factor, offset: 0.0 });
    of_jobs.chain(ours)
}
