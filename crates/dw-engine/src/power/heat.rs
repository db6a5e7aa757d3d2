//! Heat: what stays in a room, and how warm an enclosure gets.

use dw_core::{Metres, Watts};

use super::Formula;

/// BTU/h in a watt. Source: NIST SP 811 appendix B (3.412142).
pub const BTU_PER_HOUR_PER_WATT: f64 = 3.412_142;
/// Heat transfer of painted sheet steel, W/(m²·K). Source: published enclosure calculation forms after DIN VDE
/// 0660-500, method now in IEC TR 60890.
pub const PAINTED_STEEL: f64 = 5.5;

/// Words of heat in BTU/h.
pub const BTU: Formula = Formula {
    title: "Heat load",
    unit: "BTU/h",
    formula: "heat = power * factor",
    source: "NIST SP 811 appendix B: 1 W = 3.412142 BTU/h; 3.4 in published notes",
};

/// Words of [`mains_power`].
pub const MAINS_POWER: Formula = Formula {
    title: "Power taken from the mains",
    unit: "W",
    formula: "mains = output * voltage / (efficiency_percent / 100)",
    source: "Conservation of energy",
};

/// Power a supply takes from the mains.
///
/// **Formula** P_in = P_out / η.
/// **Range** η above 0, at most 1; 0.80 to 0.90 for switching supplies with charger is common practice.
/// **Source** conservation of energy.
///
/// ```
/// use dw_core::Watts;
/// assert_eq!(dw_engine::power::heat::mains_power(Watts::new(85.0), 0.85).get(), 100.0);
/// ```
pub fn mains_power(output: Watts, efficiency: f64) -> Watts {
    output / efficiency
}

/// How an enclosure stands.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mounting {
    /// Single, free on all sides.
    Free,
    /// Single, on a wall.
    Wall,
    /// End of a row, free standing.
    RowEndFree,
    /// End of a row, on a wall.
    RowEndWall,
    /// Middle of a row, free standing.
    RowMiddleFree,
    /// Middle of a row, on a wall.
    RowMiddleWall,
    /// Middle of a row, on a wall, top covered.
    RowMiddleWallCovered,
}

/// Words of [`total_surface_m2`].
pub const TOTAL_SURFACE: Formula = Formula {
    title: "Whole surface of an enclosure",
    unit: "m²",
    formula: "surface = 2 * (height * width + height * depth + width * depth)",
    source: "Geometry of a box",
};

/// Whole surface of an enclosure in m².
///
/// **Formula** 2 (H W + H D + W D).
/// **Source** geometry.
///
/// ```
/// use dw_core::Metres;
/// let s = dw_engine::power::heat::total_surface_m2(Metres::new(1.0), Metres::new(2.0), Metres::new(3.0));
/// assert_eq!(s, 22.0);
/// ```
pub fn total_surface_m2(height: Metres, width: Metres, depth: Metres) -> f64 {
    let (h, w, d) = (height.get(), width.get(), depth.get());
    2.0 * (h * w + h * d + w * d)
}

/// Words of [`cooling_surface_m2`].
pub const COOLING_SURFACE: Formula = Formula {
    title: "Cooling surface of an enclosure",
    unit: "m²",
    formula: "surface by mounting, such as 1.4 * width * (height + depth) + 1.8 * depth * height for one on a wall",
    source: "DIN VDE 0660-500 (method now in IEC TR 60890)",
};

/// Surface that cools an enclosure, in m², by the way it stands.
///
/// **Formula** one on a wall: 1.4 W (H + D) + 1.8 D H; the others likewise.
/// **Source** DIN VDE 0660-500, method now in IEC TR 60890.
///
/// ```
/// use dw_core::Metres;
/// use dw_engine::power::heat::{cooling_surface_m2, Mounting};
/// let s = cooling_surface_m2(Metres::new(0.6), Metres::new(0.5), Metres::new(0.2), Mounting::Wall);
/// assert!((s - 0.776).abs() < 1e-12);
/// ```
pub fn cooling_surface_m2(height: Metres, width: Metres, depth: Metres, mounting: Mounting) -> f64 {
    let (h, w, d) = (height.get(), width.get(), depth.get());
    match mounting {
        Mounting::Free => 1.8 * h * (w + d) + 1.4 * w * d,
        Mounting::Wall => 1.4 * w * (h + d) + 1.8 * d * h,
        Mounting::RowEndFree => 1.4 * d * (h + w) + 1.8 * w * h,
        Mounting::RowEndWall => 1.4 * h * (w + d) + 1.4 * w * d,
        Mounting::RowMiddleFree => 1.8 * w * h + 1.4 * w * d + d * h,
        Mounting::RowMiddleWall => 1.4 * w * (h + d) + d * h,
        Mounting::RowMiddleWallCovered => 1.4 * w * h + 0.7 * w * d + d * h,
    }
}

/// Words of power density.
pub const POWER_DENSITY: Formula = Formula {
    title: "Heat for each square metre of enclosure",
    unit: "W/m²",
    formula: "density = power / surface",
    source: "definition",
};

/// Words of [`temperature_rise`].
pub const TEMPERATURE_RISE: Formula = Formula {
    title: "Temperature rise in a sealed enclosure",
    unit: "K",
    formula: "rise = power / (transfer * surface)",
    source: "DIN VDE 0660-500 (method now in IEC TR 60890), 5.5 W/(m²·K) for painted sheet steel; about ±20 %",
};
/// Words of the rise from power density.
pub const RISE_FROM_DENSITY: Formula = Formula {
    title: "Temperature rise in a sealed enclosure",
    unit: "K",
    formula: "rise = density / transfer",
    source: "DIN VDE 0660-500 (method now in IEC TR 60890), 5.5 W/(m²·K) for painted sheet steel; about ±20 %",
};

/// Temperature rise in a sealed enclosure, in kelvin; `None` without a surface.
///
/// **Formula** ΔT = P / (k A).
/// **Units and range** k in W/(m²·K): painted steel 5.5, stainless 4.5, aluminium 12.
/// **Assumes** a sealed box in still air; about ±20 %.
/// **Source** DIN VDE 0660-500, method now in IEC TR 60890.
///
/// ```
/// use dw_core::Watts;
/// assert_eq!(dw_engine::power::heat::temperature_rise(Watts::new(55.0), 5.5, 1.0), Some(10.0));
/// ```
pub fn temperature_rise(power: Watts, transfer: f64, surface_m2: f64) -> Option<f64> {
    Some(power.get() / (transfer * surface_m2)).filter(|rise| rise.is_finite())
}
