//! Loss in rain by frequency: the regression of ITU-R P.838-3.

/// One term of a sum: height, middle and width of a bell over log₁₀ f.
type Bell = (f64, f64, f64);

/// A quantity over frequency: bells, slope and offset.
struct Fit {
    bells: &'static [Bell],
    slope: f64,
    offset: f64,
}

// Coefficients of ITU-R P.838-3 tables 1 to 4, from memory; compared with an open library in the tests.
const K_HORIZONTAL: Fit = Fit {
    bells: &[
        (-5.339_80, -0.100_08, 1.130_98),
        (-0.353_51, 1.269_70, 0.454_00),
        (-0.237_89, 0.860_36, 0.153_54),
        (-0.941_58, 0.645_52, 0.168_17),
    ],
    slope: -0.189_61,
    offset: 0.711_47,
};
const K_VERTICAL: Fit = Fit {
    bells: &[
        (-3.805_95, 0.569_34, 0.810_61),
        (-3.449_65, -0.229_11, 0.510_59),
        (-0.399_02, 0.730_42, 0.118_99),
        (0.501_67, 1.073_19, 0.271_95),
    ],
    slope: -0.163_98,
    offset: 0.632_97,
};
const ALPHA_HORIZONTAL: Fit = Fit {
    bells: &[
        (-0.143_18, 1.824_42, -0.551_87),
        (0.295_91, 0.775_64, 0.198_22),
        (0.321_77, 0.637_73, 0.131_64),
        (-5.376_10, -0.962_30, 1.478_28),
        (16.172_1, -3.299_80, 3.439_90),
    ],
    slope: 0.678_49,
    offset: -1.955_37,
};
const ALPHA_VERTICAL: Fit = Fit {
    bells: &[
        (-0.077_71, 2.338_40, -0.762_84),
        (0.567_27, 0.955_45, 0.540_39),
        (-0.202_38, 1.145_20, 0.268_09),
        (-48.299_1, 0.791_669, 0.116_226),
        (48.583_3, 0.791_459, 0.116_479),
    ],
    slope: -0.053_739,
    offset: 0.834_33,
};

impl Fit {
    fn at(&self, log_ghz: f64) -> f64 {
        let bell = |(height, middle, width): &Bell| {
            let from_middle = (log_ghz - middle) / width;
            height * libm::exp(-from_middle * from_middle)
        };
        self.bells.iter().map(bell).sum::<f64>() + self.slope * log_ghz + self.offset
    }
}

/// How a wave swings.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Polarisation {
    /// Flat drops weaken it most.
    Horizontal,
    /// Upright.
    Vertical,
}

/// Loss in rain, dB/km; `None` outside 1 to 1000 GHz.
///
/// **Formula** γ = k R^α, k and α by frequency and polarisation.
/// **Units and range** MHz; rain in mm/h.
/// **Source** ITU-R P.838-3.
///
/// ```
/// use dw_engine::link::rain::{Polarisation, db_per_km};
/// let gamma = db_per_km(60_480.0, 25.0, Polarisation::Vertical).unwrap();
/// assert!((gamma - 9.5).abs() < 0.1);
/// ```
pub fn db_per_km(frequency_mhz: f64, rain_mm_per_h: f64, polarisation: Polarisation) -> Option<f64> {
    let ghz = frequency_mhz / 1000.0;
    if !(1.0..=1000.0).contains(&ghz) || rain_mm_per_h < 0.0 {
        return None;
    }
    let log_ghz = libm::log10(ghz);
    let (k, alpha) = match polarisation {
        Polarisation::Horizontal => (&K_HORIZONTAL, &ALPHA_HORIZONTAL),
        Polarisation::Vertical => (&K_VERTICAL, &ALPHA_VERTICAL),
    };
    let k = libm::pow(10.0, k.at(log_ghz));
    Some(k * libm::pow(rain_mm_per_h, alpha.at(log_ghz)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rain_weakens_as_an_open_library_says() {
        // Recorded by `scripts/judge_link.py`.
        let text = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/../../validation/judges/rain.csv"));
        let mut rows = 0;
        for line in text.lines().filter(|line| !line.starts_with('#')).skip(1) {
            let fields: Vec<&str> = line.split(',').collect();
            let number = |at: usize| fields[at].parse::<f64>().unwrap();
            let swings = if fields[2] == "vertical" { Polarisation::Vertical } else { Polarisation::Horizontal };
            let ours = db_per_km(number(0), number(1), swings).unwrap();
            assert!((ours - number(3)).abs() <= 1e-6 + 1e-4 * number(3), "{line}: {ours}");
            rows += 1;
        }
        assert!(rows > 30);
    }

    #[test]
    fn harder_rain_never_weakens_less_and_no_rain_nothing() {
        assert_eq!(db_per_km(5500.0, 0.0, Polarisation::Horizontal), Some(0.0));
        for mhz in [2437.0, 5500.0, 24_000.0, 60_480.0] {
            let losses: Vec<f64> =
                (1..100).filter_map(|rain| db_per_km(mhz, f64::from(rain), Polarisation::Vertical)).collect();
            assert!(losses.len() == 99 && losses.windows(2).all(|pair| pair[0] < pair[1]));
        }
    }

    #[test]
    fn outside_the_range_of_the_recommendation_there_is_no_answer() {
        assert_eq!(db_per_km(900.0, 25.0, Polarisation::Vertical), None);
        assert_eq!(db_per_km(1_000_001.0, 25.0, Polarisation::Vertical), None);
    }
}
