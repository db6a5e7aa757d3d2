//! Peak flow against what readers and lanes pass, in classes that the catalogue itself draws.
//!
//! Two openings whose flows lie between the same two rates of the catalogue meet the same devices, so they share a
//! choice; the finding names the flow of each.

use dw_core::Seconds;
use dw_job::Catalogue;
use dw_job::catalogue::Device;

/// The class of a flow.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Flow {
    /// No flow is surveyed.
    Unknown,
    /// Nothing in the catalogue is slower.
    Slight,
    /// Busier than this rate of the catalogue, and no busier than the next; thousandths of a person an hour.
    Above(u64),
}

impl Flow {
    /// What one lane with this device passes, thousandths of a person an hour.
    ///
    /// **Formula**: 3600 s over the passage time of a reader; 60 times the persons a minute of a body.
    pub(super) fn through(device: &Device) -> Option<u64> {
        if let Some(a_minute) = device.limits.persons_per_minute {
            return Some(u64::from(a_minute) * 60_000);
        }
        let seconds = device.reading.passage.map(Seconds::get).filter(|seconds| *seconds > 0.01)?;
        Some(libm::round(3_600_000.0 / seconds) as u64)
    }

    /// Why a rate is too slow for this flow.
    pub(super) fn too_slow(self, rate: u64) -> Option<String> {
        let Self::Above(busy) = self else { return None };
        (rate <= busy).then(|| format!("passes {} an hour, more than {} come at the busiest", rate / 1000, busy / 1000))
    }
}

/// The rates of a catalogue, slowest first.
pub(super) struct Rates(Vec<u64>);

impl Rates {
    pub(super) fn of(catalogue: &Catalogue) -> Self {
        let mut rates: Vec<u64> = catalogue.devices.values().filter_map(Flow::through).collect();
        rates.sort_unstable();
        rates.dedup();
        Self(rates)
    }

    /// The class of a flow of people an hour.
    pub(super) fn class(&self, people_an_hour: u32) -> Flow {
        if people_an_hour == 0 {
            return Flow::Unknown;
        }
        let flow = u64::from(people_an_hour) * 1000;
        let slower = self.0.partition_point(|rate| *rate < flow);
        slower.checked_sub(1).and_then(|idx| self.0.get(idx)).map_or(Flow::Slight, |rate| Flow::Above(*rate))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_flow_exactly_at_a_rate_is_passed_and_one_more_is_not() {
        let rates = Rates(vec![900_000, 1_200_000]);
        assert_eq!(rates.class(0), Flow::Unknown);
        assert_eq!(rates.class(900), Flow::Slight);
        assert_eq!(rates.class(901), Flow::Above(900_000));
        assert_eq!(rates.class(1200).too_slow(1_200_000), None);
        assert!(rates.class(1201).too_slow(1_200_000).is_some());
        assert!(rates.class(901).too_slow(900_000).is_some_and(|text| text.contains("passes 900 an hour")));
    }
}
