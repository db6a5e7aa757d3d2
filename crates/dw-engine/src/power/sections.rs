//! Battery size by sections (IEEE 485): loads that come and go, and a maker's discharge curve.
//!
//! Between the points of the curve the rating factor k_t is taken linear in time. Interpolating the currents instead
//! gives a smaller battery (59.20 beside 61.44 Ah in the published example); one rule is used throughout.

use dw_core::{AmpHours, Amps, Hours};

use super::Formula;
use super::battery::interpolate;

/// Words of [`rating_factor`].
pub const RATING_FACTOR: Formula = Formula {
    title: "Capacity rating factor",
    unit: "h",
    formula: "factor = capacity / current",
    source: "IEEE Std 485: nominal capacity over the current the battery gives for that time",
};

/// Capacity rating factor k_t of a battery for a discharge time.
///
/// **Formula** k_t = C / I(t), with I(t) the current the battery gives for the time t.
/// **Range** I above zero.
/// **Source** IEEE Std 485.
///
/// ```
/// use dw_core::{AmpHours, Amps};
/// let k = dw_engine::power::sections::rating_factor(AmpHours::new(104.0), Amps::new(58.0));
/// assert!((k.get() - 1.7931).abs() < 0.0001);
/// ```
pub fn rating_factor(capacity: AmpHours, current: Amps) -> Hours {
    Hours::new(capacity.get() / current.get())
}

/// Words of the capacity for one load.
pub const ONE_PERIOD: Formula = Formula {
    title: "Capacity for one load",
    unit: "Ah",
    formula: "required = load * capacity / current",
    source: "IEEE Std 485, one period",
};

/// A load with its start and end, in hours from the start of discharge.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TimedLoad {
    /// Current.
    pub current: Amps,
    /// Start.
    pub from: Hours,
    /// End.
    pub to: Hours,
}

/// Current during each period between changes of load: start, end, current; in order of time.
pub fn periods(loads: &[TimedLoad]) -> Vec<(Hours, Hours, Amps)> {
    let mut times: Vec<Hours> = loads.iter().flat_map(|load| [load.from, load.to]).collect();
    times.sort();
    times.dedup();
    times
        .iter()
        .zip(times.iter().skip(1))
        .map(|(&from, &to)| {
            let flows = loads.iter().filter(|load| load.from <= from && to <= load.to);
            (from, to, flows.map(|load| load.current).sum())
        })
        .collect()
}

/// Words of [`section_size`].
pub const SECTION_SIZE: Formula = Formula {
    title: "Battery size of one section",
    unit: "Ah",
    formula: "size = sum of (A_p - A_(p-1)) * k(end of section - start of p); k = capacity / curve, linear in time",
    source: "IEEE Std 485, cell sizing by sections, as worked in K. Webb, ESE 471, Oregon State University",
};
/// Words of [`largest_section`].
pub const LARGEST_SECTION: Formula = Formula {
    title: "Battery size of the largest section",
    unit: "Ah",
    formula: "size = largest of all sections of sum of (A_p - A_(p-1)) * k(end of section - start of p)",
    source: "IEEE Std 485, cell sizing by sections, as worked in K. Webb, ESE 471, Oregon State University",
};

/// Uncorrected battery size of the section that ends with period `section` (counted from 1); `None` when there is no
/// such section or a time lies outside the curve.
///
/// **Formula** Σ (A_p − A_{p−1}) k_t(T_p), T_p from the start of period p to the end of the section.
/// **Units** curve: hours and the current the battery gives for them, in rising order of time.
/// **Source** IEEE Std 485.
///
/// ```
/// use dw_core::{AmpHours, Amps, Hours};
/// use dw_engine::power::sections::{section_size, TimedLoad};
/// let load = TimedLoad { current: Amps::new(100.0), from: Hours::ZERO, to: Hours::new(2.0) };
/// let curve = [(1.0, 58.0), (2.0, 37.0)];
/// let size = section_size(&[load], &curve, AmpHours::new(104.0), 1).unwrap();
/// assert!((size.get() - 281.08).abs() < 0.01);
/// ```
pub fn section_size(loads: &[TimedLoad], curve: &[(f64, f64)], capacity: AmpHours, section: usize) -> Option<AmpHours> {
    let factors: Vec<(f64, f64)> = curve.iter().map(|&(hours, amps)| (hours, capacity.get() / amps)).collect();
    let periods = periods(loads);
    let end = periods.get(section.checked_sub(1)?)?.1;
    let mut before = Amps::ZERO;
    let mut size = 0.0;
    for &(from, _, current) in periods.iter().take(section) {
        size += (current - before).get() * interpolate(&factors, (end - from).get())?;
        before = current;
    }
    AmpHours::try_new(size)
}

/// The largest section and its number, counted from 1. The worst section need not be the last.
///
/// **Source** IEEE Std 485.
///
/// ```
/// use dw_core::{AmpHours, Amps, Hours};
/// use dw_engine::power::sections::{largest_section, TimedLoad};
/// let load = TimedLoad { current: Amps::new(58.0), from: Hours::ZERO, to: Hours::new(1.0) };
/// assert_eq!(largest_section(&[load], &[(1.0, 58.0)], AmpHours::new(104.0)), Some((1, AmpHours::new(104.0))));
/// ```
pub fn largest_section(loads: &[TimedLoad], curve: &[(f64, f64)], capacity: AmpHours) -> Option<(usize, AmpHours)> {
    let mut largest: Option<(usize, AmpHours)> = None;
    for section in 1..=periods(loads).len() {
        let size = section_size(loads, curve, capacity, section)?;
        if largest.is_none_or(|(_, best)| size > best) {
            largest = Some((section, size));
        }
    }
    largest
}
