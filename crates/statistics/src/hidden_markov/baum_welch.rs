//! Fitting by Baum and Welch: expectation of the states, then maximisation of the parameters.

use super::smoothing::Passes;
use super::{Covariances, GaussianModel};
use crate::error::{Result, StatError};

/// How a fit is made.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Fit {
    /// Most rounds of expectation and maximisation.
    pub most_rounds: usize,
    /// The fit has settled when a round gains no more than this in log-likelihood.
    pub least_gain: f64,
    /// Smallest variance of a column within a state. With 0 a state that shrinks onto a single value
    /// ends the fit with an error, because the likelihood then has no maximum.
    pub least_variance: f64,
}

impl Default for Fit {
    fn default() -> Self {
        Self { most_rounds: 200, least_gain: 1e-6, least_variance: 0.0 }
    }
}

/// A fitted model.
#[derive(Debug, Clone, PartialEq)]
pub struct Fitted {
    /// The parameters after the last round.
    pub model: GaussianModel,
    /// Log-likelihood before each round, one a round; the last is that of the model before the last
    /// maximisation.
    pub log_likelihoods: Vec<f64>,
    /// Whether the last round gained no more than asked for.
    pub settled: bool,
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
    /// places where that matters.
    ///
    /// # Errors
    /// As [`GaussianModel::smoothed`], and where a state is left without rows.
    pub fn fitted(&self, series: &[&[f64]], fit: Fit) -> Result<Fitted> {
        self.check()?;
        if series.is_empty() {
            return Err(StatError::NoRows);
        }
        let mut model = self.clone();
        let mut log_likelihoods: Vec<f64> = Vec::new();
        let mut settled = false;
        for _ in 0..fit.most_rounds {
            let (counts, log_likelihood) = model.expected(series)?;
            let before = log_likelihoods.last().copied();
            log_likelihoods.push(log_likelihood);
            model.maximise(&counts, fit.least_variance)?;
            settled = before.is_some_and(|before| log_likelihood - before <= fit.least_gain);
            if settled {
                break;
            }
        }
        Ok(Fitted { model, log_likelihoods, settled })
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

    fn maximise(&mut self, counts: &Counts, least_variance: f64) -> Result<()> {
        let (states, columns) = (self.states(), self.columns());
        let total: f64 = counts.start.iter().sum();
        self.start = counts.start.iter().map(|count| count / total).collect();
        for (row, from) in self.transitions.chunks_mut(states).zip(counts.steps.chunks(states)) {
            let sum: f64 = from.iter().sum();
            // A state that is only ever the last one has no step to learn from and keeps its row.
            if sum > 0.0 {
                row.iter_mut().zip(from).for_each(|(chance, count)| *chance = count / sum);
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
                if row == column { value.max(least_variance) } else { value }
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
        let chances = passes.chances();
        self.start.iter_mut().zip(&chances).for_each(|(sum, chance)| *sum += chance);
        self.add_steps(passes, states);
        for (row, chances) in values.chunks(columns).zip(chances.chunks(states)) {
            if row.iter().any(|value| value.is_nan()) {
                continue;
            }
            for (state, chance) in chances.iter().enumerate() {
                self.weight[state] += chance;
                for (at, value) in row.iter().enumerate() {
                    self.sums[state * columns + at] += chance * value;
                    let squares = &mut self.squares[(state * columns + at) * columns..][..columns];
                    squares.iter_mut().zip(row).for_each(|(sum, other)| *sum += chance * value * other);
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
