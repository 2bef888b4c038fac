//! The random numbers of the simulator, from a seed.

use rand::{RngExt, SeedableRng, rngs::StdRng};

/// The random numbers of one child: the same seed and number give the same stream, independent of other children.
pub(super) struct Chance(StdRng);

impl Chance {
    pub(super) fn of(seed: u64, number: u64) -> Self {
        // A Weyl step, so that neighbouring seeds have no child in common.
        Self(StdRng::seed_from_u64(seed ^ number.wrapping_add(1).wrapping_mul(0x9E37_79B9_7F4A_7C15)))
    }

    /// Between 0 and 1.
    pub(super) fn unit(&mut self) -> f64 {
        self.0.random()
    }

    /// Ten bytes for an id.
    pub(super) fn bytes(&mut self) -> [u8; 10] {
        self.0.random()
    }

    pub(super) fn happens(&mut self, chance: f64) -> bool {
        self.unit() < chance
    }

    /// An index with these chances, which need not sum to 1.
    pub(super) fn pick(&mut self, chances: &[f64]) -> usize {
        let mut left = self.unit() * chances.iter().sum::<f64>();
        for (index, chance) in chances.iter().enumerate() {
            left -= chance;
            if left < 0.0 {
                return index;
            }
        }
        chances.iter().rposition(|chance| *chance > 0.0).unwrap_or(0)
    }

    /// A number of days with these chances, by index.
    pub(super) fn days(&mut self, chances: &[f64]) -> i32 {
        i32::try_from(self.pick(chances)).unwrap_or(0)
    }

    /// A standard normal (Box & Muller 1958).
    pub(super) fn normal(&mut self) -> f64 {
        let (radius, angle) = (1.0 - self.unit(), self.unit());
        (-2.0 * radius.ln()).sqrt() * (std::f64::consts::TAU * angle).cos()
    }

    /// A standard exponential: the cumulative hazard at the event.
    pub(super) fn exponential(&mut self) -> f64 {
        -(1.0 - self.unit()).ln()
    }
}
