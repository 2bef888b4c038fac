//! The forward and backward passes: the likelihood, and the probability of each state at each row.

use super::{GaussianModel, log_sum};
use crate::error::{Result, StatError};

/// The smoothed states of one series.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct SmoothedStates {
    /// Log-likelihood of the observed rows.
    pub log_likelihood: f64,
    /// Probability of each state at each row given the whole series, `[row · states + state]`.
    pub probabilities: Vec<f64>,
}

/// The passes over one series, in logarithms.
pub(super) struct Passes {
    pub(super) log_likelihood: f64,
    /// ln α, Rabiner 18–20.
    pub(super) forward: Vec<f64>,
    /// ln β, Rabiner 23–25.
    pub(super) backward: Vec<f64>,
    pub(super) densities: Vec<f64>,
    /// ln of the transitions.
    pub(super) log_steps: Vec<f64>,
}

impl GaussianModel {
    /// The log-likelihood of a series and the probability of every state at every row of it.
    ///
    /// # Errors
    /// [`StatError`] if the parameters are invalid, the rows do not match them, or the rows are impossible
    /// under the model.
    ///
    /// ```
    /// use statistics::hidden_markov::{Covariances, GaussianModel};
    /// let model = GaussianModel {
    ///     start: vec![0.5, 0.5],
    ///     transitions: vec![0.9, 0.1, 0.1, 0.9],
    ///     means: vec![0.0, 3.0],
    ///     covariances: Covariances::Diagonal(vec![1.0, 1.0]),
    /// };
    /// let smoothed = model.smoothed(&[0.1, f64::NAN, 2.9])?;
    /// assert!(smoothed.probabilities[0] > 0.9 && smoothed.probabilities[5] > 0.9);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn smoothed(&self, values: &[f64]) -> Result<SmoothedStates> {
        self.check()?;
        let passes = self.passes(values)?;
        Ok(SmoothedStates { log_likelihood: passes.log_likelihood, probabilities: passes.probabilities() })
    }

    /// Both passes over rows of `columns` values each, one after the other.
    pub(super) fn passes(&self, values: &[f64]) -> Result<Passes> {
        let (rows, states) = (self.rows(values)?, self.states());
        let densities = self.log_densities(values)?;
        let log_steps: Vec<f64> = self.transitions.iter().map(|p| p.ln()).collect();
        let mut forward = vec![0.0; rows * states];
        for state in 0..states {
            forward[state] = self.start[state].ln() + densities[state];
        }
        for row in 1..rows {
            let (before, now) = forward.split_at_mut(row * states);
            let before = &before[(row - 1) * states..];
            for state in 0..states {
                let into = (0..states).map(|from| before[from] + log_steps[from * states + state]);
                now[state] = log_sum(into) + densities[row * states + state];
            }
        }
        // Rabiner 21.
        let log_likelihood = log_sum(forward[(rows - 1) * states..].iter().copied());
        if !log_likelihood.is_finite() {
            return Err(StatError::Undefined("no path through the states can give these rows"));
        }
        let backward = backward(&densities, &log_steps, rows, states);
        Ok(Passes { log_likelihood, forward, backward, densities, log_steps })
    }
}

fn backward(densities: &[f64], log_steps: &[f64], rows: usize, states: usize) -> Vec<f64> {
    let mut backward = vec![0.0; rows * states];
    for row in (0..rows - 1).rev() {
        let (now, after) = backward.split_at_mut((row + 1) * states);
        for state in 0..states {
            let out = (0..states)
                .map(|to| log_steps[state * states + to] + densities[(row + 1) * states + to] + after[to]);
            now[row * states + state] = log_sum(out);
        }
    }
    backward
}

impl Passes {
    /// γ, Rabiner 27.
    pub(super) fn probabilities(&self) -> Vec<f64> {
        let both = self.forward.iter().zip(&self.backward);
        both.map(|(forward, backward)| (forward + backward - self.log_likelihood).exp()).collect()
    }
}
