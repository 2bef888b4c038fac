//! Hidden Markov models: an unobserved chain of states with observed Gaussian values.
//!
//! [`GaussianModel`] holds the parameters; [`GaussianModel::smoothed`] gives the log-likelihood and the probability of
//! every state at every row, [`GaussianModel::decoded`] the most likely path, [`GaussianModel::fitted`] the
//! parameters that maximise the likelihood. [`TwoStates`] smooths a chain of two states whose steps
//! differ, as they do when the rows are not equally far apart in time.
//!
//! A row with any value that is not a number counts as unobserved: it carries no information about the
//! state, and the chain continues through it. Infinite values are errors.
//!
//! Method: Rabiner 1989, Proceedings of the IEEE 77:257–286 (equation numbers below are his, from
//! memory), in logarithms throughout; several series as in his section V.B. Without missing values
//! likelihood, fit and path equal those of hmmlearn's `GaussianHMM` with its prior on variances switched
//! off.
//!
//! ```
//! use statistics::hidden_markov::{GaussianModel, Covariances};
//! let model = GaussianModel {
//!     start: vec![0.5, 0.5],
//!     transitions: vec![0.9, 0.1, 0.2, 0.8],
//!     means: vec![0.0, 3.0],
//!     covariances: Covariances::Diagonal(vec![1.0, 1.0]),
//! };
//! let rows = [0.2, -0.1, f64::NAN, 2.9, 3.3, 0.1];
//! let smoothed = model.smoothed(&rows)?;
//! assert!(smoothed.probabilities[2 * 3 + 1] > 0.9);
//! assert_eq!(model.decoded(&rows)?.states, [0, 0, 0, 1, 1, 0]);
//! # Ok::<(), statistics::StatError>(())
//! ```

mod baum_welch;
mod density;
mod smoothing;
mod two_states;
mod viterbi;

pub use baum_welch::{FitSettings, FittedModel};
pub use smoothing::SmoothedStates;
pub use two_states::{StepWeights, TwoStates};
pub use viterbi::DecodedPath;

use crate::error::{Result, StatError, finite};

/// Variances and covariances of the values within each state.
#[derive(Debug, Clone, PartialEq)]
pub enum Covariances {
    /// No covariance: for each state in turn, one variance for each column.
    Diagonal(Vec<f64>),
    /// For each state in turn, the full matrix row by row.
    Full(Vec<f64>),
}

/// The parameters of a hidden Markov model with Gaussian values.
#[derive(Debug, Clone, PartialEq)]
pub struct GaussianModel {
    /// Probability of each state at the first row; its length is the number of states.
    pub start: Vec<f64>,
    /// Probability of the next state given the last, row by row: `transitions[from · states + to]`.
    pub transitions: Vec<f64>,
    /// For each state in turn, the mean of every column.
    pub means: Vec<f64>,
    /// Spread within each state.
    pub covariances: Covariances,
}

/// Largest permitted distance of a sum of probabilities from 1.
const SUMS_TO_ONE: f64 = 1e-6;

impl GaussianModel {
    /// The number of states.
    #[must_use]
    pub fn states(&self) -> usize {
        self.start.len()
    }

    /// The number of values in a row.
    #[must_use]
    pub fn columns(&self) -> usize {
        self.means.len().checked_div(self.states()).unwrap_or(0)
    }

    /// Checks that the parameters match in size and are valid.
    fn check(&self) -> Result<()> {
        let (states, columns) = (self.states(), self.columns());
        if states == 0 || columns == 0 || self.means.len() != states * columns {
            return Err(StatError::Undefined(
                "a model needs at least one state and one mean for every column of it",
            ));
        }
        crate::error::same_length("transitions", states * states, self.transitions.len())?;
        finite("mean", &self.means)?;
        let (spread, expected) = match &self.covariances {
            Covariances::Diagonal(values) => (values, states * columns),
            Covariances::Full(values) => (values, states * columns * columns),
        };
        crate::error::same_length("covariances", expected, spread.len())?;
        finite("covariance", spread)?;
        probabilities(&self.start)?;
        self.transitions.chunks(states).try_for_each(probabilities)
    }

    /// Checks that the values are whole rows and none is infinite, and gives the number of rows.
    fn rows(&self, values: &[f64]) -> Result<usize> {
        let columns = self.columns();
        if values.is_empty() {
            return Err(StatError::NoRows);
        }
        if !values.len().is_multiple_of(columns) {
            let expected = values.len().div_ceil(columns) * columns;
            return Err(StatError::Lengths { what: "the last row", expected, found: values.len() });
        }
        match values.iter().position(|value| value.is_infinite()) {
            Some(at) => Err(StatError::NotFinite { row: at / columns, what: "a value" }),
            None => Ok(values.len() / columns),
        }
    }
}

fn probabilities(row: &[f64]) -> Result<()> {
    let sum: f64 = row.iter().sum();
    if row.iter().all(|p| (0.0..=1.0).contains(p)) && (sum - 1.0).abs() <= SUMS_TO_ONE {
        return Ok(());
    }
    Err(StatError::Setting {
        what: "the sum of a row of probabilities, each from 0 to 1,",
        range: "at 1",
        value: sum,
    })
}

/// The logarithm of a sum of numbers given by their logarithms; −∞ if all are.
fn log_sum(terms: impl Iterator<Item = f64> + Clone) -> f64 {
    let most = terms.clone().fold(f64::NEG_INFINITY, f64::max);
    if most == f64::NEG_INFINITY {
        return most;
    }
    most + terms.map(|term| (term - most).exp()).sum::<f64>().ln()
}
