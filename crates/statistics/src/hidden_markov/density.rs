//! Log-densities of the rows within each state.

use super::{Covariances, GaussianModel};
use crate::Matrix;
use crate::error::{Result, StatError};
use crate::matrix::dot;
use std::f64::consts::TAU;

/// The parts of a state's density that are the same for every row.
struct Spread {
    /// The inverse of the covariance matrix.
    inverse: Matrix,
    /// −½ (columns · ln 2π + ln |covariance|).
    constant: f64,
}

impl GaussianModel {
    /// The log-density of every row in every state, `[row · states + state]`; 0 for an
    /// unobserved row.
    pub(super) fn log_densities(&self, values: &[f64]) -> Result<Vec<f64>> {
        let (states, columns) = (self.states(), self.columns());
        let spreads: Vec<Spread> = (0..states).map(|state| self.spread(state)).collect::<Result<_>>()?;
        let mut densities = Vec::with_capacity(values.len() / columns * states);
        let mut off = vec![0.0; columns];
        for row in values.chunks(columns) {
            for (state, spread) in spreads.iter().enumerate() {
                let means = &self.means[state * columns..][..columns];
                for ((off, value), mean) in off.iter_mut().zip(row).zip(means) {
                    *off = value - mean;
                }
                let seen = off.iter().all(|value| value.is_finite());
                densities.push(if seen { spread.log_density(&off) } else { 0.0 });
            }
        }
        Ok(densities)
    }

    fn spread(&self, state: usize) -> Result<Spread> {
        let columns = self.columns();
        let mut covariance = Matrix::zeros(columns);
        match &self.covariances {
            Covariances::Diagonal(values) => {
                let variances = &values[state * columns..][..columns];
                variances.iter().enumerate().for_each(|(at, variance)| covariance.set(at, at, *variance));
            }
            Covariances::Full(values) => {
                let whole = &values[state * columns * columns..][..columns * columns];
                whole
                    .iter()
                    .enumerate()
                    .for_each(|(at, value)| covariance.set(at / columns, at % columns, *value));
            }
        }
        let factor = covariance.cholesky(1e-12).map_err(|_| {
            StatError::Undefined(
                "the values of a state do not spread in every direction, so its density is infinite",
            )
        })?;
        let constant = -0.5 * (columns as f64 * TAU.ln() + factor.log_determinant());
        Ok(Spread { inverse: factor.inverse(), constant })
    }
}

impl Spread {
    fn log_density(&self, off: &[f64]) -> f64 {
        let form = match off {
            [one] => one * one * self.inverse.values()[0],
            _ => {
                let rows = self.inverse.values().chunks(off.len());
                rows.zip(off).map(|(row, value)| value * dot(row, off)).sum()
            }
        };
        self.constant - 0.5 * form
    }
}
