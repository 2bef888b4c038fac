//! Forward and backward: how likely the rows are, and each state at each row.

use super::{GaussianModel, log_sum};
use crate::error::{Result, StatError};

/// What a model makes of one series.
#[derive(Debug, Clone, PartialEq)]
pub struct Smoothed {
    /// Log-likelihood of the observed rows.
    pub log_likelihood: f64,
    /// Chance of each state at each row given the whole series, `[row · states + state]`.
    pub chances: Vec<f64>,
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
    /// The log-likelihood of a series and the chance of every state at every row of it.
    ///
    /// # Errors
    /// [`StatError`] where the model is none, the rows do not fit it, or they are impossible under it.
    pub fn smoothed(&self, values: &[f64]) -> Result<Smoothed> {
        self.check()?;
        let passes = self.passes(values)?;
        Ok(Smoothed { log_likelihood: passes.log_likelihood, chances: passes.chances() })
    }

    /// Rows laid end to end, `columns` values each.
    pub(super) fn passes(&self, values: &[f64]) -> Result<Passes> {
        let (rows, states) = (self.rows(values)?, self.states());
        let densities = self.log_densities(values)?;
        let log_steps: Vec<f64> = self.transitions.iter().map(|chance| chance.ln()).collect();
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
    pub(super) fn chances(&self) -> Vec<f64> {
        let both = self.forward.iter().zip(&self.backward);
        both.map(|(forward, backward)| (forward + backward - self.log_likelihood).exp()).collect()
    }
}
