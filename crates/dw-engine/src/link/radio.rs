//! A radio bridge: what arrives over the path, what is left of it, and how high the antennas must stand.

use dw_core::Metres;

use crate::power::Formula;

/// Mean radius of the earth, km. Source: ITU-R P.530, 6371.
pub const EARTH_KM: f64 = 6371.0;

/// Effective earth radius factor of the standard atmosphere. Source: ITU-R P.453/P.530, 4/3.
pub const EARTH_FACTOR: f64 = 4.0 / 3.0;

/// Share of the first Fresnel zone kept clear. *Common practice*, 60 %.
pub const CLEAR_SHARE: f64 = 0.6;

/// Fade margin of a link that carries doors, dB. *Common practice*; 10 dB on a short path in town.
pub const FADE_MARGIN_DB: f64 = 20.0;

/// Fade margin of a short path in town, dB. *Common practice*.
pub const SHORT_MARGIN_DB: f64 = 10.0;

/// Rain a bridge is planned for where the job states none, mm/h. Source: ITU-R P.837, exceeded 0.01 % of the year in
/// temperate Europe (*from memory*).
pub const RAIN_MM_PER_H: f64 = 30.0;

/// Speed of light, m/s. Source: SI definition.
const LIGHT: f64 = 299_792_458.0;

/// Words of [`free_space_loss`].
pub const FREE_SPACE_LOSS: Formula = Formula {
    title: "Loss over a free path",
    unit: "dB",
    formula: "loss = 20 log10(4 pi distance frequency / c)",
    source: "ITU-R P.525-5, which prints 32.4 + 20 log f(MHz) + 20 log d(km); the exact constant is 32.448",
};

/// Basic transmission loss in free space, dB.
///
/// **Formula** L = 20 log₁₀(4π d f / c) = 32.448 + 20 log₁₀ f(MHz) + 20 log₁₀ d(km).
/// **Units and range** MHz and m above zero. **Assumes** antennas far apart against the wavelength and a clear path.
/// **Source** ITU-R P.525-5, which rounds the constant to 32.4.
///
/// ```
/// use dw_core::Metres;
/// let db = dw_engine::link::radio::free_space_loss(5500.0, Metres::new(1000.0));
/// assert!((db - 107.25).abs() < 0.01);
/// ```
pub fn free_space_loss(frequency_mhz: f64, distance: Metres) -> f64 {
    let wavelengths = distance.get() * frequency_mhz * 1e6 / LIGHT;
    20.0 * libm::log10(4.0 * std::f64::consts::PI * wavelengths)
}

/// Words of [`fresnel_radius`].
pub const FRESNEL: Formula = Formula {
    title: "Radius of the first Fresnel zone",
    unit: "m",
    formula: "radius = sqrt(c / frequency * d1 * d2 / (d1 + d2))",
    source: "ITU-R P.526; printed as 17.3 sqrt(d1 d2 / (f d)) in GHz and km, exact factor 17.3145",
};

/// Radius of the first Fresnel zone at a point of the path.
///
/// **Formula** F₁ = √(λ d₁ d₂ / (d₁ + d₂)). **Units and range** MHz above zero; distances to both ends.
/// **Source** ITU-R P.526.
///
/// ```
/// use dw_core::Metres;
/// let half = Metres::new(500.0);
/// assert!((dw_engine::link::radio::fresnel_radius(5500.0, half, half).get() - 3.691).abs() < 1e-3);
/// ```
pub fn fresnel_radius(frequency_mhz: f64, to_first: Metres, to_second: Metres) -> Metres {
    let (d1, d2) = (to_first.get(), to_second.get());
    Metres::try_new((LIGHT / (frequency_mhz * 1e6) * d1 * d2 / (d1 + d2)).sqrt()).unwrap_or(Metres::ZERO)
}

/// Words of the clearance.
pub const CLEARANCE: Formula = Formula {
    title: "Clearance wanted around the path",
    unit: "m",
    formula: "clearance = share * radius",
    source: "60 % of the first Fresnel zone is common practice",
};

/// Words of [`earth_bulge`].
pub const EARTH_BULGE: Formula = Formula {
    title: "Height of the earth between two points",
    unit: "m",
    formula: "bulge = d1 * d2 / (2 * factor * radius)",
    source: "ITU-R P.530: radius 6371 km, factor 4/3",
};

/// How far the earth rises between two points above the line that joins them.
///
/// **Formula** h = d₁ d₂ / (2 k a). **Units and range** distances to both ends; k above zero, a in km.
/// **Source** ITU-R P.530.
///
/// ```
/// use dw_core::Metres;
/// use dw_engine::link::radio::{EARTH_FACTOR, EARTH_KM, earth_bulge};
/// let half = Metres::new(2500.0);
/// assert!((earth_bulge(half, half, EARTH_FACTOR, EARTH_KM).get() - 0.368).abs() < 1e-3);
/// ```
pub fn earth_bulge(to_first: Metres, to_second: Metres, factor: f64, radius_km: f64) -> Metres {
    Metres::try_new(to_first.get() * to_second.get() / (2.0 * factor * radius_km * 1000.0)).unwrap_or(Metres::ZERO)
}

/// Words of [`antenna_height`].
pub const ANTENNA_HEIGHT: Formula = Formula {
    title: "Height of the path over an obstacle",
    unit: "m",
    formula: "height = obstacle + growth + bulge + clear_share * radius",
    source: "ITU-R P.530 and P.526; 60 % of the first Fresnel zone is common practice",
};

/// Height the path must have where an obstacle stands.
///
/// **Formula** h = obstacle + growth + bulge + s F₁. **Source** ITU-R P.530, P.526; 60 % is *common practice*.
///
/// ```
/// use dw_core::Metres;
/// use dw_engine::link::radio::antenna_height;
/// let m = Metres::new;
/// let height = antenna_height(m(8.0), m(2.0), m(0.368), 0.6, m(8.04));
/// assert!((height.get() - 15.192).abs() < 1e-9);
/// ```
pub fn antenna_height(obstacle: Metres, growth: Metres, bulge: Metres, clear_share: f64, radius: Metres) -> Metres {
    obstacle + growth + bulge + radius * clear_share
}

/// Words of [`eirp`].
pub const EIRP: Formula = Formula {
    title: "Radiated power (EIRP)",
    unit: "dBm",
    formula: "eirp = power - loss + gain",
    source: "definition, ITU Radio Regulations 1.161",
};

/// Power radiated against an antenna that radiates everywhere alike, dBm.
///
/// **Formula** P − L + G. **Units and range** dBm, dB, dBi. **Source** ITU Radio Regulations 1.161.
///
/// ```
/// assert_eq!(dw_engine::link::radio::eirp(14.0, 1.0, 16.0), 29.0);
/// ```
pub fn eirp(power_dbm: f64, loss_db: f64, gain_dbi: f64) -> f64 {
    power_dbm - loss_db + gain_dbi
}

/// Words of [`received`].
pub const RECEIVED: Formula = Formula {
    title: "Level received",
    unit: "dBm",
    formula: "level = eirp - path_loss + gain - loss",
    source: "ITU-R P.525-5",
};

/// Level at the receiver, dBm.
///
/// **Formula** EIRP − L_path + G − L. **Source** ITU-R P.525-5.
///
/// ```
/// assert!((dw_engine::link::radio::received(29.0, 107.25, 16.0, 1.0) - -63.25).abs() < 1e-9);
/// ```
pub fn received(eirp_dbm: f64, path_loss_db: f64, gain_dbi: f64, loss_db: f64) -> f64 {
    eirp_dbm - path_loss_db + gain_dbi - loss_db
}

/// Words of the margin.
pub const MARGIN: Formula = Formula {
    title: "Margin over the least level of a rate",
    unit: "dB",
    formula: "margin = level - sensitivity",
    source: "definition; least levels of IEEE 802.11 at 10 % packet errors: real radios are better",
};

/// Words of [`along`].
pub const GAS_LOSS: Formula = Formula {
    title: "Loss of the air along the path",
    unit: "dB",
    formula: "loss = loss_per_km * distance",
    source: "ITU-R P.676: oxygen 15.1 dB/km at 60 GHz",
};

/// Words of the loss in rain.
pub const RAIN_LOSS: Formula = Formula {
    title: "Loss in rain along the path",
    unit: "dB",
    formula: "loss = k * rain^alpha * distance",
    source: "ITU-R P.838-3",
};

/// Loss along a path, dB, from a loss a kilometre.
///
/// **Formula** L = γ d. **Assumes** the same loss everywhere: true of air, cautious for rain beyond a kilometre or two.
/// **Source** ITU-R P.676, P.838-3.
///
/// ```
/// use dw_core::Metres;
/// assert!((dw_engine::link::radio::along(15.1, Metres::new(200.0)) - 3.02).abs() < 1e-9);
/// ```
pub fn along(db_per_km: f64, distance: Metres) -> f64 {
    db_per_km * distance.get() / 1000.0
}

/// Loss of the air, dB/km; `None` between 10 and 57 GHz and above 64 GHz, where no bridge of ours works.
///
/// **Source** ITU-R P.676: 15.1 dB/km at 60 GHz, computed with an open library and taken for the whole band; below
/// 10 GHz less than 0.01 dB/km (*from memory*).
pub fn air_db_per_km(frequency_mhz: f64) -> Option<f64> {
    match frequency_mhz {
        f if f < 10_000.0 => Some(0.01),
        f if (57_000.0..=64_000.0).contains(&f) => Some(15.1),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_exact_constant_of_the_loss_is_32_448() {
        assert!((free_space_loss(1.0, Metres::new(1000.0)) - 32.448).abs() < 0.001);
    }

    #[test]
    fn twice_the_distance_costs_six_decibels() {
        let near = free_space_loss(5800.0, Metres::new(700.0));
        let far = free_space_loss(5800.0, Metres::new(1400.0));
        assert!((far - near - 6.0206).abs() < 1e-4);
    }

    #[test]
    fn the_zone_is_widest_in_the_middle_and_nothing_at_the_ends() {
        let at = |d1: f64| fresnel_radius(2437.0, Metres::new(d1), Metres::new(300.0 - d1));
        assert_eq!(at(0.0), Metres::ZERO);
        assert!(at(150.0) > at(149.0) && at(150.0) > at(151.0));
        assert_eq!(fresnel_radius(2437.0, Metres::ZERO, Metres::ZERO), Metres::ZERO, "a path of no length");
    }
}
