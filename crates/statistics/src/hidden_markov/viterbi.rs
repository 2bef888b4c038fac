//! The likeliest path through the states.

use super::GaussianModel;
use crate::error::{Result, StatError};

/// The likeliest path.
#[derive(Debug, Clone, PartialEq)]
pub struct Decoded {
    /// Log-likelihood of the rows together with this path.
    pub log_likelihood: f64,
    /// The state at every row.
    pub states: Vec<usize>,
}

impl GaussianModel {
    /// The likeliest path through the states (Viterbi 1967; Rabiner 32–35, in logarithms as 104–105). Of
    /// equally likely ones, that with the lowest state at the last row at which they differ.
    ///
    /// # Errors
    /// As [`GaussianModel::smoothed`].
    pub fn decoded(&self, values: &[f64]) -> Result<Decoded> {
        self.check()?;
        let (rows, states) = (self.rows(values)?, self.states());
        let densities = self.log_densities(values)?;
        let log_steps: Vec<f64> = self.transitions.iter().map(|chance| chance.ln()).collect();
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
        Ok(Decoded { log_likelihood, states: path })
    }
}

fn first_best(values: impl Iterator<Item = f64>) -> (usize, f64) {
    let better = |best: (usize, f64), next: (usize, f64)| if next.1 > best.1 { next } else { best };
    values.enumerate().fold((0, f64::NEG_INFINITY), better)
}
