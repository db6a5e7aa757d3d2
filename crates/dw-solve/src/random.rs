//! A small seeded generator of pseudo-random numbers, the same on every machine.
//!
//! Source: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom number generators", OOPSLA 2014
//! (the mixing constants are from its `SplitMix64`).

/// `SplitMix64`: one addition and one mixing step per number; good enough to choose moves, not for secrets.
#[derive(Debug, Clone)]
pub(crate) struct Random {
    state: u64,
}

impl Random {
    /// Starts the sequence that belongs to `seed`.
    pub(crate) fn new(seed: u64) -> Self {
        Self { state: seed }
    }

    /// The next 64 bits of the sequence.
    pub(crate) fn next(&mut self) -> u64 {
        self.state = self.state.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.state;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 to `bound - 1`; 0 when `bound` is 0.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        ((u128::from(self.next()) * bound as u128) >> 64) as usize
    }

    /// A number from 0 up to, not including, 1.
    pub(crate) fn unit(&mut self) -> f64 {
        (self.next() >> 11) as f64 / (1u64 << 53) as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_sequence_matches_the_published_generator() {
        // First outputs of SplitMix64 for seed 1234567, as listed with the reference implementation.
        let mut random = Random::new(1_234_567);
        assert_eq!(random.next(), 6_457_827_717_110_365_317);
        assert_eq!(random.next(), 3_203_168_211_198_807_973);
    }

    #[test]
    fn numbers_stay_below_their_bound() {
        let mut random = Random::new(7);
        for bound in 1..50 {
            assert!(random.below(bound) < bound);
            assert!(random.unit() < 1.0);
        }
        assert_eq!(random.below(0), 0);
    }
}
