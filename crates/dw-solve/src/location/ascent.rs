//! Multipliers on their way up to the best lower bound: a subgradient method with deflected steps.
//!
//! Multipliers are whole numbers of 1/64 of the cost unit, so every value is exact. Sources: see [`super::bound`].

/// Multipliers are counted in this fraction of the cost unit.
pub(super) const FINE: i64 = 64;

/// Largest multiplier, so that sums fit 64 bits; customers that cannot all be served drive multipliers there.
const MAX_MULTIPLIER: i64 = 64 * super::problem::MAX_AMOUNT;

/// A relaxation of "every customer is served once".
pub(super) trait Relaxed {
    /// The bound at the given multipliers, in fine units, for the customers not left out; `taken` receives how often
    /// each customer is taken.
    fn bound(&mut self, multipliers: &[i64], is_left_out: &[bool], taken: &mut [u32]) -> i64;
}

/// Multipliers on their way up.
#[derive(Debug)]
pub(super) struct Ascent<R> {
    pub(super) relaxation: R,
    /// Multipliers of the best bound so far.
    pub(super) best: Vec<i64>,
    /// Best bound so far, in fine units.
    pub(super) bound: i64,
    /// Customers left out of the problem.
    pub(super) is_left_out: Vec<bool>,
    current: Vec<i64>,
    taken: Vec<u32>,
    direction: Vec<f64>,
    pub(super) step: f64,
    /// Bound at the current multipliers.
    value: i64,
    n_stalled: u32,
}

/// Share of the previous direction that is kept. *Common practice* for deflected steps; chosen by trial.
const KEPT_DIRECTION: f64 = 0.4;

/// Rounds without progress after which the step is halved. *Common practice*; chosen by trial.
const PATIENCE: u32 = 25;

impl<R: Relaxed> Ascent<R> {
    /// Begins at some multipliers.
    pub(super) fn new(relaxation: R, start: Vec<i64>, is_left_out: Vec<bool>) -> Self {
        let n_customers = start.len();
        let mut ascent = Self {
            relaxation,
            best: start.clone(),
            bound: i64::MIN,
            is_left_out,
            current: start,
            taken: vec![0; n_customers],
            direction: vec![0.0; n_customers],
            step: 1.0,
            value: i64::MIN,
            n_stalled: 0,
        };
        ascent.evaluate();
        ascent
    }

    /// Begins again at some multipliers, with a first step, after the relaxation has changed.
    pub(super) fn restart(&mut self, multipliers: &[i64], step: f64) {
        self.current.clear();
        self.current.extend_from_slice(multipliers);
        self.bound = i64::MIN;
        self.direction.fill(0.0);
        self.step = step;
        self.n_stalled = 0;
        self.evaluate();
    }

    /// The proven bound in the cost unit.
    pub(super) fn proven(&self) -> i64 {
        (self.bound + FINE - 1).div_euclid(FINE)
    }

    /// Whether steps have become too small to matter.
    pub(super) fn has_settled(&self) -> bool {
        self.step < 1e-3
    }

    /// One round: a step towards the target (the cost of the best plan, in the cost unit) and the bound there.
    pub(super) fn round(&mut self, target: i64) {
        let mut length = 0.0;
        for (at, direction) in self.direction.iter_mut().enumerate() {
            if self.is_left_out[at] {
                *direction = 0.0;
                continue;
            }
            let slope = 1.0 - f64::from(self.taken[at]);
            *direction = slope + KEPT_DIRECTION * *direction;
            length += *direction * *direction;
        }
        if length < 1e-9 {
            self.step = 0.0;
            return;
        }
        let here = self.value as f64;
        let missing = ((target.saturating_mul(FINE)) as f64 - here).max(FINE as f64);
        let scale = self.step * missing / length;
        for (multiplier, direction) in self.current.iter_mut().zip(&self.direction) {
            *multiplier = multiplier.saturating_add((scale * direction) as i64).clamp(-MAX_MULTIPLIER, MAX_MULTIPLIER);
        }
        self.evaluate();
    }

    fn evaluate(&mut self) {
        let value = self.relaxation.bound(&self.current, &self.is_left_out, &mut self.taken);
        self.value = value;
        if value > self.bound {
            self.bound = value;
            self.best.clone_from(&self.current);
            self.n_stalled = 0;
            return;
        }
        self.n_stalled += 1;
        if self.n_stalled >= PATIENCE {
            self.n_stalled = 0;
            self.step /= 2.0;
        }
    }
}
