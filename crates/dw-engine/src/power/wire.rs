//! Copper conductors: gauge, cross-section, resistance and its change with temperature.
//!
//! Three temperature coefficients are in use, each with its own base: 0.00393 at 20 °C (IEC 60028), 0.00323 at 75 °C
//! (NEC), 0.004 in IEC 60228. A function here uses exactly one of them.

use dw_core::{Celsius, METRES_PER_FOOT, Metres, Ohms, OhmsPerMetre, SquareMm};

use super::Formula;

/// Resistivity of annealed copper at 20 °C in Ω·mm²/m: 100 % IACS is 58 MS/m. Source: IEC 60028:1925.
pub const COPPER_RESISTIVITY: f64 = 1.0 / 58.0;
/// Temperature coefficient of copper at 20 °C, 1/K. Source: IEC 60028:1925.
pub const COPPER_COEFFICIENT_20: f64 = 0.003_93;
/// Temperature coefficient of copper at 75 °C, 1/K. Source: NFPA 70-2017 chapter 9 table 8 note 2.
pub const COPPER_COEFFICIENT_75: f64 = 0.003_23;
/// Square millimetres in a circular mil: π/4 · (0.0254 mm)². Source: its definition with NIST SP 811 (inch).
pub const MM2_PER_CMIL: f64 = std::f64::consts::FRAC_PI_4 * 0.0254 * 0.0254;
/// Ω·mm²/m in one Ω·cmil/ft. Source: NIST SP 811 (foot) and the circular mil.
pub const OHM_MM2_PER_M: f64 = MM2_PER_CMIL / METRES_PER_FOOT;

/// Words of [`awg_diameter_mm`].
pub const AWG_DIAMETER: Formula = Formula {
    title: "Diameter of a solid conductor of this gauge",
    unit: "mm",
    formula: "diameter = 0.127 * 92^((36 - awg) / 39)",
    source: "ASTM B258, gauge formula",
};

/// Diameter of a solid conductor of an American wire gauge, in millimetres.
///
/// **Formula** d = 0.127 mm · 92^((36 − awg)/39).
/// **Range** gauge 0 to 40.
/// **Source** ASTM B258.
///
/// ```
/// assert!((dw_engine::power::wire::awg_diameter_mm(24) - 0.5106).abs() < 0.0001);
/// ```
pub fn awg_diameter_mm(awg: u32) -> f64 {
    0.127 * libm::pow(92.0, (36.0 - f64::from(awg.min(60))) / 39.0)
}

/// Words of [`awg_area`].
pub const AWG_AREA: Formula = Formula {
    title: "Cross-section of a solid conductor of this gauge",
    unit: "mm²",
    formula: "area = pi / 4 * (0.127 * 92^((36 - awg) / 39))^2",
    source: "ASTM B258, gauge formula",
};

/// Cross-section of a solid conductor of an American wire gauge.
///
/// **Formula** A = π/4 · d².
/// **Range** gauge 0 to 40.
/// **Source** ASTM B258.
///
/// ```
/// assert!((dw_engine::power::wire::awg_area(18).get() - 0.8230).abs() < 0.0001);
/// ```
pub fn awg_area(awg: u32) -> SquareMm {
    let diameter = awg_diameter_mm(awg);
    SquareMm::new(std::f64::consts::FRAC_PI_4 * diameter * diameter)
}

/// Words of [`solid_resistance`].
pub const SOLID_RESISTANCE: Formula = Formula {
    title: "Resistance of one solid copper conductor for each metre",
    unit: "Ω/m",
    formula: "resistance = (1/58) / (iacs_percent / 100) / area * (1 + 0.00393 * (temperature - 20))",
    source: "IEC 60028:1925 (1/58 Ω·mm²/m and 0.00393/K at 20 °C), area by ASTM B258",
};

/// Resistance of a solid copper conductor per metre at a temperature.
///
/// **Formula** r = (1/58) / conductivity / A · (1 + 0.00393 (T − 20)).
/// **Units and range** A in mm², above zero; conductivity as a share of IACS, above zero; T −40 to 125 °C.
/// **Source** IEC 60028:1925.
///
/// ```
/// use dw_core::Celsius;
/// use dw_engine::power::wire::{awg_area, solid_resistance};
/// let r = solid_resistance(awg_area(24), 1.0, Celsius::new(20.0));
/// assert!((r.get() * 304.8 - 25.6688).abs() < 0.001); // Ω/kft
/// ```
pub fn solid_resistance(area: SquareMm, conductivity: f64, temperature: Celsius) -> OhmsPerMetre {
    let at_20 = OhmsPerMetre::new(COPPER_RESISTIVITY / conductivity / area.get());
    resistance_at(at_20, Celsius::new(20.0), temperature, COPPER_COEFFICIENT_20)
}

/// Words of [`resistance_at`].
pub const RESISTANCE_AT: Formula = Formula {
    title: "Resistance at another temperature",
    unit: "Ω/m",
    formula: "at_to = resistance * (1 + coefficient * (to - from))",
    source: "IEC 60028:1925 (coefficient 0.00393 from 20 °C); NFPA 70-2017 chapter 9 table 8 note 2 (0.00323 from 75 °C)",
};

/// Resistance of a conductor at another temperature.
///
/// **Formula** r₂ = r₁ (1 + α₁ (T₂ − T₁)).
/// **Units and range** α₁ in 1/K belongs to T₁ and to no other temperature.
/// **Source** IEC 60028:1925; NFPA 70-2017 chapter 9 table 8 note 2.
///
/// ```
/// use dw_core::{Celsius, OhmsPerMetre};
/// use dw_engine::power::wire::{resistance_at, COPPER_COEFFICIENT_75};
/// let r = resistance_at(OhmsPerMetre::new(7.77), Celsius::new(75.0), Celsius::new(20.0), COPPER_COEFFICIENT_75);
/// assert!((r.get() - 6.3897).abs() < 0.002);
/// ```
pub fn resistance_at(resistance: OhmsPerMetre, from: Celsius, to: Celsius, coefficient: f64) -> OhmsPerMetre {
    resistance * (1.0 + coefficient * (to.get() - from.get()))
}

/// Words of [`iec_60228_factor`].
pub const IEC_60228_FACTOR: Formula = Formula {
    title: "Factor that brings a measured resistance to 20 °C",
    unit: "",
    formula: "factor = 250 / (230 + temperature)",
    source: "IEC 60228:2004, annex of temperature correction factors (0.004/K)",
};

/// Factor that brings a measured conductor resistance to 20 °C.
///
/// **Formula** k = 250 / (230 + T), which is 1 / (1 + 0.004 (T − 20)).
/// **Range** T above −230 °C.
/// **Source** IEC 60228:2004 annex.
///
/// ```
/// let k = dw_engine::power::wire::iec_60228_factor(dw_core::Celsius::new(75.0));
/// assert!((k - 0.8197).abs() < 0.0001);
/// ```
pub fn iec_60228_factor(temperature: Celsius) -> f64 {
    250.0 / (230.0 + temperature.get())
}

/// Words of [`length_resistance`].
pub const LENGTH_RESISTANCE: Formula = Formula {
    title: "Resistance of one conductor",
    unit: "Ω",
    formula: "conductor = resistance * length",
    source: "Ohm's law, resistance of a uniform conductor",
};

/// Resistance of one conductor of a length.
///
/// **Formula** R = r · L.
/// **Units** r in Ω/m, L in metres, one way.
/// **Source** definition.
///
/// ```
/// use dw_core::{Metres, OhmsPerMetre};
/// let r = dw_engine::power::wire::length_resistance(OhmsPerMetre::new(0.09), Metres::new(30.0));
/// assert!((r.get() - 2.7).abs() < 1e-12);
/// ```
pub fn length_resistance(resistance: OhmsPerMetre, length: Metres) -> Ohms {
    resistance * length
}

/// Words of [`area_for_resistance`].
pub const AREA_FOR_RESISTANCE: Formula = Formula {
    title: "Cross-section each conductor needs",
    unit: "mm²",
    formula: "area = resistivity * length / resistance",
    source: "Resistance of a uniform conductor; Kuphaldt, Lessons in Electric Circuits vol. I, specific resistance",
};

/// Cross-section that keeps a conductor at a resistance.
///
/// **Formula** A = ρ L / R.
/// **Units and range** ρ in Ω·mm²/m; L one way in metres; R of each conductor in Ω, above zero.
/// **Source** Kuphaldt, Lessons in Electric Circuits vol. I, specific resistance.
///
/// ```
/// use dw_core::{Metres, Ohms};
/// use dw_engine::power::wire::{area_for_resistance, MM2_PER_CMIL, OHM_MM2_PER_M};
/// let a = area_for_resistance(10.09 * OHM_MM2_PER_M, Metres::new(2300.0 * 0.3048), Ohms::new(0.2));
/// assert!((a.get() / MM2_PER_CMIL - 116_035.0).abs() < 1.0);
/// ```
pub fn area_for_resistance(resistivity: f64, length: Metres, resistance: Ohms) -> SquareMm {
    SquareMm::new(resistivity * length.get() / resistance.get())
}
