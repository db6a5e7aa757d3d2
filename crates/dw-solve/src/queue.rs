//! Waiting in line: the mean wait at one server, exact for any service time.

/// Share of time one server is busy: arrival rate times mean service. From 1 on the line grows without limit.
///
/// ```
/// assert!((dw_solve::queue::utilisation(120.0 / 3600.0, 9.85) - 0.3283).abs() < 1e-4);
/// ```
pub fn utilisation(arrivals_per_s: f64, mean_service_s: f64) -> f64 {
    arrivals_per_s * mean_service_s
}

/// Mean wait before service at one server with arrivals at random (M/G/1); `None` when the line grows without limit.
///
/// **Formula** Wq = λ E\[S²\] / (2 (1 - λ E\[S\])).
/// **Units** seconds, arrivals a second, seconds squared.
/// **Assumes** Poisson arrivals, independent service times, a steady state.
/// **Source** Pollaczek and Khinchine.
///
/// ```
/// // Service of 8 s for 95 of 100 and 45 s for the others, 120 an hour.
/// let (mean, square) = (0.95 * 8.0 + 0.05 * 45.0, 0.95 * 64.0 + 0.05 * 2025.0);
/// let wait = dw_solve::queue::mean_wait(120.0 / 3600.0, mean, square).unwrap();
/// assert!((wait - 4.021).abs() < 1e-3);
/// ```
pub fn mean_wait(arrivals_per_s: f64, mean_service_s: f64, mean_square_s2: f64) -> Option<f64> {
    let busy = utilisation(arrivals_per_s, mean_service_s);
    (busy < 1.0).then(|| arrivals_per_s * mean_square_s2 / (2.0 * (1.0 - busy)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn exponential_and_constant_service_meet_their_closed_forms() {
        // M/M/1: Wq = rho / (mu - lambda); M/D/1 waits half as long.
        let (arrivals, service) = (0.5, 1.0);
        let exponential = mean_wait(arrivals, service, 2.0 * service * service).unwrap();
        let constant = mean_wait(arrivals, service, service * service).unwrap();
        assert!((exponential - 0.5 / (1.0 - 0.5)).abs() < 1e-12);
        assert!((constant - exponential / 2.0).abs() < 1e-12);
    }

    #[test]
    fn a_line_that_is_always_busy_has_no_mean_wait() {
        assert_eq!(mean_wait(1.0, 1.0, 1.0), None);
        assert!(mean_wait(0.999, 1.0, 1.0).is_some());
        assert_eq!(mean_wait(0.0, 10.0, 100.0), Some(0.0));
    }
}
