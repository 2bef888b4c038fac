//! A clinic drawn from the posterior.

use super::ClinicPosterior;
use crate::natural_history::{ClinicHabits, Parameters};
use rand::{RngExt, SeedableRng, rngs::StdRng};
use rand_distr::{Distribution, StandardNormal};

impl ClinicPosterior {
    /// A clinic drawn from the posterior: the same seed gives the same clinic.
    ///
    /// Intercept and slope of tenotomy are drawn together from their grid, the shift of pace from a normal
    /// of its posterior mean and variance; the spread of pace, readiness and days are at their means. The
    /// spread of pace is returned in the parameters.
    #[must_use]
    pub fn draw(&self, seed: u64) -> (Parameters, ClinicHabits) {
        let mut rng = StdRng::seed_from_u64(seed);
        let (mut parameters, mut habits) = (self.kernel.parameters.clone(), self.habits());
        let (intercept, slope) = self.tenotomy.at(rng.random());
        (habits.tenotomy_intercept, habits.tenotomy_slope) = (intercept, slope);
        let pace = self.pace.summary();
        let z: f64 = StandardNormal.sample(&mut rng);
        habits.pace_shift = pace.variance.sqrt().mul_add(z, pace.shift);
        parameters.pace_sd *= pace.spread;
        (parameters, habits)
    }
}
