//! Reading number plates: sharpness and size in the picture, rates of reading, and the line of vehicles behind.
//!
//! Sources: geometry of a picture; Display of Registration Marks Regulations 2001 for sizes of characters. A plate can be
//! copied: it is one factor of low assurance (*common practice*). The page `docs/calculations/plates.md` shows the formulas.

use dw_core::{Metres, Seconds};

use crate::power::Formula;

/// Words of [`blur`].
pub const BLUR: Formula = Formula {
    title: "Blur by motion",
    unit: "px",
    formula: "blur = speed * exposure * sin(angle) * px_per_m, angle between travel and the axis of the camera",
    source: "geometry: way travelled across the picture while the shutter is open",
};

/// Pixels a vehicle moves across the picture while the shutter is open.
///
/// **Formula** v t sin(angle) d. **Units** m/s, seconds, degrees (90 across the view), pixels a metre.
///
/// ```
/// use dw_core::Seconds;
/// assert!((dw_engine::plates::blur(30.0 / 3.6, Seconds::new(0.002), 90.0, 200.0) - 3.333).abs() < 1e-3);
/// ```
pub fn blur(speed_m_per_s: f64, exposure: Seconds, angle_deg: f64, px_per_m: f64) -> f64 {
    speed_m_per_s * exposure.get() * sine(angle_deg) * px_per_m
}

/// Words of [`longest_exposure_s`].
pub const LONGEST_EXPOSURE: Formula = Formula {
    title: "Longest exposure for a blur",
    unit: "s",
    formula: "exposure = blur / (speed * sin(angle) * px_per_m)",
    source: "geometry: blur by motion solved for the exposure",
};

/// Longest exposure that keeps the blur, in seconds; `None` when nothing moves across the picture.
///
/// **Formula** blur / (v sin(angle) d).
///
/// ```
/// let exposure = dw_engine::plates::longest_exposure_s(1.0, 40.0 / 3.6, 90.0, 250.0).unwrap();
/// assert!((exposure - 0.00036).abs() < 1e-6);
/// ```
pub fn longest_exposure_s(blur_px: f64, speed_m_per_s: f64, angle_deg: f64, px_per_m: f64) -> Option<f64> {
    Some(blur_px / (speed_m_per_s * sine(angle_deg) * px_per_m)).filter(|exposure| exposure.is_finite())
}

fn sine(angle_deg: f64) -> f64 {
    // Exactly 1 across the view, and 0 along it.
    if angle_deg >= 90.0 { 1.0 } else { libm::sin(angle_deg.to_radians()) }
}

/// Words of [`size_in_picture`].
pub const SIZE: Formula = Formula {
    title: "Size in the picture",
    unit: "px",
    formula: "size = length * px_per_m * cos(yaw)",
    source: "geometry; UK characters 79 by 50 mm, stroke 14 mm (Display of Registration Marks Regulations 2001)",
};

/// Pixels a length on the plate takes; one across a turned plate shrinks by the cosine.
///
/// **Formula** l d cos(yaw). **Assumes** a plate small against its distance.
///
/// ```
/// use dw_core::Metres;
/// assert!((dw_engine::plates::size_in_picture(Metres::new(0.079), 250.0, 0.0) - 19.75).abs() < 1e-9);
/// ```
pub fn size_in_picture(length: Metres, px_per_m: f64, yaw_deg: f64) -> f64 {
    length.get() * px_per_m * libm::cos(yaw_deg.to_radians())
}

/// Words of [`reading_distance`].
pub const READING_DISTANCE: Formula = Formula {
    title: "Farthest distance at which a character still takes so many pixels",
    unit: "m",
    formula: "distance = (char / px_char) * px_half / tan(hfov / 2)",
    source: "geometry of a lens without distortion",
};

/// Distance at which a character takes `px_char` pixels; `None` when the picture has no angle.
///
/// **Formula** (character / its pixels) x half the picture's pixels / tan(half the angle of view).
///
/// ```
/// use dw_core::Metres;
/// let far = dw_engine::plates::reading_distance(Metres::new(1.125 * 0.0254), 14.0, 320.0, 6.0).unwrap();
/// assert!((far.get() / 0.3048 - 40.89).abs() < 0.01);
/// ```
pub fn reading_distance(character: Metres, px_char: f64, px_half: f64, view_deg: f64) -> Option<Metres> {
    Metres::try_new(character.get() / px_char * px_half / libm::tan((view_deg / 2.0).to_radians()))
}

/// Words of [`whole_plate`].
pub const WHOLE_PLATE: Formula = Formula {
    title: "Plates read without an error",
    unit: "",
    formula: "rate = p_char^chars",
    source: "independent characters",
};

/// Chance that every character of a plate is read. **Formula** `p^n`. **Assumes** independent characters.
///
/// ```
/// assert!((dw_engine::plates::whole_plate(0.99, 7.0) - 0.93207).abs() < 1e-5);
/// ```
pub fn whole_plate(character: f64, characters: f64) -> f64 {
    libm::pow(character, characters)
}

/// Words of a rate from end to end.
pub const END_TO_END: Formula = Formula {
    title: "Plates captured and read",
    unit: "",
    formula: "rate = capture * recognise",
    source: "product; 0.659 and 0.725 on an open highway (Univ. of Maryland, MD-09-SP708B4G, 2009)",
};

/// Words of both ways read.
pub const BOTH_WAYS: Formula = Formula {
    title: "Stays with entry and exit both read",
    unit: "",
    formula: "both = read^2",
    source: "independent readings; 0.95 each is a planning figure (common practice)",
};

/// Words of [`Lane::wait_s`].
pub const LANE_WAIT: Formula = Formula {
    title: "Mean wait of a vehicle before its reading",
    unit: "s",
    formula: "wait = rate * E[S^2] / (2 * (1 - rate * E[S])), S = t_read for share read, else t_fallback; rate = veh_per_h / 3600",
    source: "Pollaczek and Khinchine, M/G/1: arrivals at random, one lane",
};

/// One lane: most vehicles are read, the others are let in by hand or card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lane {
    /// Share of vehicles that are read.
    pub read: f64,
    /// Vehicles an hour.
    pub vehicles_per_h: f64,
    /// Time for one that is read.
    pub reading: Seconds,
    /// Time for one that is not.
    pub fallback: Seconds,
}

impl Lane {
    /// Mean time at the barrier, in seconds: R t1 + (1 - R) t2.
    pub fn mean_service_s(&self) -> f64 {
        self.moment(|time| time)
    }

    fn moment(&self, of: impl Fn(f64) -> f64) -> f64 {
        self.read * of(self.reading.get()) + (1.0 - self.read) * of(self.fallback.get())
    }

    /// Share of time the lane is busy; from 1 on the line grows without limit.
    pub fn utilisation(&self) -> f64 {
        dw_solve::queue::utilisation(self.vehicles_per_h / 3600.0, self.mean_service_s())
    }

    /// Mean wait before the reading, in seconds; `None` when the line grows without limit.
    ///
    /// **Formula** Pollaczek and Khinchine, [`dw_solve::queue::mean_wait`].
    /// **Assumes** vehicles at random; a ferry or a shift brings them in a crowd, and that line is longer.
    ///
    /// ```
    /// use dw_core::Seconds;
    /// use dw_engine::plates::Lane;
    /// let lane = |read, vehicles_per_h| Lane { read, vehicles_per_h, reading: Seconds::new(8.0), fallback: Seconds::new(45.0) };
    /// assert!((lane(0.8, 120.0).wait_s().unwrap() - 15.62).abs() < 0.01);
    /// assert_eq!(lane(0.7, 240.0).wait_s(), None);
    /// ```
    pub fn wait_s(&self) -> Option<f64> {
        dw_solve::queue::mean_wait(self.vehicles_per_h / 3600.0, self.mean_service_s(), self.moment(|time| time * time))
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn nothing_blurs_along_the_axis_of_the_camera() {
        assert!(blur(10.0, Seconds::new(0.01), 0.0, 200.0).abs() < 1e-12);
        assert_eq!(longest_exposure_s(1.0, 10.0, 0.0, 200.0), None);
        assert_eq!(reading_distance(Metres::new(0.05), 14.0, 320.0, 0.0), None);
    }

    proptest! {
        #[test]
        fn the_longest_exposure_gives_the_blur_allowed(speed in 0.1_f64..40.0, angle in 1.0_f64..90.0, density in 50.0_f64..500.0) {
            let exposure = longest_exposure_s(1.0, speed, angle, density).unwrap();
            prop_assert!((blur(speed, Seconds::new(exposure), angle, density) - 1.0).abs() < 1e-9);
        }

        #[test]
        fn more_vehicles_never_wait_less(read in 0.5_f64..1.0, vehicles in 1.0_f64..100.0) {
            let lane = |vehicles_per_h| Lane { read, vehicles_per_h, reading: Seconds::new(8.0), fallback: Seconds::new(45.0) };
            let (less, more) = (lane(vehicles).wait_s(), lane(vehicles * 1.1).wait_s());
            prop_assert!(more.is_none() || less.unwrap() <= more.unwrap());
        }
    }
}
