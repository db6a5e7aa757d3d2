//! Degrees of protection: what one ingress code says of another, and the energy of an impact code.
//!
//! Sources: IEC 60529 (ingress) and IEC 62262 with Amendment 1:2021 (impact), read from secondary texts.

use crate::power::Formula;

/// Words of [`IngressCode::bears`].
pub const INGRESS: Formula = Formula {
    title: "Whether one ingress code answers for another",
    unit: "",
    formula: "solids >= solids wanted; water 0 to 6 answers for all below it, 7 and 8 for 0 to 4, 9 for 0",
    source: "IEC 60529: a water numeral implies the lower ones up to 6 only; 7, 8 and 9 do not imply jets (5, 6)",
};

/// Protection against solids and water; a numeral that is not stated promises nothing and asks for nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct IngressCode {
    /// First numeral, 0 to 6.
    pub solids: u32,
    /// Second numeral, 0 to 9.
    pub water: u32,
}

impl IngressCode {
    /// Reads `IP67`, `67`, `IPX5`, `IP5X`; `None` for anything else.
    pub fn read(written: &str) -> Option<Self> {
        let upper = written.trim().to_uppercase();
        let mut numerals = upper.strip_prefix("IP").unwrap_or(&upper).chars();
        let (Some(solids), Some(water), None) = (numerals.next(), numerals.next(), numerals.next()) else {
            return None;
        };
        let numeral = |written: char| if written == 'X' { Some(0) } else { written.to_digit(10) };
        Some(Self { solids: numeral(solids).filter(|numeral| *numeral <= 6)?, water: numeral(water)? })
    }

    /// Whether a body with this code may stand where `wanted` is asked for.
    ///
    /// **Assumes** one code: a body marked twice (`IPX5/IPX7`) is asked once for each mark.
    /// **Source** IEC 60529. That 9 says nothing of 1 to 4 is the cautious reading.
    ///
    /// ```
    /// use dw_engine::protection_codes::IngressCode;
    /// let code = |text| IngressCode::read(text).unwrap();
    /// assert!(code("IP66").bears(code("IPX5")));
    /// assert!(!code("IP67").bears(code("IPX5")));
    /// ```
    pub fn bears(self, wanted: Self) -> bool {
        let wet = match self.water {
            0..=6 => self.water >= wanted.water,
            7 => wanted.water <= 4 || wanted.water == 7,
            8 => wanted.water <= 4 || (7..=8).contains(&wanted.water),
            _ => wanted.water == 0 || wanted.water == 9,
        };
        self.solids >= wanted.solids && wet
    }
}

/// Words of [`impact_energy`].
pub const IMPACT_ENERGY: Formula = Formula {
    title: "Impact energy of a code",
    unit: "J",
    formula: "energy by code, in joules",
    source: "IEC 62262:2002 with Amendment 1:2021 (adds IK11)",
};

/// Joules of IK01 to IK11. Source: IEC 62262:2002 with Amendment 1:2021.
const IMPACT_JOULES: [f64; 11] = [0.14, 0.2, 0.35, 0.5, 0.7, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0];

/// Energy an impact code stands for, in joules; `None` for IK00, which promises nothing, and beyond IK11.
///
/// **Source** IEC 62262 with Amendment 1:2021.
///
/// ```
/// use dw_engine::protection_codes::impact_energy;
/// assert_eq!((impact_energy(8), impact_energy(11), impact_energy(0)), (Some(5.0), Some(50.0), None));
/// ```
pub fn impact_energy(ik: u32) -> Option<f64> {
    let index = usize::try_from(ik.checked_sub(1)?).ok()?;
    IMPACT_JOULES.get(index).copied()
}

/// Standard acceleration of free fall, m/s². Source: ISO 80000-3 (the case counts with 9.81).
pub const FREE_FALL: f64 = 9.81;

/// Words of [`drop_energy`].
pub const DROP_ENERGY: Formula = Formula {
    title: "Energy of a dropped mass",
    unit: "J",
    formula: "energy = mass * 9.81 * height",
    source: "m g h; IEC 62262 tests with a mass dropped from a height",
};

/// Energy of a dropped mass, in joules.
///
/// **Formula** E = m g h. **Units** kilograms and metres.
///
/// ```
/// assert!((dw_engine::protection_codes::drop_energy(5.0, 0.4) - 19.62).abs() < 1e-9);
/// ```
pub fn drop_energy(mass_kg: f64, height_m: f64) -> f64 {
    mass_kg * FREE_FALL * height_m
}

#[cfg(test)]
mod tests {
    use super::*;

    fn bears(have: &str, wanted: &str) -> bool {
        IngressCode::read(have).unwrap().bears(IngressCode::read(wanted).unwrap())
    }

    #[test]
    fn a_water_numeral_answers_for_lower_ones_up_to_six_only() {
        assert!(bears("IP65", "IP65") && bears("IP66", "IP54") && !bears("IP54", "IP55") && !bears("IP56", "IP65"));
        assert!(bears("IP67", "IP64") && !bears("IP67", "IP65") && bears("IP68", "IP67") && !bears("IP67", "IP68"));
        assert!(!bears("IP69", "IP65") && bears("IP69", "IPX9") && !bears("IP69", "IP61"));
        assert!(bears("IP20", "IPXX"));
    }

    #[test]
    fn a_code_is_read_with_and_without_its_letters_and_nothing_else_is() {
        assert_eq!(IngressCode::read(" ip5x "), Some(IngressCode { solids: 5, water: 0 }));
        assert_eq!(IngressCode::read("67"), Some(IngressCode { solids: 6, water: 7 }));
        for wrong in ["", "IP", "IP6", "IP75", "IP6A", "IP655", "IPÄ5"] {
            assert_eq!(IngressCode::read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn impact_codes_end_at_eleven_and_rise() {
        assert_eq!((impact_energy(10), impact_energy(12)), (Some(20.0), None));
        assert!((2..=11).all(|ik| impact_energy(ik) > impact_energy(ik - 1)));
    }
}
