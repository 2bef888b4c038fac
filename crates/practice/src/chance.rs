//! Numbers that follow from a seed.
//!
//! SplitMix64 (Steele, Lea and Flood 2014, 10.1145/2660193.2660195; constants from memory, held by a test against
//! the published first outputs of its reference). Own code and not a library's generator: a saved answer names only the
//! seed of its case, and the case must be the same after every update of a library.

/// A generator: the same seed gives the same numbers, for ever.
#[derive(Debug, Clone)]
pub(crate) struct Chance(u64);

impl Chance {
    /// From a seed, and the purpose for which numbers are drawn, so that two purposes share no numbers.
    pub(crate) const fn new(seed: u64, purpose: u64) -> Self {
        Self(mixed(seed).wrapping_add(mixed(purpose ^ 0x5bf0_3635)))
    }

    pub(crate) const fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        mixed(self.0)
    }

    /// From 0 up to and without 1.
    pub(crate) fn share(&mut self) -> f64 {
        // The 53 upper bits are the precision of a float.
        (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// Evenly between two values.
    pub(crate) fn between(&mut self, from: f64, to: f64) -> f64 {
        from + (to - from) * self.share()
    }

    /// One of `0..n`; 0 if `n` is 0.
    pub(crate) fn below(&mut self, n: u64) -> u64 {
        // The bias of the upper half of a product is below one in 2^50 for the few choices made here.
        ((u128::from(self.next()) * u128::from(n)) >> 64) as u64
    }
}

/// The finaliser of the generator.
const fn mixed(value: u64) -> u64 {
    let value = (value ^ (value >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    let value = (value ^ (value >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    value ^ (value >> 31)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// First outputs of SplitMix64 for seed 1234567, as printed with its reference (from memory).
    #[test]
    fn the_numbers_are_those_of_the_published_generator() {
        let mut chance = Chance(1_234_567);
        assert_eq!(
            [chance.next(), chance.next(), chance.next()],
            [6_457_827_717_110_365_317, 3_203_168_211_198_807_973, 9_817_491_932_198_370_423]
        );
    }

    #[test]
    fn shares_fill_their_range_evenly() {
        let mut chance = Chance::new(4, 1);
        let shares: Vec<f64> = (0..4_000).map(|_| chance.share()).collect();
        assert!(shares.iter().all(|share| (0.0..1.0).contains(share)));
        // The mean of 4,000 even shares is 0.5 with a standard error of 0.289 / 63.2 = 0.0046.
        let mean = shares.iter().sum::<f64>() / 4_000.0;
        assert!((mean - 0.5).abs() < 0.02, "{mean}");
        let mut seen = [0; 3];
        (0..3_000).for_each(|_| seen[chance.below(3) as usize] += 1);
        assert!(seen.iter().all(|count| (850..1_150).contains(count)), "{seen:?}");
        assert_eq!(chance.below(0), 0);
    }
}
