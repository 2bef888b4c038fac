//! Cumulative sums and their average run lengths.

use crate::{
    error::{Result, StatError, finite, same_length},
    special::normal_cdf,
};

/// One step of a cumulative sum.
#[derive(Debug, Clone, Copy, PartialEq)]
#[cfg_attr(feature = "serde", derive(serde::Serialize))]
#[non_exhaustive]
pub struct CusumPoint {
    /// Sum for a rise.
    pub high: f64,
    /// Sum for a fall; 0 in a chart of one direction.
    pub low: f64,
    /// Whether either sum is above the limit.
    pub alarm: bool,
}

/// A cumulative sum of standardised measurements (Page 1954): S = max(0, S + z − k), alarm above h.
///
/// `k` is half the change to be found, in standard deviations; `h` is chosen by the average run length,
/// the mean number of points until an alarm: long without a change, short after one.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct Cusum {
    /// Reference value, in standard deviations.
    pub k: f64,
    /// Limit, in standard deviations.
    pub h: f64,
}

impl Cusum {
    /// A design.
    ///
    /// # Errors
    /// `k` below 0 or `h` not above 0.
    pub fn new(k: f64, h: f64) -> Result<Self> {
        if !(k >= 0.0 && k.is_finite()) {
            return Err(StatError::Setting { what: "the reference value", range: "at 0 or above", value: k });
        }
        if !(h > 0.0 && h.is_finite()) {
            return Err(StatError::Setting { what: "the limit", range: "above 0", value: h });
        }
        Ok(Self { k, h })
    }

    /// Both sums over measurements with a known mean and standard deviation.
    ///
    /// ```
    /// use statistics::control::Cusum;
    /// let sums = Cusum::new(0.5, 4.0)?.run(&[12.0, 12.0, 4.0], 10.0, 2.0)?;
    /// // Deviates 1, 1 and −3, less one half each.
    /// assert_eq!([sums[0].high, sums[1].high, sums[2].high], [0.5, 1.0, 0.0]);
    /// assert_eq!([sums[1].low, sums[2].low], [0.0, 2.5]);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    ///
    /// # Errors
    /// A value that is not a number, or a standard deviation not above 0.
    pub fn run(&self, values: &[f64], mean: f64, sd: f64) -> Result<Vec<CusumPoint>> {
        finite("a measurement", values)?;
        if !(sd > 0.0 && sd.is_finite()) {
            return Err(StatError::Setting { what: "the standard deviation", range: "above 0", value: sd });
        }
        let (mut high, mut low) = (0.0_f64, 0.0_f64);
        let step = |value: &f64| {
            let z = (value - mean) / sd;
            high = (high + z - self.k).max(0.0);
            low = (low - z - self.k).max(0.0);
            CusumPoint { high, low, alarm: high > self.h || low > self.h }
        };
        Ok(values.iter().map(step).collect())
    }

    /// Average run length of the sum for a rise when the mean has shifted by `shift` standard deviations,
    /// from a start at 0: a Markov chain over the height of the sum (Brook and Evans 1972) with 100 states,
    /// accurate to between three and four digits.
    ///
    /// ```
    /// use statistics::control::Cusum;
    /// // Designed for a shift of one standard deviation, limit 4: a false alarm every 335 points, and
    /// // 8.4 points to find the shift (Montgomery 2009, table 9.3: 168 and 8.38 for both directions).
    /// let design = Cusum::new(0.5, 4.0)?;
    /// assert!((design.average_run_length(0.0) - 335.4).abs() < 0.5);
    /// assert!((design.average_run_length(1.0) - 8.38).abs() < 0.01);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn average_run_length(&self, shift: f64) -> f64 {
        const STATES: usize = 100;
        let width = 2.0 * self.h / (2 * STATES - 1) as f64;
        let drift = shift - self.k;
        // State i holds the heights within half a width of i · width, state 0 also all lower ones. The
        // probability of a step depends only on the number of states between its ends.
        let edges: Vec<f64> = (0..=2 * STATES)
            .map(|at| normal_cdf((at as f64 - STATES as f64 + 0.5) * width - drift))
            .collect();
        let move_to = |from: usize, to: usize| {
            let apart = STATES + to - from;
            if to == 0 { edges[apart] } else { edges[apart] - edges[apart - 1] }
        };
        run_length(STATES, move_to)
    }

    /// Average run length with sums in both directions: 1/ARL = 1/ARL⁺ + 1/ARL⁻ (Van Dobben de Bruyn
    /// 1968).
    ///
    /// ```
    /// use statistics::control::Cusum;
    /// let design = Cusum::new(0.5, 4.0)?;
    /// assert!((design.two_sided_run_length(0.0) - 168.0).abs() < 0.5);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    #[must_use]
    pub fn two_sided_run_length(&self, shift: f64) -> f64 {
        1.0 / (1.0 / self.average_run_length(shift) + 1.0 / self.average_run_length(-shift))
    }
}

/// Mean steps from state 0 until the chain leaves its states: the solution of (I − P) m = 1.
fn run_length(states: usize, move_to: impl Fn(usize, usize) -> f64) -> f64 {
    let wide = states + 1;
    let mut a = vec![0.0; states * wide];
    for from in 0..states {
        for to in 0..states {
            a[from * wide + to] = f64::from(u8::from(from == to)) - move_to(from, to);
        }
        a[from * wide + states] = 1.0;
    }
    // Elimination from the last state up leaves the answer for state 0 in the first row. The matrix is
    // diagonally dominant, so no pivoting is needed.
    for column in (1..states).rev() {
        let pivot = a[column * wide + column];
        let (above, below) = a.split_at_mut(column * wide);
        for row in above.chunks_exact_mut(wide) {
            let factor = row[column] / pivot;
            for k in (0..column).chain([states]) {
                row[k] -= factor * below[k];
            }
        }
    }
    a[states] / a[0]
}

/// A cumulative sum of binary outcomes for a change of their odds, each case with its own risk
/// (Steiner, Cook, Farewell and Treasure 2000): log likelihood ratios added, never below 0.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct BernoulliCusum {
    /// The odds ratio to be detected; above 1 for a rise, below 1 for a fall.
    pub odds_ratio: f64,
    /// Limit of the sum.
    pub h: f64,
}

impl BernoulliCusum {
    /// A design.
    ///
    /// # Errors
    /// An odds ratio that is 1 or not above 0, or a limit not above 0.
    pub fn new(odds_ratio: f64, h: f64) -> Result<Self> {
        if !(odds_ratio > 0.0 && odds_ratio.is_finite()) || odds_ratio == 1.0 {
            let range = "above 0 and not at 1";
            return Err(StatError::Setting { what: "the odds ratio", range, value: odds_ratio });
        }
        if !(h > 0.0 && h.is_finite()) {
            return Err(StatError::Setting { what: "the limit", range: "above 0", value: h });
        }
        Ok(Self { odds_ratio, h })
    }

    /// The step of a case with risk `p`: log likelihood ratio of its outcome.
    fn step(&self, yes: bool, p: f64) -> f64 {
        let down = -(1.0 - p + self.odds_ratio * p).ln();
        if yes { down + self.odds_ratio.ln() } else { down }
    }

    /// The sum over cases with their expected risks.
    ///
    /// # Errors
    /// Slices of different length, or a risk that does not lie between 0 and 1.
    ///
    /// ```
    /// use statistics::control::BernoulliCusum;
    /// let chart = BernoulliCusum::new(2.0, 1.0)?;
    /// let points = chart.run(&[true, true, true], &[0.1, 0.1, 0.1])?;
    /// assert!(!points[0].alarm && points[1].alarm);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn run(&self, yes: &[bool], risk: &[f64]) -> Result<Vec<CusumPoint>> {
        same_length("the risk", yes.len(), risk.len())?;
        if let Some(row) = risk.iter().position(|p| !(*p > 0.0 && *p < 1.0)) {
            return Err(StatError::Value { row, value: risk[row], wanted: "a risk between 0 and 1" });
        }
        let mut sum = 0.0_f64;
        let point = |(yes, p): (&bool, &f64)| {
            sum = (sum + self.step(*yes, *p)).max(0.0);
            CusumPoint { high: sum, low: 0.0, alarm: sum > self.h }
        };
        Ok(yes.iter().zip(risk).map(point).collect())
    }

    /// Average number of cases until an alarm if every case has risk `expected` in the design and risk
    /// `truth` in fact, by a Markov chain over heights rounded to a fine grid (Steiner and others 2000,
    /// appendix). Accurate to about one per cent.
    ///
    /// # Errors
    /// A risk that does not lie between 0 and 1.
    ///
    /// ```
    /// use statistics::control::BernoulliCusum;
    /// let design = BernoulliCusum::new(2.0, 3.0)?;
    /// assert!(design.average_run_length(0.1, 0.1)? > 3.0 * design.average_run_length(0.1, 0.2)?);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn average_run_length(&self, expected: f64, truth: f64) -> Result<f64> {
        for value in [expected, truth] {
            if !(value > 0.0 && value < 1.0) {
                return Err(StatError::Setting { what: "a risk", range: "between 0 and 1", value });
            }
        }
        const STATES: usize = 100;
        let width = self.h / (STATES as f64 - 0.5);
        let steps = [(self.step(true, expected), truth), (self.step(false, expected), 1.0 - truth)];
        let move_to = |from: usize, to: usize| {
            let reach = |step: f64| {
                // A step that ends between two heights is split between them in proportion to nearness, so
                // that the mean step is exact.
                let at = from as f64 + step / width;
                if at <= 0.0 {
                    return f64::from(u8::from(to == 0));
                }
                (1.0 - (at - to as f64).abs()).max(0.0)
            };
            steps.iter().map(|(step, share)| share * reach(*step)).sum()
        };
        Ok(run_length(STATES, move_to))
    }

    /// The design whose average run length without a change is `wanted`, by bisection of the limit.
    ///
    /// # Errors
    /// A risk out of range, or a run length that no limit up to 20 gives.
    ///
    /// ```
    /// use statistics::control::BernoulliCusum;
    /// let design = BernoulliCusum::limit_for(2.0, 0.1, 500.0)?;
    /// assert!((design.average_run_length(0.1, 0.1)? / 500.0 - 1.0).abs() < 0.05);
    /// # Ok::<(), statistics::StatError>(())
    /// ```
    pub fn limit_for(odds_ratio: f64, expected: f64, wanted: f64) -> Result<Self> {
        let (mut low, mut high) = (0.01, 20.0);
        let length = |h: f64| Self::new(odds_ratio, h)?.average_run_length(expected, expected);
        if !(length(low)? < wanted && length(high)? > wanted) {
            return Err(StatError::Setting {
                what: "the average run length",
                range: "within reach of a limit",
                value: wanted,
            });
        }
        for _ in 0..40 {
            let middle = 0.5 * (low + high);
            if length(middle)? < wanted {
                low = middle;
            } else {
                high = middle;
            }
        }
        Self::new(odds_ratio, 0.5 * (low + high))
    }
}
