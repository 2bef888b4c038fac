//! The most likely path through the states.

use super::GaussianModel;
use crate::error::{Result, StatError};

/// The most likely path.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct DecodedPath {
    /// Log-likelihood of the rows together with this path.
    pub log_likelihood: f64,
    /// The state at every row.
    pub states: Vec<usize>,
}

impl GaussianModel {
    /// The most likely path through the states (Viterbi 1967; Rabiner 32–35, in logarithms as 104–105). Of
    /// equally likely paths, the one with the lowest state at the last row at which they differ.
    ///
    /// # Errors
    /// As [`GaussianModel::smoothed`].
    ///
    /// ```
    /// use statistics::hidden_markov::{Covariances, GaussianModel};
    /// let model = GaussianModel {
    ///     start: vec![0.5, 0.5],
    ///     transitions: vec![0.9, 0.1, 0.1, 0.9],
    ///     means: vec![0.0, 3.0],
    ///     covariances: Covariances::Diagonal(vec![1.0, 1.0]),
    /// };
    /// assert_eq!(model.decoded(&[0.1, -0.2, 2.9, 3.3])?.states, [0, 0, 1, 1]);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn decoded(&self, values: &[f64]) -> Result<DecodedPath> {
        self.check()?;
        let (rows, states) = (self.rows(values)?, self.states());
        let densities = self.log_densities(values)?;
        let log_steps: Vec<f64> = self.transitions.iter().map(|p| p.ln()).collect();
        let mut best: Vec<f64> = (0..states).map(|state| self.start[state].ln() + densities[state]).collect();
        let mut came_from = vec![0_usize; rows * states];
        for row in 1..rows {
            let before = best.clone();
            for state in 0..states {
                let into = (0..states).map(|from| before[from] + log_steps[from * states + state]);
                let (from, value) = first_best(into);
                came_from[row * states + state] = from;
                best[state] = value + densities[row * states + state];
            }
        }
        let (mut state, log_likelihood) = first_best(best.into_iter());
        if !log_likelihood.is_finite() {
            return Err(StatError::Undefined("no path through the states can give these rows"));
        }
        let mut path = vec![state; rows];
        for row in (1..rows).rev() {
            state = came_from[row * states + state];
            path[row - 1] = state;
        }
        Ok(DecodedPath { log_likelihood, states: path })
    }
}

fn first_best(values: impl Iterator<Item = f64>) -> (usize, f64) {
    let better = |best: (usize, f64), next: (usize, f64)| if next.1 > best.1 { next } else { best };
    values.enumerate().fold((0, f64::NEG_INFINITY), better)
}
