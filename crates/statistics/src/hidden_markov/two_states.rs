//! A chain of two states whose steps differ.

use crate::error::{Result, StatError};

/// The weight of a step from each state to each: the probability of the step times the density of the
/// observations over it, `[from][to]`. Any common factor may be left out.
pub type StepWeights = [[f64; 2]; 2];

/// A smoothed chain of two states.
///
/// The same forward and backward passes as in [`super::GaussianModel`], with the scaling of Rabiner
/// (90–103) instead of logarithms, for steps that depend on the distance of the rows and on the
/// observations at both ends.
#[derive(Debug, Clone, Default, PartialEq)]
#[non_exhaustive]
pub struct TwoStates {
    /// Log-likelihood, up to the factors left out of the steps.
    pub log_likelihood: f64,
    /// For each step the probability of each pair of states at its two ends, given all steps.
    pub pairs: Vec<StepWeights>,
}

impl TwoStates {
    /// Smooths a chain from the weights of its first state and its steps.
    ///
    /// ```
    /// use statistics::hidden_markov::TwoStates;
    /// let stay = [[0.9, 0.1], [0.1, 0.9]];
    /// let smoothed = TwoStates::smooth([0.5, 0.5], &[stay, [[0.01, 0.1], [0.01, 0.1]]])?;
    /// let second = smoothed.pairs[1];
    /// assert!((second[0][1] + second[1][1] - 10.0 / 11.0).abs() < 1e-12);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    ///
    /// # Errors
    /// [`StatError`] if there is no step, a weight is negative or not a number, or a step is impossible
    /// from every possible state.
    pub fn smooth(start: [f64; 2], steps: &[StepWeights]) -> Result<Self> {
        let mut smoothed = Self::default();
        smoothed.smooth_into(start, steps)?;
        Ok(smoothed)
    }

    /// As [`TwoStates::smooth`], reusing the memory of an earlier result.
    ///
    /// ```
    /// use statistics::hidden_markov::TwoStates;
    /// let stay = [[0.9, 0.1], [0.1, 0.9]];
    /// let mut smoothed = TwoStates::default();
    /// smoothed.smooth_into([0.5, 0.5], &[stay])?;
    /// assert_eq!(smoothed, TwoStates::smooth([0.5, 0.5], &[stay])?);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    ///
    /// # Errors
    /// As [`TwoStates::smooth`].
    pub fn smooth_into(&mut self, start: [f64; 2], steps: &[StepWeights]) -> Result<()> {
        if steps.is_empty() {
            return Err(StatError::NoRows);
        }
        self.pairs.clear();
        self.pairs.reserve(steps.len());
        let mut before = start;
        let mut sum = checked(start[0] + start[1], start, 0)?;
        // The forward weights are rescaled to a sum of 1, and a logarithm taken, only when the sum has
        // moved far from 1.
        let mut log_likelihood = 0.0;
        for (row, step) in steps.iter().enumerate() {
            if !(FEW..MANY).contains(&sum) {
                log_likelihood += sum.ln();
                before = [before[0] / sum, before[1] / sum];
            }
            let pair = [
                [before[0] * step[0][0], before[0] * step[0][1]],
                [before[1] * step[1][0], before[1] * step[1][1]],
            ];
            before = [pair[0][0] + pair[1][0], pair[0][1] + pair[1][1]];
            sum = before[0] + before[1];
            if !((FEW..MANY).contains(&sum) && before[0] >= 0.0 && before[1] >= 0.0) {
                checked(sum, before, row)?;
            }
            self.pairs.push(pair);
        }
        self.log_likelihood = log_likelihood + sum.ln();
        let mut after = [before[0] / sum, before[1] / sum];
        for pair in self.pairs.iter_mut().rev() {
            // Probability of the state at the step's end, relative to that of the forward pass alone.
            let ends = [pair[0][0] + pair[1][0], pair[0][1] + pair[1][1]];
            let ratio = [after[0] * inverse(ends[0]), after[1] * inverse(ends[1])];
            *pair = [
                [pair[0][0] * ratio[0], pair[0][1] * ratio[1]],
                [pair[1][0] * ratio[0], pair[1][1] * ratio[1]],
            ];
            after = [pair[0][0] + pair[0][1], pair[1][0] + pair[1][1]];
        }
        Ok(())
    }
}

/// Between these bounds a sum of weights is not rescaled. They are far within the range of a double, so
/// that the weight of the less likely state also keeps its digits.
const FEW: f64 = 1e-50;
const MANY: f64 = 1e50;

/// The inverse; 0 for 0 and for values too small to have one.
fn inverse(value: f64) -> f64 {
    let inverse = 1.0 / value;
    if inverse.is_finite() { inverse } else { 0.0 }
}

fn checked(sum: f64, weights: [f64; 2], row: usize) -> Result<f64> {
    if sum > 0.0 && sum < f64::INFINITY && weights[0] >= 0.0 && weights[1] >= 0.0 {
        return Ok(sum);
    }
    Err(StatError::Value { row, value: sum, wanted: "a weight above zero" })
}
