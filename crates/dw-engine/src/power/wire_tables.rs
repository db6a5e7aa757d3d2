//! Printed conductor tables, and the resistance of a core of a catalogue cable.
//!
//! Source: NFPA 70-2017 chapter 9 table 8; IEC 60228:2004 tables 1 to 3. The same rows are in `data/tables/`, and a
//! test holds the two together.

use dw_core::{Celsius, METRES_PER_FOOT, OhmsPerMetre, SquareMm};
use dw_job::catalogue::CableData;

use super::Formula;
use super::wire::{
    COPPER_COEFFICIENT_20, COPPER_COEFFICIENT_75, COPPER_RESISTIVITY, awg_area, resistance_at, solid_resistance,
};

/// Stranding of a conductor in NEC chapter 9 table 8.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strand {
    /// One wire.
    Solid,
    /// Seven wires, class B.
    Stranded,
}

/// Ω/kft at 75 °C by gauge: solid uncoated, solid coated, stranded uncoated, stranded coated.
/// Source: NFPA 70-2017 chapter 9 table 8.
#[allow(clippy::approx_constant, reason = "3.14 is a printed resistance, not pi")]
pub const NEC_TABLE_8: [(u32, [f64; 4]); 5] = [
    (18, [7.77, 8.08, 7.95, 8.45]),
    (16, [4.89, 5.08, 4.99, 5.29]),
    (14, [3.07, 3.19, 3.14, 3.26]),
    (12, [1.93, 2.01, 1.98, 2.05]),
    (10, [1.21, 1.26, 1.24, 1.29]),
];

/// Highest resistance at 20 °C in Ω/km of plain copper by cross-section: class 1 (solid), class 2 (stranded), class 5
/// (flexible). Source: IEC 60228:2004 tables 1, 2 and 3.
pub const IEC_60228: [(f64, [f64; 3]); 7] = [
    (0.5, [36.0, 36.0, 39.0]),
    (0.75, [24.5, 24.5, 26.0]),
    (1.0, [18.1, 18.1, 19.5]),
    (1.5, [12.1, 12.1, 13.3]),
    (2.5, [7.41, 7.41, 7.98]),
    (4.0, [4.61, 4.61, 4.95]),
    (6.0, [3.08, 3.08, 3.3]),
];

/// How much a stranded conductor exceeds a solid one of its gauge. Source: highest ratio of stranded to solid in
/// NFPA 70-2017 chapter 9 table 8 (1.24 / 1.21 is 2.5 %, 1.98 / 1.93 is 2.6 %).
pub const STRANDING_FACTOR: f64 = 1.026;

/// Words of [`nec_table_8`].
pub const NEC_TABLE_8_LOOKUP: Formula = Formula {
    title: "Resistance at 75 °C from NEC chapter 9 table 8",
    unit: "Ω/m",
    formula: "resistance = table(awg, strand, coating)",
    source: "NFPA 70-2017 chapter 9 table 8 (75 °C, class B stranding, 100 % IACS)",
};

/// Resistance at 75 °C of a gauge in NEC chapter 9 table 8, as printed in Ω/kft; `None` for a gauge the table does not
/// have: it starts at 18 AWG, and 20, 22 and 24 AWG are not in it.
///
/// **Source** NFPA 70-2017 chapter 9 table 8.
///
/// ```
/// use dw_engine::power::wire_tables::{nec_table_8, Strand};
/// assert_eq!(nec_table_8(16, Strand::Stranded, false), Some(4.99));
/// assert_eq!(nec_table_8(22, Strand::Solid, false), None);
/// ```
pub fn nec_table_8(awg: u32, strand: Strand, coated: bool) -> Option<f64> {
    let column = usize::from(strand == Strand::Stranded) * 2 + usize::from(coated);
    NEC_TABLE_8.iter().find(|row| row.0 == awg).map(|row| row.1[column])
}

/// Words of [`iec_60228`].
pub const IEC_60228_LOOKUP: Formula = Formula {
    title: "Highest resistance at 20 °C from IEC 60228",
    unit: "Ω/m",
    formula: "resistance = table(area, class)",
    source: "IEC 60228:2004 tables 1, 2 and 3, plain copper",
};

/// Highest resistance at 20 °C of a cross-section in IEC 60228; `None` for one the standard does not have: it starts
/// at 0.5 mm², and 0.22 and 0.34 mm² are not in it.
///
/// **Range** class 1, 2 or 5. **Source** IEC 60228:2004 tables 1 to 3.
///
/// ```
/// use dw_core::SquareMm;
/// use dw_engine::power::wire_tables::iec_60228;
/// assert_eq!(iec_60228(SquareMm::new(1.0), 5).map(|r| r.get()), Some(0.0195));
/// assert_eq!(iec_60228(SquareMm::new(0.22), 5), None);
/// ```
pub fn iec_60228(area: SquareMm, class: u32) -> Option<OhmsPerMetre> {
    let column = match class {
        1 => 0,
        2 => 1,
        5 => 2,
        _ => return None,
    };
    let row = IEC_60228.iter().find(|row| (row.0 - area.get()).abs() < 1e-9)?;
    Some(OhmsPerMetre::new(row.1[column] / 1000.0))
}

/// Resistance of one conductor of a gauge at a temperature, and where the figure comes from. Solid: computed. Stranded:
/// the printed 75 °C value with its own coefficient where NEC chapter 9 table 8 has the gauge, else computed solid and
/// [`STRANDING_FACTOR`].
///
/// **Range** gauge 0 to 40; T −40 to 125 °C. **Assumes** uncoated copper.
/// **Source** ASTM B258, IEC 60028; NFPA 70-2017 chapter 9 table 8 with note 2.
///
/// ```
/// use dw_core::Celsius;
/// use dw_engine::power::wire_tables::{gauge_resistance, Strand};
/// let (r, _) = gauge_resistance(16, Strand::Stranded, Celsius::new(75.0));
/// assert!((r.get() * 304.8 - 4.99).abs() < 1e-9); // Ω/kft
/// ```
pub fn gauge_resistance(awg: u32, strand: Strand, temperature: Celsius) -> (OhmsPerMetre, &'static str) {
    if strand == Strand::Solid {
        return (solid_resistance(awg_area(awg), 1.0, temperature), "ASTM B258 and IEC 60028, solid copper");
    }
    if let Some(printed) = nec_table_8(awg, strand, false) {
        let at_75 = OhmsPerMetre::new(printed / (1000.0 * METRES_PER_FOOT));
        let at = resistance_at(at_75, Celsius::new(75.0), temperature, COPPER_COEFFICIENT_75);
        return (at, "NFPA 70-2017 chapter 9 table 8, stranded, temperature by its note 2");
    }
    let solid = solid_resistance(awg_area(awg), 1.0, temperature);
    (
        solid * STRANDING_FACTOR,
        "gauge not in NEC chapter 9 table 8: ASTM B258 and IEC 60028, stranded 2.6 % above solid",
    )
}

/// Resistance of one conductor of a metric cross-section at a temperature, and where the figure comes from: the highest
/// IEC 60228 allows for class 5 where it lists the size, else nominal copper. `None` when the area is too small to
/// divide by.
///
/// **Source** IEC 60228:2004 table 3; IEC 60028.
///
/// ```
/// use dw_core::{Celsius, SquareMm};
/// use dw_engine::power::wire_tables::area_resistance;
/// assert_eq!(area_resistance(SquareMm::new(1.0), Celsius::new(20.0)).unwrap().0.get(), 0.0195);
/// ```
pub fn area_resistance(area: SquareMm, temperature: Celsius) -> Option<(OhmsPerMetre, &'static str)> {
    let (at_20, source) = match iec_60228(area, 5) {
        Some(listed) => (listed, "IEC 60228:2004 table 3 (class 5), temperature by IEC 60028"),
        None => (
            OhmsPerMetre::try_new(COPPER_RESISTIVITY / area.get())?,
            "size not in IEC 60228: nominal copper, 1/58 Ω·mm²/m, temperature by IEC 60028",
        ),
    };
    Some((resistance_at(at_20, Celsius::new(20.0), temperature, COPPER_COEFFICIENT_20), source))
}

/// Resistance of one core of a cable at a temperature, and where the figure comes from; `None` when the cable states
/// neither resistance, cross-section nor gauge.
///
/// A stated resistance counts first, then the cross-section, then the gauge, taken as stranded because most
/// low-voltage cable is.
///
/// **Assumes** copper. **Source** as in [`area_resistance`] and [`gauge_resistance`].
///
/// ```
/// use dw_core::Celsius;
/// use dw_engine::power::wire_tables::core_resistance;
/// let cable = dw_job::catalogue::CableData { awg: Some(18), ..Default::default() };
/// let (r, _) = core_resistance(&cable, Celsius::new(75.0)).unwrap();
/// assert!((r.get() * 304.8 - 7.95).abs() < 1e-9); // Ω/kft
/// ```
pub fn core_resistance(cable: &CableData, temperature: Celsius) -> Option<(OhmsPerMetre, &'static str)> {
    if let Some(stated) = cable.resistance.filter(|r| r.get() > 0.0) {
        let at = resistance_at(stated, Celsius::new(20.0), temperature, COPPER_COEFFICIENT_20);
        Some((at, "stated in the catalogue at 20 °C, temperature by IEC 60028"))
    } else if let Some(area) = cable.area.filter(|area| area.get() > 0.0) {
        area_resistance(area, temperature)
    } else {
        let awg = cable.awg.filter(|awg| *awg <= 40)?;
        Some(gauge_resistance(awg, Strand::Stranded, temperature))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rows(text: &str) -> impl Iterator<Item = Vec<&str>> {
        text.lines().filter(|line| !line.starts_with('#')).skip(1).map(|line| line.split(',').collect())
    }

    #[test]
    fn the_tables_in_code_are_the_tables_in_the_data_folder() {
        let nec = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/nec_ch9_table8.csv"));
        for row in rows(nec) {
            let strand = if row[1] == "solid" { Strand::Solid } else { Strand::Stranded };
            for (coated, column) in [(false, 6), (true, 8)] {
                assert_eq!(nec_table_8(row[0].parse().unwrap(), strand, coated), row[column].parse().ok(), "{row:?}");
            }
        }
        let iec = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/tables/iec60228.csv"));
        for row in rows(iec).filter(|row| row[7] == "IEC 60228") {
            for (class, column) in [(1, 1), (2, 3), (5, 5)] {
                let listed = iec_60228(SquareMm::new(row[0].parse().unwrap()), class).unwrap().get() * 1000.0;
                assert!((listed - row[column].parse::<f64>().unwrap()).abs() < 1e-9, "{row:?}");
            }
        }
    }

    #[test]
    fn computed_solid_copper_is_within_half_a_percent_of_table_8() {
        for (awg, printed) in NEC_TABLE_8 {
            let computed = solid_resistance(awg_area(awg), 1.0, Celsius::new(75.0)).get() * 304.8;
            assert!((computed / printed[0] - 1.0).abs() < 0.005, "{awg} AWG: {computed} beside {}", printed[0]);
        }
    }
}
