//! A chain of two states whose steps differ from each other.

use crate::error::{Result, StatError};

/// The weight of a step from each state to each: the chance of the step times the density of what was
/// seen over it, `[from][to]`. Any common factor may be left out.
pub type Step = [[f64; 2]; 2];

/// A chain of two states, smoothed.
///
/// The same forward and backward passes as in [`super::GaussianModel`], with the scaling of Rabiner
/// (90–103) instead of logarithms, for steps that depend on how far apart the rows lie and on what was
/// seen at both of their ends.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct TwoStates {
    /// Log-likelihood, up to the factors left out of the steps.
    pub log_likelihood: f64,
    /// For each step the chance of each pair of states at its two ends, given all steps.
    pub pairs: Vec<Step>,
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
    /// [`StatError`] where there is no step, a weight is negative or not a number, or a step is
    /// impossible from every state that is left.
    pub fn smooth(start: [f64; 2], steps: &[Step]) -> Result<Self> {
        let mut smoothed = Self::default();
        smoothed.smooth_into(start, steps)?;
        Ok(smoothed)
    }

    /// As [`TwoStates::smooth`], into room that is already there.
    ///
    /// # Errors
    /// As [`TwoStates::smooth`].
    pub fn smooth_into(&mut self, start: [f64; 2], steps: &[Step]) -> Result<()> {
        if steps.is_empty() {
            return Err(StatError::NoRows);
        }
        self.pairs.clear();
        self.pairs.reserve(steps.len());
        let mut before = start;
        let mut sum = checked(start[0] + start[1], start, 0)?;
        // The forward weights are brought back to a sum of 1 only where they have run far from it, and
        // only then a logarithm is taken.
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
            // Chance of the state at the step's end, over what the forward pass alone gave it.
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

/// Between these a sum of weights is left as it is: far within what a double holds, so that the weight of
/// the less likely state keeps its digits too.
const FEW: f64 = 1e-50;
const MANY: f64 = 1e50;

/// The inverse; zero of what is zero or too small to have one.
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
