//! The reader interface of two data lines: time of a frame, timing limits, reach by conductor.
//!
//! Source: SIA AC-01-1996.10, seen in secondary texts. The interface is not supervised: a cut or shorted pair is silent.

use dw_core::Metres;

use crate::power::Formula;

/// Shortest and longest pulse, ms. Source: SIA AC-01-1996.10, 20 to 100 µs.
pub const PULSE_MS: (f64, f64) = (0.02, 0.1);

/// Shortest and longest interval between pulses, ms. Source: SIA AC-01-1996.10, 200 µs to 20 ms.
pub const INTERVAL_MS: (f64, f64) = (0.2, 20.0);

/// Reach of two data lines, m, by gauge (AWG): planned with caution, and where copies of the standard allow it.
///
/// Source: 500/300/200 ft for 18/20/22 AWG, often credited to SIA AC-01 (*from memory*); 500 ft on 22 AWG screened is
/// *common practice*. The two contradict each other, so that a run between them is told of.
const REACH: [(u32, f64, f64); 3] = [(18, 150.0, 150.0), (20, 90.0, 150.0), (22, 60.0, 150.0)];

/// Words of [`frame_time`].
pub const FRAME_TIME: Formula = Formula {
    title: "Time to send a credential over two data lines",
    unit: "ms",
    formula: "time = (bits - 1) * interval + pulse",
    source: "timing definitions of SIA AC-01-1996.10",
};

/// Time a credential takes over two data lines.
///
/// **Formula** t = (n − 1) t_interval + t_pulse.
/// **Units and range** interval and pulse in ms.
/// **Source** timing definitions of SIA AC-01-1996.10.
///
/// ```
/// let ms = dw_engine::link::data_lines::frame_time(26, 2.0, 0.05);
/// assert!((ms - 50.05).abs() < 1e-9);
/// ```
pub fn frame_time(bits: u32, interval_ms: f64, pulse_ms: f64) -> f64 {
    f64::from(bits.saturating_sub(1)) * interval_ms + pulse_ms
}

/// Words of [`timing_fault`].
pub const TIMING: Formula = Formula {
    title: "Whether pulses on two data lines keep the limits",
    unit: "",
    formula: "20 us <= pulse <= 100 us; 200 us <= interval <= 20 ms; pulse < interval",
    source: "SIA AC-01-1996.10, limits seen in a secondary text",
};

/// What is wrong with the timing of a reader on two data lines; `None` inside the limits.
///
/// **Units and range** pulse and interval in ms. **Source** SIA AC-01-1996.10.
///
/// ```
/// use dw_engine::link::data_lines::timing_fault;
/// assert_eq!(timing_fault(0.05, 1.0), None);
/// assert_eq!(timing_fault(0.015, 1.0), Some("pulse below 20 us"));
/// ```
pub fn timing_fault(pulse_ms: f64, interval_ms: f64) -> Option<&'static str> {
    if pulse_ms < PULSE_MS.0 {
        Some("pulse below 20 us")
    } else if pulse_ms > PULSE_MS.1 {
        Some("pulse above 100 us")
    } else if interval_ms < INTERVAL_MS.0 {
        Some("interval below 200 us")
    } else if interval_ms > INTERVAL_MS.1 {
        Some("interval above 20 ms")
    } else {
        None
    }
}

/// How far two data lines reach over a conductor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Planned with caution.
    pub cautious: Metres,
    /// The longest any text allows.
    pub longest: Metres,
}

/// Words of [`reach`].
pub const REACH_BY_GAUGE: Formula = Formula {
    title: "Reach of two data lines, planned with caution",
    unit: "m",
    formula: "reach = 150 m on 18 AWG, 90 m on 20 AWG, 60 m on 22 AWG; texts also allow 150 m on 22 AWG screened",
    source: "500/300/200 ft often credited to SIA AC-01 (from memory); 500 ft on 22 AWG screened is common practice",
};

/// How far two data lines reach over a conductor of this gauge; `None` for one thinner than 22 AWG, about which the
/// texts say nothing.
///
/// **Shape** a gauge between two rows of the table takes the thinner row. **Source** as [`REACH_BY_GAUGE`].
///
/// ```
/// use dw_engine::link::data_lines::reach;
/// let reach_22 = reach(22).unwrap();
/// assert_eq!((reach_22.cautious.get(), reach_22.longest.get()), (60.0, 150.0));
/// assert_eq!(reach(19).unwrap().cautious.get(), 90.0);
/// assert_eq!(reach(24), None);
/// ```
pub fn reach(awg: u32) -> Option<Reach> {
    let row = REACH.iter().find(|row| awg <= row.0)?;
    Some(Reach { cautious: Metres::new(row.1), longest: Metres::new(row.2) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_ends_of_each_limit_are_inside_it_and_the_next_step_is_not() {
        for (pulse, interval) in [(0.02, 0.2), (0.1, 20.0)] {
            assert_eq!(timing_fault(pulse, interval), None);
        }
        assert_eq!(timing_fault(0.1001, 1.0), Some("pulse above 100 us"));
        assert_eq!(timing_fault(0.05, 0.199), Some("interval below 200 us"));
        assert_eq!(timing_fault(0.05, 20.1), Some("interval above 20 ms"));
    }

    #[test]
    fn a_thicker_conductor_never_reaches_less_far() {
        let cautious: Vec<Metres> = (12..=22).filter_map(reach).map(|reach| reach.cautious).collect();
        assert_eq!(cautious.len(), 11);
        assert!(cautious.windows(2).all(|pair| pair[0] >= pair[1]));
    }
}
