//! The parameters of a step: time constants, rates of change, noise.

use super::priors::Priors;

/// Off is 0, worn is 1, here as in every array of states.
pub(super) const OFF: usize = 0;
pub(super) const WORN: usize = 1;
/// Parameters of the steps.
#[derive(Debug, Clone)]
pub(super) struct Physics {
    pub(super) warming_s: f64,
    pub(super) cooling_s: f64,
    pub(super) take_offs_per_s: f64,
    pub(super) put_ons_per_s: f64,
    /// SD of the noise of one step, °C: off, worn.
    pub(super) noise_c: [f64; 2],
    /// See [`Priors::left_out`].
    pub(super) left_out: f64,
}

impl Physics {
    pub(super) fn start(priors: &Priors) -> Self {
        Self {
            warming_s: priors.minutes.0 * 60.0,
            cooling_s: priors.minutes.1 * 60.0,
            take_offs_per_s: 1.0 / (8.0 * 3600.0),
            put_ons_per_s: 1.0 / (4.0 * 3600.0),
            noise_c: [0.3, 0.3],
            left_out: priors.left_out,
        }
    }
}
