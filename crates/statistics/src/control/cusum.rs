//! Cumulative sums, and how long they run before they call an alarm.

use crate::{
    error::{Result, StatError, finite, same_length},
    special::normal_cdf,
};

/// One step of a cumulative sum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CusumPoint {
    /// Sum against a rise.
    pub high: f64,
    /// Sum against a fall; 0 for a chart that looks one way.
    pub low: f64,
    /// Whether either is above the limit.
    pub alarm: bool,
}

/// A cumulative sum of standardised measurements (Page 1954): S = max(0, S + z − k), alarm above h.
///
/// `k` is half the change to be found, in standard deviations; `h` is chosen by the average run length,
/// the mean number of points until an alarm: long while nothing changes, short after a change.
#[derive(Debug, Clone, Copy, PartialEq)]
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

    /// Average run length of the sum against a rise when the mean has shifted by `shift` standard
    /// deviations, from a start at 0: a Markov chain over the height of the sum (Brook and Evans 1972),
    /// with 100 states, which is good to about three figures and a half.
    ///
    /// ```
    /// use statistics::control::Cusum;
    /// // Half-way to a shift of one standard deviation, limit 4: a false alarm every 335 points, and
    /// // 8.4 points to find the shift (Montgomery 2009, table 9.3: 168 and 8.38 with both sides on).
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
        // State i stands for heights within half a width of i · width; state 0 also for all below. By
        // how many states a step goes up or down decides its probability.
        let edges: Vec<f64> = (0..=2 * STATES)
            .map(|at| normal_cdf((at as f64 - STATES as f64 + 0.5) * width - drift))
            .collect();
        let move_to = |from: usize, to: usize| {
            let apart = STATES + to - from;
            if to == 0 { edges[apart] } else { edges[apart] - edges[apart - 1] }
        };
        run_length(STATES, move_to)
    }

    /// Average run length with both sums on: 1/ARL = 1/ARL⁺ + 1/ARL⁻ (Van Dobben de Bruyn 1968).
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
    // diagonally dominant, so no pivots are sought.
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

/// A cumulative sum of yes-or-no outcomes for a change of their odds, each case with its own risk
/// (Steiner, Cook, Farewell and Treasure 2000): log likelihood ratios added, never below 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BernoulliCusum {
    /// The odds ratio to be found; above 1 for a rise, below 1 for a fall.
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

    /// The step of a case of risk `p`: log of the likelihood ratio of its outcome.
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

    /// Average number of cases until an alarm where every case is expected to have risk `expected` and
    /// in truth has risk `truth`, by a Markov chain over heights rounded to a fine grid (Steiner and
    /// others 2000, appendix). Good to about one per cent.
    ///
    /// # Errors
    /// A risk that does not lie between 0 and 1.
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
                // A step between two heights goes to each in the share of its nearness, so that the mean
                // step is exact.
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

    /// The limit at which the average run length while nothing changes is `wanted`, by halving.
    ///
    /// # Errors
    /// A risk out of range, or a run length that no limit up to 20 gives.
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
