//! Fitting by the algorithm of Baum and Welch: expectation of the states, then maximisation of the
//! parameters.

use super::smoothing::Passes;
use super::{Covariances, GaussianModel};
use crate::error::{Result, StatError};

/// Settings of a fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FitSettings {
    /// Largest number of iterations of expectation and maximisation.
    pub max_iterations: usize,
    /// The fit has converged when an iteration gains no more than this in log-likelihood.
    pub tolerance: f64,
    /// Smallest variance of a column within a state. With 0 a state that shrinks onto a single value
    /// is an error, because the likelihood then has no maximum.
    pub min_variance: f64,
}

impl Default for FitSettings {
    fn default() -> Self {
        Self { max_iterations: 200, tolerance: 1e-6, min_variance: 0.0 }
    }
}

/// A fitted model.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct FittedModel {
    /// The parameters after the last iteration.
    pub model: GaussianModel,
    /// Log-likelihood before each iteration; the last is that of the model before the last
    /// maximisation.
    pub log_likelihoods: Vec<f64>,
    /// Whether the last iteration gained no more than the tolerance.
    pub converged: bool,
}

/// Expected counts over all series.
struct Counts {
    start: Vec<f64>,
    /// ξ summed over rows, Rabiner 37 and 38.
    steps: Vec<f64>,
    /// γ summed over observed rows.
    weight: Vec<f64>,
    /// γ · x.
    sums: Vec<f64>,
    /// γ · x x', whole matrices.
    squares: Vec<f64>,
}

impl GaussianModel {
    /// The parameters of greatest likelihood near these, from one or more independent series (Baum and
    /// others 1970; Rabiner 40, 53 and 54, several series 109–110). A local maximum: start from several
    /// points if that matters.
    ///
    /// # Errors
    /// As [`GaussianModel::smoothed`], and if a state is left without rows.
    ///
    /// ```
    /// use statistics::hidden_markov::{Covariances, GaussianModel, FitSettings};
    /// let model = GaussianModel {
    ///     start: vec![0.5, 0.5],
    ///     transitions: vec![0.9, 0.1, 0.1, 0.9],
    ///     means: vec![0.0, 3.0],
    ///     covariances: Covariances::Diagonal(vec![1.0, 1.0]),
    /// };
    /// let rows = [0.3, -0.4, 0.2, 4.1, 3.8, 4.3, 0.1, -0.2, 4.0, 3.9];
    /// let fitted = model.fitted(&[&rows], FitSettings::default())?;
    /// assert!(fitted.converged && (fitted.model.means[1] - 4.02).abs() < 0.01);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn fitted(&self, series: &[&[f64]], fit: FitSettings) -> Result<FittedModel> {
        self.check()?;
        if series.is_empty() {
            return Err(StatError::NoRows);
        }
        let mut model = self.clone();
        let mut log_likelihoods: Vec<f64> = Vec::new();
        let mut converged = false;
        for _ in 0..fit.max_iterations {
            let (counts, log_likelihood) = model.expected(series)?;
            let before = log_likelihoods.last().copied();
            log_likelihoods.push(log_likelihood);
            model.maximise(&counts, fit.min_variance)?;
            converged = before.is_some_and(|before| log_likelihood - before <= fit.tolerance);
            if converged {
                break;
            }
        }
        Ok(FittedModel { model, log_likelihoods, converged })
    }

    fn expected(&self, series: &[&[f64]]) -> Result<(Counts, f64)> {
        let (states, columns) = (self.states(), self.columns());
        let mut counts = Counts {
            start: vec![0.0; states],
            steps: vec![0.0; states * states],
            weight: vec![0.0; states],
            sums: vec![0.0; states * columns],
            squares: vec![0.0; states * columns * columns],
        };
        let mut log_likelihood = 0.0;
        for values in series {
            let passes = self.passes(values)?;
            log_likelihood += passes.log_likelihood;
            counts.add(&passes, values, columns);
        }
        Ok((counts, log_likelihood))
    }

    fn maximise(&mut self, counts: &Counts, min_variance: f64) -> Result<()> {
        let (states, columns) = (self.states(), self.columns());
        let total: f64 = counts.start.iter().sum();
        self.start = counts.start.iter().map(|count| count / total).collect();
        for (row, from) in self.transitions.chunks_mut(states).zip(counts.steps.chunks(states)) {
            let sum: f64 = from.iter().sum();
            // A state that occurs only at last rows has no transitions to estimate from; its row stays.
            if sum > 0.0 {
                row.iter_mut().zip(from).for_each(|(p, count)| *p = count / sum);
            }
        }
        for state in 0..states {
            let weight = counts.weight[state];
            if weight <= 0.0 {
                return Err(StatError::Undefined("a state was left without rows, so it cannot be fitted"));
            }
            let sums = &counts.sums[state * columns..][..columns];
            let means: Vec<f64> = sums.iter().map(|sum| sum / weight).collect();
            let squares = &counts.squares[state * columns * columns..][..columns * columns];
            let spread = |row: usize, column: usize| {
                let value = squares[row * columns + column] / weight - means[row] * means[column];
                if row == column { value.max(min_variance) } else { value }
            };
            match &mut self.covariances {
                Covariances::Diagonal(all) => {
                    (0..columns).for_each(|at| all[state * columns + at] = spread(at, at));
                }
                Covariances::Full(all) => (0..columns * columns).for_each(|at| {
                    all[state * columns * columns + at] = spread(at / columns, at % columns);
                }),
            }
            self.means[state * columns..][..columns].copy_from_slice(&means);
        }
        Ok(())
    }
}

impl Counts {
    fn add(&mut self, passes: &Passes, values: &[f64], columns: usize) {
        let states = self.start.len();
        let probabilities = passes.probabilities();
        self.start.iter_mut().zip(&probabilities).for_each(|(sum, p)| *sum += p);
        self.add_steps(passes, states);
        for (row, probabilities) in values.chunks(columns).zip(probabilities.chunks(states)) {
            if row.iter().any(|value| value.is_nan()) {
                continue;
            }
            for (state, p) in probabilities.iter().enumerate() {
                self.weight[state] += p;
                for (at, value) in row.iter().enumerate() {
                    self.sums[state * columns + at] += p * value;
                    let squares = &mut self.squares[(state * columns + at) * columns..][..columns];
                    squares.iter_mut().zip(row).for_each(|(sum, other)| *sum += p * value * other);
                }
            }
        }
    }

    fn add_steps(&mut self, passes: &Passes, states: usize) {
        let rows = passes.forward.len() / states;
        for row in 1..rows {
            for from in 0..states {
                let left = passes.forward[(row - 1) * states + from] - passes.log_likelihood;
                for to in 0..states {
                    let right = passes.densities[row * states + to] + passes.backward[row * states + to];
                    self.steps[from * states + to] +=
                        (left + passes.log_steps[from * states + to] + right).exp();
                }
            }
        }
    }
}
